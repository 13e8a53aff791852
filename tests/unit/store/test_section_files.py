import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.base.errors import GlidewrightError, InputError, OutsideModelError
from glidewright.store.section_files import section_of_text


def round_points(thickness=0.09, camber=0.02, count=40):
    x = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, count)))
    half = 5 * thickness * (0.2969 * np.sqrt(x) - 0.126 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1036 * x**4)
    middle = 4.0 * camber * x * (1.0 - x)
    return np.concatenate([np.c_[x, middle + half][::-1], np.c_[x, middle - half][1:]])


def written(points, title="Own section"):
    return title + "\n" + "\n".join(f"{x:.6f} {y:.6f}" for x, y in points) + "\n"


def two_sides(points, title="Own section"):
    nose = int(np.argmin(points[:, 0]))
    upper, lower = points[nose::-1], points[nose:]
    rows = [title, f"{len(upper)}. {len(lower)}.", ""]
    rows += [f"{x:.6f} {y:.6f}" for x, y in upper] + [""] + [f"{x:.6f} {y:.6f}" for x, y in lower]
    return "\n".join(rows)


def test_both_orders_give_the_same_section():
    points = round_points()
    first, second = (section_of_text(text, "own.dat") for text in (written(points), two_sides(points)))
    assert first.title == second.title == "Own section"
    np.testing.assert_allclose(first.outline.points, second.outline.points, atol=1e-9)
    assert first.outline.thickness == pytest.approx(0.09, rel=0.01)
    assert first.outline.camber == pytest.approx(0.02, abs=0.0005)


def test_a_title_is_not_needed():
    read = section_of_text(written(round_points(), "").lstrip(), "folder/mine.dat")
    assert read.title == "mine"


def test_the_drawing_may_lie_at_an_angle():
    points = round_points(camber=0.0)
    turned = points @ np.array([[1.0, -0.02], [0.02, 1.0]])
    shape = section_of_text(written(turned), "own.dat").outline
    assert shape.flat_tilt_rad == 0.0
    assert abs(shape.turned_rad) == pytest.approx(math.atan(0.02), rel=1e-3)


BAD = {
    "empty": ("", "the file is empty"),
    "no numbers": ("Title\nabc def\n", "line 2 must be two finite numbers"),
    "not finite": (written(round_points()) + "nan 0.0\n", "must be two finite numbers"),
    "three numbers": (written(round_points()) + "1.0 0.0 0.0\n", "must be two finite numbers"),
    "few points": (written(round_points(count=8)), "20 to 2000 points; 15 came"),
    "many points": (written(round_points(count=1200)), "20 to 2000 points; 2399 came"),
    "in percent": (written(100.0 * round_points()), "x must run from 0 at the nose to 1"),
    "shifted": (written(round_points() + 0.1), "x must run from 0 at the nose to 1"),
    "not closed": (written(round_points()[:60]), "must start and end at the trailing edge"),
    "from the nose": (
        written(np.concatenate([round_points()[39:], round_points()[1:40]])),
        "each side needs 8 points or more",
    ),
    "lower side first": (written(round_points()[::-1]), "the upper side must come first"),
    "mixed up": (
        written(round_points()[[*range(20), 25, 24, 23, 22, 21, 20, *range(26, 79)]]),
        "turns back at x",
    ),
    "counts wrong": (two_sides(round_points()).replace("40. 40.", "40. 41."), "the counts promise 40"),
}


@pytest.mark.parametrize("case", BAD)
def test_bad_files_are_refused_with_the_reason(case):
    text, reason = BAD[case]
    with pytest.raises(InputError, match=reason) as caught:
        section_of_text(text, "own.dat")
    assert "own.dat" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_crossing_sides_are_refused_with_the_place():
    points = round_points()
    points[5:12, 1] -= 0.08
    with pytest.raises(InputError, match=r"upper and lower side cross at x 0\.\d+"):
        section_of_text(written(points), "own.dat")


@pytest.mark.parametrize("thickness", [0.01, 0.35])
def test_too_thin_and_too_thick_are_outside(thickness):
    with pytest.raises(OutsideModelError, match="thickness must lie from"):
        section_of_text(written(round_points(thickness, 0.0)), "own.dat")


@given(st.text(max_size=200))
def test_any_text_is_a_section_or_an_error_in_a_sentence(text):
    with pytest.raises(GlidewrightError):
        section_of_text(text, "own.dat")


@given(st.lists(st.tuples(st.floats(-2, 2), st.floats(-2, 2)), min_size=20, max_size=60))
def test_any_points_are_a_section_or_an_error_in_a_sentence(points):
    try:
        read = section_of_text(written(points), "own.dat")
    except GlidewrightError as error:
        assert str(error).startswith("own.dat: ")
    else:
        assert 0.0 < read.outline.thickness < 0.3
