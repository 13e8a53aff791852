import json
import math
from pathlib import Path

import numpy as np
import pytest
from pydantic import BaseModel

from glidewright.base.figure import Figure
from glidewright.decisions.nouns import CheckResult
from glidewright.faces.report.render_json import figure_object, plain, render_json


class Answer(BaseModel):
    width: float
    rows: tuple[float, ...] = ()


def test_the_answer_has_the_keys_of_the_contract(result: CheckResult) -> None:
    body = json.loads(render_json("check", "Lark", result, result.findings, ("a source",)))
    assert list(body) == ["ok", "command", "model", "result", "findings", "sources", "version"]
    assert body["ok"] is True
    assert body["sources"] == ["a source"]
    for finding in body["findings"]:
        assert {"name", "kept", "chance", "value", "limit", "unit", "because"} <= finding.keys()


def test_the_result_holds_every_field_of_the_noun(result: CheckResult) -> None:
    body = json.loads(render_json("check", "Lark", result))
    assert set(body["result"]) == set(CheckResult.model_fields)


def test_a_figure_has_the_keys_of_the_contract_in_si() -> None:
    figure = Figure(value=0.59, low=0.57, high=0.6, unit="kg", shown="g", grade="typical", because="balsa")
    assert figure_object(figure) == {
        "value": 0.59, "unit": "kg", "low": 0.57, "high": 0.6, "grade": "typical", "because": "balsa",
    }  # fmt: skip


def test_an_unknown_figure_is_null_with_its_reason() -> None:
    made = figure_object(Figure.unknown("m", "mm", "no nose radius stated"))
    assert made["value"] is None
    assert made["because"] == "no nose radius stated"


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_a_number_that_is_none_becomes_null_and_says_so(number: float) -> None:
    text = render_json("power", "Lark", Answer(width=number, rows=(1.0, number)))
    body = json.loads(text)
    assert body["result"] == {"width": None, "width_because": "not a finite number", "rows": [1.0, None]}
    assert "NaN" not in text
    assert "Infinity" not in text


def test_a_figure_with_a_number_that_is_none_is_unknown_and_says_so() -> None:
    figure = Figure(value=math.nan, low=1.0, high=2.0, unit="m", shown="m", grade="typical", because="why")
    made = figure_object(figure)
    assert (made["value"], made["low"], made["high"]) == (None, None, None)
    assert made["because"] == "why; not a finite number"


def test_arrays_paths_and_mappings_have_a_json_form() -> None:
    assert plain({"a": np.array([1.0, 2.0]), "b": Path("x"), "c": {1: True}}) == {
        "a": [1.0, 2.0], "b": "x", "c": {"1": True},
    }  # fmt: skip


def test_a_kind_without_json_form_is_refused() -> None:
    with pytest.raises(TypeError, match="no JSON form"):
        plain(object())
