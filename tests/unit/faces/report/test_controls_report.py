"""The report of ``controls``: words for figures, and models that lack what it tells."""

from pathlib import Path

import pytest

from glidewright.base.figure import Figure
from glidewright.data import packaged
from glidewright.decisions import controls as job
from glidewright.decisions.steering.nouns import ControlsResult
from glidewright.domain.control import Build
from glidewright.domain.model import Model
from glidewright.faces.report import controls
from glidewright.faces.report.controls_brake import way_text
from glidewright.faces.report.controls_linkages import short
from glidewright.faces.report.render_text import render_text
from glidewright.store.reading import read_model


def answered(model: Model) -> ControlsResult:
    return job.run(job.ControlsRequest(model=model, draws=64))


@pytest.fixture(scope="module")
def model() -> Model:
    return read_model(Path(str(packaged("demo", "hill-demo"))))


@pytest.fixture(scope="module")
def bare(model: Model) -> ControlsResult:
    """No shape, no linkages, nothing measured."""
    airframe = model.airframe.model_copy(update={"geometry": None})
    return answered(model.model_copy(update={"airframe": airframe, "controls": (), "build": Build()}))


def figure(value: float | None, shown: str, si: str) -> Figure:
    return Figure(value=value, low=value, high=value, unit=si, shown=shown, grade="typical", because="")


def test_an_elevator_is_told_with_its_way() -> None:
    assert way_text(figure(-0.11, "%", "1")) == "11 % up"
    assert way_text(figure(0.002, "mm", "m")) == "2.0 mm down"
    assert way_text(figure(0.00001, "mm", "m")) == "at rest"
    assert way_text(figure(None, "mm", "m")) == "not known"


def test_short_figures_have_the_decimals_of_their_unit() -> None:
    assert short(figure(0.012345, "mm", "m")) == "12.3 mm"
    assert short(figure(2.04, "", "1")) == "2.0"


def test_a_bare_model_is_told_what_is_missing(bare: ControlsResult) -> None:
    for with_details in (False, True):
        text = render_text(controls.document(bare), 80, True, with_details)
        assert max(map(len, text.splitlines())) <= 80
        assert "[[panel]]" in text
        assert "[[control]]" in text
        assert "not known" in text
        assert "None" not in text


def test_the_page_and_the_text_have_the_same_sections(model: Model) -> None:
    document = controls.document(answered(model))
    keys = [section.key for section in document.sections]
    assert keys[:5] == ["answers", "limits", "throws", "mixes", "brake"]
    assert len(set(keys)) == len(keys)
    text = render_text(document, 80, True, True)
    assert all(section.title in text for section in document.sections)
    assert "deg" in text  # the degree sign has letters in a pipe
