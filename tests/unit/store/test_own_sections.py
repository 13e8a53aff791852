"""Own sections of a model folder: which file is meant, datum, polars, cache, and what is refused."""

import math
import shutil
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from glidewright.base.errors import InputError
from glidewright.domain.geometry_section import OwnSection
from glidewright.forecast.aero_inputs import aero_of
from glidewright.models.aero.section_table import grid, section, section_of
from glidewright.store import own_sections, section_polars
from glidewright.store.reading import read_model

_REAL = section_polars.computed_table


def coordinates(tilt_rad: float = 0.0) -> str:
    """A section of 9 % with 2 % camber on a line that is tilted nose up."""
    x = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, 40)))
    half = 0.45 * (0.2969 * np.sqrt(x) - 0.126 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1036 * x**4)
    middle = 0.08 * x * (1.0 - x) - math.tan(tilt_rad) * (x - 1.0)
    points = np.concatenate([np.c_[x, middle + half][::-1], np.c_[x, middle - half][1:]])
    return "Own\n" + "\n".join(f"{a:.6f} {b:.6f}" for a, b in points) + "\n"


@pytest.fixture(autouse=True)
def polars(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[int]:
    """Polars of a packaged section in place of computed ones, in a cache of this test; counts the calls."""
    calls: list[int] = []

    def computed(points: Any) -> Any:
        calls.append(len(points))
        return section("ag36").table

    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path / "cache"))
    monkeypatch.setattr(section_polars, "computed_table", computed)
    return calls


@pytest.fixture
def folder(tmp_path: Path, demo_folder: Path) -> Path:
    target = tmp_path / "hill"
    shutil.copytree(demo_folder, target)
    (target / "sections").mkdir()
    (target / "sections" / "My Wing-7.dat").write_text(coordinates(), encoding="utf-8")
    name(target, '"AG36"', '"my wing 7"')
    return target


def name(folder: Path, old: str, new: str) -> None:
    path = folder / "model.toml"
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")


def own(folder: Path) -> tuple[OwnSection, ...]:
    geometry = read_model(folder).airframe.geometry
    assert geometry is not None
    return geometry.sections


def refused(folder: Path) -> list[str]:
    with pytest.raises(InputError) as caught:
        read_model(folder)
    return str(caught.value).split("\n")


def test_a_named_file_comes_with_the_model(folder: Path) -> None:
    (found,) = own(folder)
    assert (found.name, found.title, found.source) == (
        "mywing7",
        "Own",
        "own coordinate file sections/My Wing-7.dat",
    )
    assert found.thickness == pytest.approx(0.09, rel=0.02)
    assert found.camber == pytest.approx(0.02, abs=5e-4)
    assert np.array_equal(section_of("My-Wing 7", own(folder)).table, section("ag36").table)


def test_files_that_nobody_names_are_not_read(folder: Path, polars: list[int]) -> None:
    (folder / "sections" / "other.dat").write_text("no section", encoding="utf-8")
    assert len(own(folder)) == 1
    assert len(polars) == 1


def test_an_own_file_goes_before_a_packaged_section(folder: Path) -> None:
    (folder / "sections" / "AG35.dat").write_text(coordinates(), encoding="utf-8")
    assert [one.name for one in own(folder)] == ["ag35", "mywing7"]


def test_polars_are_computed_once_for_the_same_points(folder: Path, polars: list[int]) -> None:
    first = own(folder)
    assert own(folder) == first
    assert len(polars) == 1
    path = folder / "sections" / "My Wing-7.dat"
    path.write_text(path.read_text(encoding="utf-8").replace("Own", "Another title"), encoding="utf-8")
    assert own(folder)[0].title == "Another title"
    assert len(polars) == 1
    path.write_text(coordinates(0.01), encoding="utf-8")
    own(folder)
    assert len(polars) == 2


def test_a_broken_cache_is_computed_anew(folder: Path, polars: list[int], tmp_path: Path) -> None:
    own(folder)
    (kept,) = (tmp_path / "cache").rglob("*.polars")
    kept.write_bytes(b"cut off")
    assert own(folder)[0].polars == own(folder)[0].polars
    assert len(polars) == 2


def test_a_cache_that_cannot_be_written_is_none(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path / "file"))
    assert len(own(folder)) == 1


@pytest.mark.parametrize(("datum", "degrees"), [("usual", 0.0), ("chord", 0.0), ("file", 1.5)])
def test_incidence_is_measured_from_the_datum_that_is_named(folder: Path, datum: str, degrees: float) -> None:
    (folder / "sections" / "My Wing-7.dat").write_text(coordinates(math.radians(1.5)), encoding="utf-8")
    for old in ('"AG35"', '"AG37"'):
        name(folder, old, '"mywing7"')
    name(folder, "incidence_deg = 2\n", f'incidence_deg = 2\nincidence_from = "{datum}"\n')
    model = read_model(folder)
    aero = aero_of(model.airframe, model.field)
    assert not isinstance(aero, str)
    root = aero.glider.lattice.surfaces[0].sections[0]
    assert math.degrees(root.incidence_rad) == pytest.approx(2.0 + degrees, abs=0.01)


def test_of_a_flat_bottom_the_usual_incidence_is_that_of_the_bottom(demo_folder: Path) -> None:
    # The archive draws AG35 on its flat bottom, its chord line 1.56 degrees nose up of it.
    model = read_model(demo_folder)
    aero = aero_of(model.airframe, model.field)
    assert not isinstance(aero, str)
    root = aero.glider.lattice.surfaces[0].sections[0]
    assert math.degrees(root.incidence_rad) == pytest.approx(2.0 + 1.56, abs=0.005)


def test_an_incidence_from_a_file_needs_own_sections_on_the_whole_surface(folder: Path) -> None:
    name(folder, "incidence_deg = 2\n", 'incidence_deg = 2\nincidence_from = "file"\n')
    model = read_model(folder)
    with pytest.raises(InputError, match=r"\[wing\]: incidence_from: must be usual or chord"):
        aero_of(model.airframe, model.field)


def test_two_files_of_one_name_are_refused(folder: Path) -> None:
    (folder / "sections" / "mywing7.DAT").write_text(coordinates(), encoding="utf-8")
    assert refused(folder) == [
        "sections/mywing7.DAT: must have a name of its own; sections/My Wing-7.dat is named so already; "
        "rename one"
    ]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "the file is empty"),
        ("Own\n0 0\n", "must be 20 to 2000 points; 1 came"),
        (coordinates().replace("\n0.5", "\nx"), "must be two finite numbers"),
    ],
)
def test_a_bad_file_that_is_named_is_refused_with_the_reason(folder: Path, text: str, words: str) -> None:
    (folder / "sections" / "My Wing-7.dat").write_text(text, encoding="utf-8")
    (line,) = refused(folder)
    assert line.startswith("sections/My Wing-7.dat: ")
    assert words in line


def test_a_section_too_thin_is_refused_at_the_door(folder: Path) -> None:
    x = np.linspace(0.0, 1.0, 30)
    rows = [*zip(x[::-1], 0.008 * x * (1 - x)[::-1], strict=True), *zip(x[1:], 0.0 * x[1:], strict=True)]
    text = "\n".join(f"{a:.5f} {b:.5f}" for a, b in rows)
    (folder / "sections" / "My Wing-7.dat").write_text(text, encoding="utf-8")
    assert "thickness must lie from" in refused(folder)[0]


def test_bytes_that_are_no_text_are_refused(folder: Path) -> None:
    (folder / "sections" / "My Wing-7.dat").write_bytes(bytes(range(128, 256)))
    assert "must be UTF-8 text" in refused(folder)[0]


def test_polars_that_are_no_numbers_are_refused(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(section_polars, "computed_table", lambda _: np.full(grid().shape, np.nan))
    assert "must be a section that polars can be computed of" in refused(folder)[0]


def test_without_the_extra_package_one_sentence_says_what_to_do(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing(name: str) -> None:
        raise ModuleNotFoundError(name)

    monkeypatch.setattr(section_polars, "computed_table", _REAL)
    section_polars._tool.cache_clear()
    monkeypatch.setattr(section_polars, "import_module", missing)
    assert refused(folder) == [
        "sections/My Wing-7.dat: polars of an own section must be computed and the package for it is not "
        "installed; run: pip install 'glidewright[airfoils]'"
    ]


def test_an_own_file_of_a_packaged_section_gives_the_packaged_polar(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("neuralfoil", reason="the optional extra `airfoils` is not installed")
    section_polars._tool.cache_clear()
    monkeypatch.setattr(section_polars, "computed_table", _REAL)
    points = import_module("aerosandbox").Airfoil("ag36").coordinates
    text = "\n".join(f"{x:.6f} {y:.6f}" for x, y in points)
    (folder / "sections" / "My Wing-7.dat").write_text(text, encoding="utf-8")
    found, packaged = section_of("mywing7", own(folder)), section("ag36")
    assert found.datum_tilt_rad == pytest.approx(packaged.datum_tilt_rad, abs=1e-4)
    np.testing.assert_allclose(found.table[..., 0], packaged.table[..., 0], atol=2e-3)
    np.testing.assert_allclose(found.table[..., 1], packaged.table[..., 1], rtol=0.01)


def test_sections_of_one_name_and_other_polars_are_two(folder: Path) -> None:
    first = section_of("mywing7", own(folder))
    other = own(folder)[0].model_copy(update={"polars": own_sections.stored_polars(section("ag37").table)})
    assert section_of("mywing7", (other,)) != first
    assert section_of("mywing7", own(folder)) == first
