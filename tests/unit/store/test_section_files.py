import math
from importlib import import_module

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.base.errors import GlidewrightError, InputError, MissingError, OutsideModelError
from glidewright.models.aero.section import section
from glidewright.store import section_polars
from glidewright.store.section_files import read_own_section, read_section_file, section_of_text


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


def test_the_datum_is_the_flat_bottom_the_chord_line_or_the_drawing():
    points = round_points(camber=0.0)
    turned = points @ np.array([[1.0, -0.02], [0.02, 1.0]])
    tilts = [
        section_of_text(written(turned), "own.dat", datum).datum_tilt_rad
        for datum in ("usual", "chord", "file")
    ]
    assert tilts[:2] == [0.0, 0.0]
    assert abs(tilts[2]) == pytest.approx(math.atan(0.02), rel=1e-3)


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


def test_no_file_and_no_text(tmp_path):
    with pytest.raises(MissingError, match="no such coordinate file"):
        read_section_file(tmp_path / "none.dat")
    with pytest.raises(InputError, match="not readable as text"):
        read_section_file(tmp_path)
    (tmp_path / "binary.dat").write_bytes(bytes(range(128, 256)))
    with pytest.raises(InputError, match="not readable as text"):
        read_section_file(tmp_path / "binary.dat")


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


def test_without_the_extra_package_one_sentence_says_what_to_do(tmp_path, monkeypatch):
    def missing(name):
        raise ModuleNotFoundError(name)

    (tmp_path / "own.dat").write_text(written(round_points()), encoding="utf-8")
    section_polars._tool.cache_clear()
    monkeypatch.setattr(section_polars, "import_module", missing)
    with pytest.raises(InputError, match=r"run: pip install 'glidewright\[airfoils\]'"):
        read_own_section(tmp_path / "own.dat")


def test_an_own_file_of_a_packaged_section_gives_the_packaged_polar(tmp_path):
    pytest.importorskip("neuralfoil", reason="the optional extra `airfoils` is not installed")
    points = import_module("aerosandbox").Airfoil("ag36").coordinates
    (tmp_path / "mine.dat").write_text(written(points), encoding="utf-8")
    section_polars._tool.cache_clear()
    own, packaged = read_own_section(tmp_path / "mine.dat"), section("ag36")
    assert own.datum_tilt_rad == pytest.approx(packaged.datum_tilt_rad, abs=1e-4)
    np.testing.assert_allclose(own.table[..., 0], packaged.table[..., 0], atol=2e-3)
    np.testing.assert_allclose(own.table[..., 1], packaged.table[..., 1], rtol=0.01)
