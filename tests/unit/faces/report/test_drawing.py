"""The drawing: well-formed, to scale, in the text's own colour, and every name legible."""

import math
import re
import xml.etree.ElementTree as ET
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.base.figure import Figure
from glidewright.data import packaged
from glidewright.decisions.drawing_geometry import DrawingGeometry, drawing_geometry
from glidewright.faces.report.drawing import drawing_svg
from glidewright.faces.report.drawing_labels import Wanted, placed
from glidewright.store.reading import read_model

SVG = "{http://www.w3.org/2000/svg}"


def figure(value: float, low: float, high: float) -> Figure:
    return Figure(value=value, low=low, high=high, unit="m", shown="mm", grade="typical", because="test")


@pytest.fixture(scope="module")
def drawing() -> DrawingGeometry:
    model = read_model(Path(str(packaged("demo", "hill-demo"))))
    found = drawing_geometry(model, figure(0.04, 0.036, 0.045), -0.01, figure(0.0925, 0.0895, 0.096))
    assert found is not None
    return found


@pytest.fixture(scope="module")
def svg(drawing: DrawingGeometry) -> str:
    return drawing_svg(drawing)


def root_of(svg: str) -> ET.Element:
    return ET.fromstring(svg.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1))


def texts(svg: str) -> list[tuple[str, float, float, float]]:
    """Words, left end, right end (by a letter of 0.54 of the type size) and baseline of every text."""
    found = []
    for one in root_of(svg).iter(f"{SVG}text"):
        words, x, y = one.text or "", float(one.get("x", "")), float(one.get("y", ""))
        wide = 0.54 * float(one.get("font-size", "")) * len(words)
        shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[one.get("text-anchor", "start")] * wide
        found.append((words, x - shift, x - shift + wide, y))
    return found


def test_it_says_to_a_screen_reader_what_it_shows(svg: str) -> None:
    root = root_of(svg)
    assert root.get("role") == "img"
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None
    assert description is not None
    assert title.text == root.get("aria-label") == "Hill Demo 2000: side and top view to scale"
    words = description.text or ""
    assert "Span 1996 mm" in words
    assert "Allowed range 64" in words
    assert "Centre of gravity 40 (36 to 45) mm" in words
    assert "Neutral point 92" in words
    assert "motor -215 mm" in words.replace("\u2212", "-")


def test_it_needs_no_colour_and_no_address(svg: str) -> None:
    colours = set(re.findall(r'(?:fill|stroke)="([^"]+)"', svg))
    assert colours <= {"none", "currentColor", "var(--paper, #fff)"}
    assert "http" not in svg
    assert "NaN" not in svg


def test_every_item_and_bay_is_named(svg: str, drawing: DrawingGeometry) -> None:
    words = " ".join(text for text, *_ in texts(svg))
    singles = [item.name for item in drawing.items if "left" not in item.name and "right" not in item.name]
    assert len(singles) > 15
    assert [name for name in singles if name.replace("-", " ") not in words] == []
    for name in ("panel \u00d72", "tip \u00d72", "spoiler servo \u00d72", "pack bay", "radio bay"):
        assert name in words


def test_no_text_lies_over_another_or_leaves_the_picture(svg: str) -> None:
    height = float(str(root_of(svg).get("viewBox")).split()[3])
    found = texts(svg)
    for words, left, right, y in found:
        assert left >= 0.0, words
        assert right <= 400.0, words
        assert 9.0 < y < height - 2.0, words
    for one, other in combinations(found, 2):
        apart = one[2] <= other[1] or other[2] <= one[1] or abs(one[3] - other[3]) >= 9.5
        assert apart, (one, other)


def test_both_views_are_to_scale(svg: str) -> None:
    """Stations of the side view: 200 mm apart everywhere; the dot of the motor 215 mm ahead of the datum."""
    marks = {
        words: (left + right) / 2
        for words, left, right, _ in texts(svg)
        if re.fullmatch("\u2212?\\d+", words)
    }
    scale = (marks["600"] - marks["\u2212200"]) / 0.8
    assert marks["400"] - marks["200"] == pytest.approx(0.2 * scale, abs=0.3)
    dots = [float(one.get("cx", "")) for one in root_of(svg).iter(f"{SVG}circle") if one.get("r") == "1.5"]
    datum = marks["600"] - 0.6 * scale
    assert min(abs(dot - (datum - 0.215 * scale)) for dot in dots) < 0.3


def test_the_balance_is_drawn_where_the_numbers_say(svg: str) -> None:
    """In the enlarged part: spread bar of the centre of gravity against the band of the allowed range."""
    band = [one for one in root_of(svg).iter(f"{SVG}rect") if one.get("class") == "range"][-1]
    left, wide = float(band.get("x", "")), float(band.get("width", ""))
    scale = wide / 0.015
    spread = next(one.get("d", "") for one in root_of(svg).iter(f"{SVG}path") if one.get("class") == "spread")
    start, end = (float(re.findall(pattern, spread)[0]) for pattern in (r"^M([\d.]+)", r"H([\d.]+)"))
    assert (end - start) / scale == pytest.approx(0.009, abs=1e-4)
    assert (left - end) / scale == pytest.approx(0.064 - 0.045, abs=1e-4)


def test_the_marks_stand_in_the_views_and_in_the_balance(svg: str) -> None:
    assert svg.count('class="centre"') == 3
    assert svg.count('class="neutral"') == 2


def test_what_is_not_known_is_left_out(drawing: DrawingGeometry) -> None:
    nothing = dict.fromkeys(("centre", "neutral", "range_front_m", "chord_front_x_m", "mean_chord_m"))
    bare = drawing_svg(drawing.model_copy(update={**nothing, "items": ()}))
    root_of(bare)
    assert 'class="centre"' not in bare
    assert "Balance" not in bare


NAMES = st.lists(
    st.builds(Wanted, st.just("a"), st.floats(10, 390), st.floats(0, 40), st.floats(10, 150)), max_size=25
)


@given(NAMES)
def test_names_never_lie_over_each_other_nor_lines_over_names(wanted: list[Wanted]) -> None:
    labels = placed(wanted, 6.0, 394.0)
    assert len(labels) == len(wanted)
    own_rows = [label for label in labels if label.line_x == label.wanted.x and label.left == 6.0]
    for one, other in combinations([label for label in labels if label not in own_rows], 2):
        assert not one.blocks(other)
    for one, other in combinations(labels, 2):
        assert one.row != other.row or one.right < other.left or other.right < one.left


@given(NAMES)
def test_every_line_ends_near_its_point(wanted: list[Wanted]) -> None:
    for label in placed(wanted, 6.0, 394.0):
        assert math.isclose(label.line_x, label.wanted.x, abs_tol=90.0)
