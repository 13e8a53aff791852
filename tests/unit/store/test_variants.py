"""Variants: what an overlay changes, adds and takes away, and what it may not do without a word."""

from collections.abc import Callable
from pathlib import Path

import pytest

from glidewright.base.errors import InputError, MissingError
from glidewright.domain.model import Model
from glidewright.domain.parts import Pack
from glidewright.store.reading import read_model
from glidewright.store.variants import is_variant_file, list_variants, read_variant

Lay = Callable[[str], Model]


@pytest.fixture
def lay(folder: Path) -> Lay:
    """Write an overlay as the variant ``other`` of the small folder and read it."""

    def read(text: str) -> Model:
        (folder / "variants").mkdir(exist_ok=True)
        (folder / "variants/other.toml").write_text(f"schema = 1\n{text}", encoding="utf-8")
        return read_variant(folder, "other")

    return read


def item(model: Model, name: str) -> object:
    return next(one.part for one in model.items if one.name == name)


def test_an_empty_overlay_is_the_model_under_another_name(folder: Path, lay: Lay) -> None:
    assert lay("") == read_model(folder).model_copy(update={"name": "Small, other"})
    assert lay('name = "Heavy"').name == "Heavy"


def test_only_what_the_overlay_says_changes(folder: Path, lay: Lay) -> None:
    base, other = read_model(folder), lay("[launch]\nthrow_speed_m_per_s = 9\nrest_s = 60")
    assert (other.launch.throw_speed_m_s.value, other.launch.rest_s.value) == (9.0, 60.0)
    assert other.model_copy(update={"launch": base.launch, "name": base.name}) == base


def test_a_table_of_a_list_is_found_by_name_or_id_or_part(lay: Lay) -> None:
    other = lay(
        '[[fitted]]\nname = "motor"\npart = "m35"\n[[item]]\nid = "boom"\nmass_g = 40\n'
        '[[fitted]]\nname = "pack"\nx_mm = -120'
    )
    assert item(other, "motor").id == "m35"  # type: ignore[attr-defined]
    assert item(other, "motor").x_m.value == -0.2  # type: ignore[attr-defined]
    assert item(other, "boom").mass_kg.value == 0.04  # type: ignore[attr-defined]
    assert item(other, "boom").x_m.value == 0.43  # type: ignore[attr-defined]
    assert item(other, "pack").x_m.value == -0.12  # type: ignore[attr-defined]
    assert isinstance(item(other, "pack"), Pack)


def test_one_without_a_name_is_found_by_its_number(lay: Lay) -> None:
    assert lay("[[weighing]]\nnumber = 1\nmass_g = 33").weighings[0].mass_kg.value == 0.033  # type: ignore[union-attr]


def test_what_is_new_and_what_goes_say_so(folder: Path, lay: Lay) -> None:
    other = lay(
        '[[item]]\nnew = true\nid = "lead"\ngroup = "ballast"\nmass_g = 20\nx_mm = 70\n'
        '[[fitted]]\nname = "rudder servo"\nremove = true\n'
        '[airframe]\nleave_out = ["wing_area_dm2"]\nspan_m = 2.1\n'
        '[[panel]]\nnew = true\nname = "whole"\nlength_mm = 1000\nroot_chord_mm = 200\ntip_chord_mm = 160\n'
    )
    before, after = ([one.name for one in model.items] for model in (read_model(folder), other))
    assert set(after) - set(before) == {"lead"}
    assert set(before) - set(after) == {"rudder servo"}
    assert other.airframe.wing_area_m2.because == "worked out from the panels"
    assert other.airframe.span_m.value == 2.1


def test_the_grade_of_the_table_holds_unless_the_number_says_its_own(folder: Path, lay: Lay) -> None:
    text = (folder / "model.toml").read_text(encoding="utf-8")
    text = text.replace("[launch]", '[launch]\ngrade = "guessed"')
    (folder / "model.toml").write_text(text, encoding="utf-8")
    launch = lay('[launch]\nrest_s = { value = 60, grade = "measured" }\nthrow_speed_m_per_s = 8').launch
    assert (launch.rest_s.grade, launch.throw_speed_m_s.grade) == ("measured", "guessed")


REFUSED = {
    "unknown key of a table": (
        "[launch]\nthrow_speed_m_per_ss = 9",
        "variants/other.toml [launch]: throw_speed_m_per_ss: is not a key that is known here; correct or "
        "remove it; nearest known: throw_speed_m_per_s",
    ),
    "unknown key of a list": (
        '[[fitted]]\nname = "pack"\nx_m = 1',
        "variants/other.toml [[fitted]] 'pack': x_m: must be written as x_mm in mm; the key x_m came; rename "
        "it and convert the number",
    ),
    "unknown key at the top": ('clas = "f5j"', "variants/other.toml: clas: is not a table or key"),
    "table for a text": (
        "[class]\nx = 1",
        "variants/other.toml: class: must be written as class = ...; [class] came; write it above the tables",
    ),
    "tables for a text": (
        "[[class]]\nx = 1",
        "variants/other.toml: class: must be written as class = ...; [[class]] came; correct it",
    ),
    "unknown table": (
        "[lanch]\nrest_s = 1",
        "variants/other.toml [lanch]: must change a table of model.toml; ",
    ),
    "value out of range": (
        "[launch]\nrest_s = -1",
        "variants/other.toml [launch]: rest_s: must be at least 0",
    ),
    "part that is not in the drawer": (
        '[[fitted]]\nname = "pack"\npart = "p3"',
        "variants/other.toml [[fitted]] 'pack': part: must be the id of a part in parts/*.toml; 'p3' came",
    ),
    "name that nobody has": (
        '[[fitted]]\nname = "pakc"\npart = "p2"',
        "variants/other.toml [[fitted]] 'pakc': must be the id or name of a [[fitted]] of model.toml; 'pakc' "
        "came; nearest known: pack; to add one, write new = true",
    ),
    "part of one that has a name": (
        '[[fitted]]\nname = "s6"\nx_mm = 1',
        "[[fitted]] 's6': must be the id or name of a [[fitted]] of model.toml; 's6' came",
    ),
    "no name": (
        "[[item]]\nmass_g = 1",
        "variants/other.toml [[item]] 1: must say which [[item]] of model.toml",
    ),
    "no number": (
        "[[bench]]\ncurrent_A = 1",
        "[[bench]] 1: must say which [[bench]] of model.toml it changes",
    ),
    "number too high": ("[[bench]]\nnumber = 2\ncurrent_A = 1", "number: must be the number of a [[bench]]"),
    "table added without a word": (
        "[body]\nnose_x_mm = 1",
        "variants/other.toml [body]: must change a table of",
    ),
    "new one that is there": (
        '[[item]]\nnew = true\nid = "boom"\nmass_g = 1',
        "variants/other.toml [[item]] 'boom': must have a name of its own where it is new; model.toml has it",
    ),
    "new table that is there": ("[launch]\nnew = true", "[launch]: must not say new = true; model.toml has"),
    "twice": (
        '[[item]]\nid = "boom"\nmass_g = 1\n[[item]]\nid = "boom"\nx_mm = 1',
        "variants/other.toml [[item]] 'boom': must stand once; it stands twice",
    ),
    "list as one table": ('[item]\nid = "boom"', "variants/other.toml: item: must be written as [[item]]"),
    "one table as a list": (
        "[[launch]]\nrest_s = 1",
        "variants/other.toml: launch: must be written as [launch]",
    ),
    "table as a key": ("launch = 3", "variants/other.toml: launch: must be a table; 3 came; write [launch]"),
    "grade of all": ('grade = "measured"', "variants/other.toml: grade: must not stand in a variant"),
    "grade of a table": ('[launch]\ngrade = "measured"', "[launch]: grade: must not stand in a variant"),
    "order that is no yes or no": ("[launch]\nremove = 1", "[launch]: remove: must be true or false; 1 came"),
    "removed and changed": (
        '[[item]]\nid = "boom"\nremove = true\nx_mm = 1',
        "'boom': x_mm: must not stand beside remove = true; remove one of the two",
    ),
    "left out and not there": (
        '[launch]\nleave_out = ["rest_s"]',
        "[launch]: leave_out: must name keys that model.toml states here; 'rest_s' came; ",
    ),
    "left out and stated": (
        '[launch]\nleave_out = ["throw_speed_m_per_s"]\nthrow_speed_m_per_s = 8',
        "[launch]: leave_out: must name keys that model.toml states here; the variant states it itself",
    ),
    "left out in other words": (
        "[launch]\nleave_out = 3",
        "[launch]: leave_out: must be a list of keys; 3 came",
    ),
    "caused elsewhere": (
        '[[item]]\nid = "boom"\nremove = true',
        "variants/other.toml, laid over model.toml [[weighing]] 1: of: must name items or groups of this",
    ),
    "name that is no text": ("name = 3", "variants/other.toml: name: must be text; 3 came"),
    "broken TOML": ("[launch\nrest_s = 1", "variants/other.toml line 2"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_cannot_be_laid_over_is_one_sentence_with_file_and_key(lay: Lay, case: str) -> None:
    text, sentence = REFUSED[case]
    with pytest.raises(InputError) as refused:
        lay(text)
    assert len(refused.value.problems) == 1
    assert sentence in str(refused.value)
    assert str(refused.value).startswith("variants/other.toml")


def test_every_problem_is_named_at_once(lay: Lay) -> None:
    with pytest.raises(InputError) as refused:
        lay("[launch]\nrest_s = -1\nthrow_speed_m_per_s = -1\n[field]\nelevation_m = 9999")
    assert len(refused.value.problems) == 3


def test_a_problem_of_the_folder_is_not_blamed_on_the_variant(lay: Lay, spoil: Callable[..., None]) -> None:
    spoil("model.toml", "span_m = 2.0", "span_m = -2.0")
    with pytest.raises(InputError, match=r"^model\.toml \[airframe\]: span_m") as refused:
        lay("[launch]\nrest_s = -1")
    assert len(refused.value.problems) == 1


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("[launch]\nrest_s = 1\n", "must state its schema and does not; write schema = 1"),
        ("schema = 0\n", "variants/other.toml: schema: must be 1; an older one came; write 1"),
        ("schema = 2\n", "variants/other.toml: schema: must be at most 1 for this version"),
    ],
)
def test_a_variant_states_its_schema(folder: Path, text: str, sentence: str) -> None:
    (folder / "variants").mkdir()
    (folder / "variants/other.toml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as refused:
        read_variant(folder, "other")
    assert sentence in str(refused.value)


def test_a_variant_that_is_not_there_is_said_with_the_nearest(folder: Path, lay: Lay) -> None:
    with pytest.raises(MissingError, match="must have the variant light; there is no variants/light") as none:
        read_variant(folder, "light")
    assert str(none.value).endswith("put one into variants/")
    lay("")
    with pytest.raises(MissingError, match="must have the variant othr; there is no variants/othr") as near:
        read_variant(folder, "othr")
    assert str(near.value).endswith("nearest known: other")
    with pytest.raises(MissingError, match="must be a model folder; nothing with that name exists"):
        read_variant(folder.parent / "nowhere", "other")


def test_one_of_two_with_the_same_name_is_meant_by_its_number(folder: Path, lay: Lay) -> None:
    panel = '[[panel]]\nname = "a"\nlength_mm = 500\nroot_chord_mm = 200\ntip_chord_mm = 180\n'
    text = (folder / "model.toml").read_text(encoding="utf-8") + 2 * panel
    (folder / "model.toml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="2 bear that name; write number = "):
        lay('[[panel]]\nname = "a"\ntip_chord_mm = 150')
    geometry = lay('[[panel]]\nname = "a"\nnumber = 2\ntip_chord_mm = 150').airframe.geometry
    assert geometry is not None
    assert [panel.tip_chord_m.value for panel in geometry.panels] == [0.18, 0.15]


def test_files_of_variants_are_listed_and_known_by_their_place(folder: Path, lay: Lay) -> None:
    assert list_variants(folder) == ()
    lay("")
    (folder / "variants/.hidden.toml").write_text("", encoding="utf-8")
    (folder / "variants/notes.txt").write_text("", encoding="utf-8")
    assert list_variants(folder) == ("other",)
    assert is_variant_file(Path("a/variants/other.toml"))
    assert not is_variant_file(Path("a/model.toml"))
    assert not is_variant_file(Path("a/variants"))


def test_an_overlay_lies_over_a_folder_of_an_older_layout(tmp_path: Path) -> None:
    (tmp_path / "variants").mkdir()
    (tmp_path / "model.toml").write_text(
        '[model]\nname = "Old"\n[airframe]\nspan_m = 2\nwing_area_dm2 = 36\n', encoding="utf-8"
    )
    (tmp_path / "drawer.toml").write_text('[[servo]]\nid = "s6"\nmass_g = 6\n', encoding="utf-8")
    (tmp_path / "variants/wide.toml").write_text("schema = 1\n[airframe]\nspan_m = 2.5\n", encoding="utf-8")
    found = read_variant(tmp_path, "wide")
    assert (found.name, found.airframe.span_m.value, found.drawer[0].id) == ("Old, wide", 2.5, "s6")
