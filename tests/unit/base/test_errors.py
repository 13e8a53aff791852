"""Errors are sentences; near names are offered."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.base.errors import (
    GlidewrightError,
    InputError,
    MissingError,
    OutsideModelError,
    Problem,
    WriteError,
    nearest,
)


def test_the_tree_decides_the_exit_code() -> None:
    assert issubclass(MissingError, InputError)
    assert issubclass(WriteError, InputError)
    assert issubclass(InputError, GlidewrightError)
    assert issubclass(OutsideModelError, GlidewrightError)
    assert not issubclass(OutsideModelError, InputError)


def test_a_problem_says_where_when_it_knows() -> None:
    assert str(Problem("model.toml: span_m", "must be greater than 0")) == (
        "model.toml: span_m: must be greater than 0"
    )
    assert str(Problem("", "must be greater than 0")) == "must be greater than 0"


def test_an_error_holds_all_its_problems_one_line_each() -> None:
    error = InputError([Problem("a", "one"), Problem("b", "two")])
    assert str(error) == "a: one\nb: two"
    assert [problem.where for problem in error.problems] == ["a", "b"]
    assert InputError(Problem("a", "one")).problems == (Problem("a", "one"),)


def test_one_problem_can_be_raised_in_one_call() -> None:
    error = MissingError.at("model.toml", "must exist")
    assert type(error) is MissingError
    assert str(error) == "model.toml: must exist"


@pytest.mark.parametrize(
    ("word", "known", "tail"),
    [
        ("mas_g", ["mass_g", "price", "kv_rpm_per_V"], "nearest known: mass_g"),
        ("zzz", ["mass_g", "price"], "known: mass_g, price"),
        (
            "zzz",
            [f"key{i:02}" for i in range(20)],
            "known: " + ", ".join(f"key{i:02}" for i in range(12)) + ", ...",
        ),
    ],
)
def test_near_names_are_offered_else_some_or_all(word: str, known: list[str], tail: str) -> None:
    assert nearest(word, known) == tail


@given(st.lists(st.text("abcdef_", min_size=3, max_size=8), min_size=1, unique=True), st.data())
def test_a_known_name_is_its_own_nearest(known: list[str], data: st.DataObject) -> None:
    word = data.draw(st.sampled_from(known))
    assert nearest(word, known).removeprefix("nearest known: ").split(", ")[0] == word
