"""What most of the spread of a result comes from."""

import numpy as np
import pytest

from glidewright.base.figure import Grade
from glidewright.forecast.causes import Causes
from glidewright.forecast.draws import standard_draws
from glidewright.forecast.spread import Input

COUNT = 2048


def entry(name: str, grade: Grade = "typical", half: float = 1.0) -> Input:
    return Input(name, f"title of {name}", 0.0, -half, half, grade, "offset", "", f"measure {name}")


NAMES = ("motor.kv", "motor.resistance", "pack.resistance", "field.headwind")
INPUTS = {name: entry(name, "measured" if name == "motor.kv" else "typical") for name in NAMES}
SCORES = standard_draws(NAMES, COUNT)
CAUSES = Causes(INPUTS, SCORES)


def test_shares_of_a_linear_sum_are_the_shares_of_its_variance() -> None:
    # Var(3 a + 2 b + c) = 9 + 4 + 1.
    a, b, c, _ = (SCORES[name] for name in NAMES)
    found = CAUSES.of(3 * a + 2 * b + c)
    assert [cause.entry.name for cause in found] == list(NAMES)
    assert [cause.share for cause in found] == pytest.approx([9 / 14, 4 / 14, 1 / 14, 0.0], abs=0.02)


def test_a_monotone_result_is_explained_like_its_input() -> None:
    (first, *_) = CAUSES.of(np.exp(5.0 * SCORES["motor.resistance"]))
    assert (first.entry.name, first.share) == ("motor.resistance", pytest.approx(1.0, abs=0.001))


def test_the_sentence_names_the_cause_and_its_grade() -> None:
    words, grade = CAUSES.sentence(SCORES["motor.kv"] + 0.01 * SCORES["pack.resistance"])
    assert "title of motor.kv" in words
    assert "title of pack.resistance" not in words
    assert grade == "measured"


def test_the_grade_is_the_worst_of_the_named_causes() -> None:
    words, grade = CAUSES.sentence(SCORES["motor.kv"] + SCORES["pack.resistance"])
    assert "title of pack.resistance" in words
    assert grade == "typical"


def test_a_result_without_spread_has_no_cause() -> None:
    assert CAUSES.of(np.full(COUNT, 7.0)) == []
    assert CAUSES.sentence(np.full(COUNT, 7.0))[1] == "quoted"


def test_too_few_numbers_explain_nothing() -> None:
    result = np.full(COUNT, np.nan)
    result[:7] = np.arange(7)
    assert CAUSES.of(result) == []


def test_draws_without_a_number_hide_no_cause() -> None:
    result = SCORES["motor.kv"].copy()
    result[::50] = np.nan
    assert CAUSES.of(result)[0].entry.name == "motor.kv"


def test_results_of_the_first_draws_only_are_explained_by_the_first_scores() -> None:
    assert CAUSES.of(SCORES["pack.resistance"][:256])[0].share == pytest.approx(1.0, abs=0.001)


def test_exact_inputs_are_no_causes() -> None:
    exact = Input("motor.kv", "kv", 1.0, 1.0, 1.0, "quoted", "factor", "")
    assert Causes({"motor.kv": exact}, SCORES).of(SCORES["motor.kv"]) == []
