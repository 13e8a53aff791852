"""The door: keys with units in, SI nouns out; nothing guessed, every problem named."""

import math
from typing import Any, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import Field

from glidewright.base.door import read_noun, shortest_number
from glidewright.base.errors import InputError
from glidewright.base.fields import Noun, Quantity, plain, quantities, quantity
from glidewright.base.figure import GRADES, Given, Grade
from glidewright.base.units import BY_SYMBOL, unit


class Thing(Noun):
    name: str = plain("Name", help="")
    colour: Literal["red", "white"] = plain("Colour", help="", default="red")
    count: int = Field(title="Count", ge=1, le=4, default=1)
    words: tuple[str, ...] = plain("Words", help="", default=())
    is_light: bool = plain("Light", help="", default=False)
    mass_kg: Given | None = quantity("Mass", key="mass_g", shown="g", help="", above=0, at_most=5000)
    span_m: Given | None = quantity("Span", key="span_m", shown="m", help="", at_least=-3)
    price: Given | None = quantity("Price", key="price", shown="money", help="", at_least=0)
    warmth_K: Given = quantity("Warmth", key="warmth_C", shown="°C", help="", default=Given(value=293.15))


def sentences(table: dict[str, Any]) -> list[str]:
    with pytest.raises(InputError) as refused:
        read_noun(Thing, table, "file")
    return [str(problem) for problem in refused.value.problems]


def test_numbers_come_in_si_and_words_as_they_are() -> None:
    thing = read_noun(
        Thing,
        {"name": "a", "mass_g": 52, "warmth_C": 20, "words": ["x", "y"], "is_light": True, "count": 2},
        "file",
    )
    assert thing.mass_kg == Given(value=52 * 0.001, grade="quoted")
    assert thing.warmth_K.value == 293.15
    assert (thing.words, thing.is_light, thing.count, thing.colour) == (("x", "y"), True, 2, "red")


@pytest.mark.parametrize("grade", GRADES)
def test_a_bare_number_has_the_grade_of_its_surroundings(grade: Grade) -> None:
    thing = read_noun(Thing, {"name": "a", "mass_g": 52}, "file", grade)
    assert thing.mass_kg is not None
    assert thing.mass_kg.grade == grade


def test_an_inline_table_says_more() -> None:
    details = {"value": 20, "grade": "measured", "low": 19, "high": 22, "because": "shade"}
    thing = read_noun(Thing, {"name": "a", "warmth_C": details}, "file")
    assert thing.warmth_K == Given(value=293.15, grade="measured", low=292.15, high=295.15, because="shade")


def test_fields_that_the_caller_made_are_taken_and_no_key_of_the_file_any_more() -> None:
    thing = read_noun(Thing, {}, "file", also={"name": "made"})
    assert thing.name == "made"
    with pytest.raises(InputError, match="name: is not a key that is known here"):
        read_noun(Thing, {"name": "b"}, "file", also={"name": "made"})


@pytest.mark.parametrize(
    ("table", "expected"),
    [
        ({"mass_g": 0}, "mass_g: must be greater than 0 g; 0 came; correct it or leave the key out"),
        ({"mass_g": -1}, "mass_g: must be greater than 0 g; -1 came; correct it or leave the key out"),
        ({"mass_g": 5001}, "mass_g: must be at most 5000 g; 5001 came; check the unit of the key"),
        ({"span_m": -3.5}, "span_m: must be at least -3 m; -3.5 came; correct it or leave the key out"),
        ({"price": -1}, "price: must be at least 0; -1 came; correct it or leave the key out"),
        ({"price": "ten"}, "price: must be a number; 'ten' came; write the number without a unit"),
        (
            {"mass_g": math.nan},
            "mass_g: must be a finite number; nan came; leave the key out when it is not known",
        ),
        (
            {"mass_g": math.inf},
            "mass_g: must be a finite number; inf came; leave the key out when it is not known",
        ),
        ({"mass_g": []}, "mass_g: must be a number in g; [] came; write the number without a unit"),
        (
            {"mass_kg": 0.05},
            "mass_kg: must be written as mass_g in g; the key mass_kg came; rename it and convert the number",
        ),
        ({"mas_g": 5}, "mas_g: is not a key that is known here; correct or remove it; nearest known: mass_g"),
        (
            {"mass_g": {"grade": "quoted"}},
            "mass_g: must have a value; the inline table has none; add value = ...",
        ),
        (
            {"mass_g": {"value": 5, "garde": "quoted"}},
            "mass_g.garde: is not a key that is known here; correct or remove it; nearest known: grade",
        ),
        (
            {"mass_g": {"value": 5, "grade": "sure"}},
            "mass_g.grade: must be one of measured, quoted, typical, guessed; 'sure' came; "
            "choose one of them",
        ),
        (
            {"mass_g": {"value": 5, "low": -1, "high": 6}},
            "mass_g.low: must be greater than 0 g; -1 came; correct it or leave the key out",
        ),
        (
            {"mass_g": {"value": 5, "low": 4}},
            "mass_g: low and high must be stated together; {'value': 5, 'low': 4} came; correct it",
        ),
        ({"count": 0}, "count: must be at least 1; 0 came; correct it"),
        ({"count": 5}, "count: must be at most 4; 5 came; correct it"),
        ({"count": 2.5}, "count: must be a whole number; 2.5 came; correct it"),
        ({"count": "2"}, "count: must be a whole number; '2' came; correct it"),
        ({"count": True}, "count: must be a whole number; True came; correct it"),
        ({"is_light": "yes"}, "is_light: must be true or false; 'yes' came; correct it"),
        ({"is_light": 1}, "is_light: must be true or false; 1 came; correct it"),
        ({"colour": "blue"}, "colour: must be one of 'red' or 'white'; 'blue' came; correct it"),
        ({"words": "x"}, "words: must be a list; 'x' came; correct it"),
        ({"words": [3]}, "words.0: must be text; 3 came; correct it"),
        ({"name": 3}, "name: must be text; 3 came; correct it"),
    ],
)
def test_one_fault_one_sentence(table: dict[str, Any], expected: str) -> None:
    assert sentences({"name": "a"} | table) == [f"file: {expected}"]


def test_what_is_missing_is_said() -> None:
    assert sentences({}) == ["file: name: must be given and is missing; add it"]


def test_all_faults_come_at_once() -> None:
    found = sentences({"mass_g": -1, "lenght_mm": 3, "count": 9})
    assert [sentence.split(": ")[1] for sentence in found] == ["mass_g", "lenght_mm", "name", "count"]


def test_a_required_quantity_under_a_wrong_unit_is_not_called_missing_as_well() -> None:
    class Wing(Noun):
        span_m: Given = quantity("Span", key="span_m", shown="m", help="", required=True)

    with pytest.raises(InputError) as refused:
        read_noun(Wing, {"span_mm": 2000}, "file")
    assert [problem.where for problem in refused.value.problems] == ["file: span_mm"]


@given(
    st.dictionaries(
        st.text(max_size=8),
        st.one_of(
            st.none(),
            st.text(),
            st.integers(),
            st.floats(),
            st.booleans(),
            st.lists(st.integers(), max_size=2),
            st.dictionaries(st.text(max_size=5), st.integers(), max_size=2),
        ),
        max_size=4,
    )
)
def test_anything_is_read_or_refused_in_sentences(table: dict[str, Any]) -> None:
    try:
        thing = read_noun(Thing, {"name": "a"} | table, "file")
    except InputError as refused:
        assert refused.problems
        assert all(problem.message for problem in refused.problems)
    else:
        assert set(table) <= {
            "name",
            "colour",
            "count",
            "words",
            "is_light",
            "mass_g",
            "span_m",
            "price",
            "warmth_C",
        }
        assert isinstance(thing, Thing)


@given(
    st.sampled_from(["mass_g", "span_m", "price", "warmth_C"]),
    st.one_of(st.integers(), st.floats(allow_nan=True, allow_infinity=True)),
)
def test_a_number_that_is_taken_is_inside_its_range(key: str, number: float) -> None:
    name, meta = next((n, m) for n, m in quantities(Thing).items() if m.key == key)
    try:
        found: Given = getattr(read_noun(Thing, {"name": "a", key: number}, "file"), name)
    except InputError:
        return
    assert math.isfinite(found.value)
    assert meta.above is None or number > meta.above
    assert meta.at_least is None or number >= meta.at_least
    assert meta.at_most is None or number <= meta.at_most
    assert found.value == meta.shown.to_si(float(number))


@given(st.sampled_from(list(BY_SYMBOL)), st.floats(-1e9, 1e9, allow_subnormal=False))
def test_a_number_that_was_read_is_written_back_so_that_it_reads_the_same(symbol: str, number: float) -> None:
    meta = Quantity("key", unit(symbol), "exact")
    number = number if abs(number) > 1e-9 else 0.0
    value = meta.shown.to_si(number)
    assert meta.shown.to_si(shortest_number(value, meta)) == value


@given(st.sampled_from(list(BY_SYMBOL)), st.floats(-1e9, 1e9, allow_subnormal=False))
def test_any_si_value_is_written_within_a_step_of_rounding(symbol: str, value: float) -> None:
    meta = Quantity("key", unit(symbol), "exact")
    again = meta.shown.to_si(shortest_number(value, meta))
    assert math.isclose(again, value, rel_tol=4e-16, abs_tol=2e-16 * abs(meta.shown.offset) + 1e-300)


@pytest.mark.parametrize(
    ("symbol", "number"),
    [("g", 57.1), ("mm", -165.0), ("°C", 18.5), ("mAh", 550.0), ("in", 11.5), ("%", 7.0)],
)
def test_numbers_of_people_come_back_as_they_wrote_them(symbol: str, number: float) -> None:
    meta = Quantity("key", unit(symbol), "exact")
    assert shortest_number(meta.shown.to_si(number), meta) == number
