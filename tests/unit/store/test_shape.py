"""The shape tables of model.toml: derived measures, and one clear sentence for each thing that cannot be."""

from collections.abc import Callable
from pathlib import Path

import pytest

from glidewright.base.errors import InputError
from glidewright.base.figure import Given
from glidewright.data import packaged
from glidewright.decisions.new_model import Request, run
from glidewright.domain.geometry_checks import section_problems
from glidewright.rules.remarks import remark_on
from glidewright.store.reading import model_of_texts, read_model

DEMO = Path(str(packaged("demo", "hill-demo")))
Spoil = Callable[[str, str, str], None]
SHAPE = """
[[panel]]
name = "inner"
length_mm = 500
root_chord_mm = 200
tip_chord_mm = 200
dihedral_deg = 0

[[panel]]
name = "tip"
length_mm = 500
tip_chord_mm = 120

[tail]
span_mm = 400
root_chord_mm = 100
tip_chord_mm = 80
x_mm = 700

[body]
nose_x_mm = -250
full_from_x_mm = -150
full_to_x_mm = 50
pod_end_x_mm = 150
end_x_mm = 800
width_mm = 44
height_mm = 60
boom_diameter_mm = 12

[spoiler]
from_y_mm = 100
to_y_mm = 300
chord_mm = 25
setback_mm = 60

[[bay]]
name = "pack"
from_x_mm = -150
to_x_mm = -80
width_mm = 36
height_mm = 30

[field]
"""


@pytest.fixture
def shaped(folder: Path, spoil: Spoil) -> Path:
    spoil("model.toml", "span_m = 2.0  # tip to tip\nwing_area_dm2 = 36\n", SHAPE.removesuffix("[field]\n"))
    return folder


def said(folder: Path) -> list[str]:
    with pytest.raises(InputError) as refused:
        read_model(folder)
    return [str(problem) for problem in refused.value.problems]


def test_measures_that_are_left_out_follow_from_the_panels(shaped: Path) -> None:
    airframe = read_model(shaped).airframe
    assert airframe.span_m.value == pytest.approx(2.0)
    assert airframe.wing_area_m2.value == pytest.approx(2 * (0.5 * 0.2 + 0.5 * 0.16))
    assert airframe.tail_area_m2 is not None
    assert airframe.tail_area_m2.value == pytest.approx(0.4 * 0.09)
    assert airframe.wing_area_m2.because == "worked out from the panels"
    assert airframe.wing_area_m2.grade == "quoted"
    assert airframe.geometry is not None
    assert [panel.name for panel in airframe.geometry.panels] == ["inner", "tip"]


def test_the_grade_is_the_worst_of_the_lengths(shaped: Path, spoil: Spoil) -> None:
    spoil("model.toml", "tip_chord_mm = 120", 'tip_chord_mm = { value = 120, grade = "guessed" }')
    airframe = read_model(shaped).airframe
    assert airframe.span_m.grade == "guessed"
    assert airframe.tail_area_m2 is not None
    assert airframe.tail_area_m2.grade == "quoted"


def test_a_stated_measure_stays(shaped: Path, spoil: Spoil) -> None:
    spoil("model.toml", "[airframe]\n", "[airframe]\nspan_m = 1.99\n")
    assert read_model(shaped).airframe.span_m.value == 1.99


def test_without_panels_all_is_as_before(folder: Path) -> None:
    airframe = read_model(folder).airframe
    assert airframe.geometry is None
    assert airframe.mean_chord_m is None


IMPOSSIBLE = {
    "zero chord": (
        ("tip_chord_mm = 120", "tip_chord_mm = 0"),
        "model.toml [[panel]] 'tip': tip_chord_mm: "
        "must be greater than 0 mm; 0 came; correct it or leave the key out",
    ),
    "no inner chord": (
        ("root_chord_mm = 200\n", ""),
        "model.toml [[panel]] 'inner': root_chord_mm: "
        "must be given for the first panel; it is left out; "
        "add root_chord_mm",
    ),
    "panel over the other wing": (
        ("dihedral_deg = 0", "dihedral_deg = 100"),
        "model.toml [[panel]] 'inner': dihedral_deg: "
        "must lead the panel clear of the other wing; they cross each "
        "other; state the angle against the horizontal and check the lengths",
    ),
    "tail ahead": (
        ("x_mm = 700", "x_mm = -300"),
        "model.toml [tail]: x_mm: "
        "must be behind the wing; -300 mm came, ahead of it; correct it, or write "
        "ahead = true for a canard",
    ),
    "canard behind": (
        ("x_mm = 700", "x_mm = 700\nahead = true"),
        "model.toml [tail]: x_mm: "
        "must be ahead of the wing where ahead = true stands; 700 mm came; "
        "correct one of them",
    ),
    "tail in the wing": (
        ("x_mm = 700", "x_mm = 150"),
        "model.toml [tail]: x_mm: "
        "must leave the tail clear of the wing; 150 mm came, they overlap; correct it",
    ),
    "flat v-tail": (
        ("x_mm = 700", "x_mm = 700\nv_tail = true"),
        "model.toml [tail]: dihedral_deg: "
        "must be above 0 for a V-tail; it is not; add the angle of each half",
    ),
    "body back to front": (
        ("full_to_x_mm = 50", "full_to_x_mm = -200"),
        "model.toml [body]: full_to_x_mm: "
        "must lie behind full_from_x_mm at -150 mm; -200 mm came; "
        "correct one of them",
    ),
    "spoiler beyond the tip": (
        ("to_y_mm = 300", "to_y_mm = 1300"),
        "model.toml [spoiler]: to_y_mm: "
        "must end on the wing; 1300 mm came, the tip is at 1000 mm; correct it",
    ),
    "spoiler inside out": (
        ("to_y_mm = 300", "to_y_mm = 30"),
        "model.toml [spoiler]: to_y_mm: "
        "must be further out than from_y_mm; 30 mm came against 100 mm; swap them",
    ),
    "spoiler too deep": (
        ("setback_mm = 60", "setback_mm = 190"),
        "model.toml [spoiler]: setback_mm: "
        "must leave room for the blade on the wing; blade and setback need "
        "215 mm, the chord there is less; correct chord_mm or setback_mm",
    ),
    "bay ahead of the body": (
        ("from_x_mm = -150\nto", "from_x_mm = -270\nto"),
        "model.toml [[bay]] 'pack': from_x_mm: "
        "must lie inside the body, from -250 mm to 800 mm; -270 mm came; "
        "correct it",
    ),
    "bay too wide": (
        ("width_mm = 36", "width_mm = 50"),
        "model.toml [[bay]] 'pack': width_mm: "
        "must fit into the body; at -150 mm that is 44 mm wide, 50 mm came; "
        "correct the bay or the body",
    ),
    "bay too high": (
        ("height_mm = 30", "height_mm = 30\nz_mm = 20"),
        "model.toml [[bay]] 'pack': height_mm: "
        "must fit into the body; at -150 mm that reaches from z -30 mm to "
        "30 mm, the bay sticks out; correct the bay or the body",
    ),
    "bay back to front": (
        ("to_x_mm = -80", "to_x_mm = -180"),
        "model.toml [[bay]] 'pack': to_x_mm: "
        "must lie behind from_x_mm; -180 mm came against -150 mm; "
        "swap or correct them",
    ),
    "bay beside the wing": (
        ("to_x_mm = -80", 'to_x_mm = -80\nplace = "wing"\ny_mm = 200'),
        "model.toml [[bay]] 'pack': "
        "must lie inside the wing; -150 mm to -80 mm came, outside of it; correct it",
    ),
    "unknown key": (
        ("length_mm = 500\nroot", "lenght_mm = 500\nroot"),
        "model.toml [[panel]] 'inner': lenght_mm: "
        "is not a key that is known here; correct or remove it; "
        "nearest known: length_mm",
    ),
    "one panel in single brackets": (
        ("[tail]", "[[tail]]"),
        "model.toml: tail: must be one table [tail]; [[tail]] came; write it as [tail]",
    ),
}


@pytest.mark.parametrize("case", IMPOSSIBLE)
def test_what_cannot_be_is_said_in_one_sentence(case: str, shaped: Path, spoil: Spoil) -> None:
    (old, new), sentence = IMPOSSIBLE[case]
    spoil("model.toml", old, new)
    assert sentence in said(shaped)


def test_only_that_is_said(shaped: Path, spoil: Spoil) -> None:
    spoil("model.toml", "x_mm = 700", "x_mm = -300")
    assert len(said(shaped)) == 1


def test_a_winglet_may_lean_inwards(shaped: Path, spoil: Spoil) -> None:
    spoil("model.toml", "tip_chord_mm = 120", "tip_chord_mm = 120\ndihedral_deg = 100")
    assert read_model(shaped).airframe.span_m.value == pytest.approx(1.0, abs=1e-9)


def test_three_panels_that_close_a_triangle_cross(shaped: Path, spoil: Spoil) -> None:
    spoil(
        "model.toml",
        "tip_chord_mm = 120\n",
        'tip_chord_mm = 120\ndihedral_deg = 120\n[[panel]]\nname = "third"\n'
        "length_mm = 900\ntip_chord_mm = 100\n"
        "dihedral_deg = -110\n",
    )
    assert any("'third': dihedral_deg: must lead the panel clear of inner" in line for line in said(shaped))


@pytest.mark.parametrize("table", ["[tail]", "[body]", "[spoiler]"])
def test_a_shape_without_panels_is_refused(table: str, folder: Path, spoil: Spoil) -> None:
    body = SHAPE[SHAPE.index(table) :].split("\n\n", maxsplit=1)[0]
    spoil("model.toml", "[field]", f"{body}\n\n[field]")
    assert said(folder) == [
        f"model.toml: {table}: must stand together with the panels of the wing; there is no [[panel]]; "
        "add them or remove it"
    ]


def test_a_bay_without_a_body_is_refused(shaped: Path, spoil: Spoil) -> None:
    text = (shaped / "model.toml").read_text(encoding="utf-8")
    body = text[text.index("[body]") : text.index("[spoiler]")]
    spoil("model.toml", body, "")
    assert said(shaped) == [
        "model.toml [[bay]] 'pack': "
        "must lie inside a body; none is given; add a table [body] or remove the bay"
    ]


def test_sections_are_checked_by_the_names_that_are_handed_in() -> None:
    geometry = read_model(DEMO).airframe.geometry
    assert geometry is not None
    assert section_problems(geometry, lambda: ["ag35", "AG-36", "AG 37", "ht08"]) == []
    problems = section_problems(geometry, lambda: ["ag35", "ag37", "ag38", "ht08"])
    assert [str(problem) for problem in problems] == [
        "[[panel]] 'inner panel': tip_section: must be a known section or the name of a file in sections/, "
        "without .dat; 'AG36' came; correct it or add the file; nearest known: ag38, ag37, ag35"
    ]


def test_the_panels_of_the_demo_are_what_it_states() -> None:
    model = read_model(DEMO)
    assert [remark for remark in remark_on(model, None) if remark.where.startswith("airframe")] == []


def test_the_pack_bay_of_the_demo_lets_the_pack_move_but_not_into_balance() -> None:
    model = read_model(DEMO)
    geometry, front = model.airframe.geometry, model.airframe.balance_front_x_m
    assert geometry is not None
    assert front is not None
    bay = next(bay for bay in geometry.bays if "pack" in bay.takes)
    parts = {item.name: item.part for item in model.items}
    pack = parts["pack"]
    assert pack.length_m is not None
    assert pack.mass_kg is not None
    assert pack.x_m is not None
    rearmost = bay.to_x_m.value - 0.5 * pack.length_m.value
    assert bay.from_x_m.value + 0.5 * pack.length_m.value < pack.x_m.value < rearmost
    mass = sum(part.mass_kg.value for part in parts.values() if part.mass_kg)
    moment = sum(part.mass_kg.value * part.x_m.value for part in parts.values() if part.mass_kg and part.x_m)
    assert (moment + pack.mass_kg.value * (rearmost - pack.x_m.value)) / mass < front.value


def test_the_example_of_new_has_the_shape_and_its_pack_in_its_bay() -> None:
    model = model_of_texts(run(Request(name="Lark")).texts)
    assert model.airframe.geometry is not None
    bay = next(bay for bay in model.airframe.geometry.bays if "pack" in bay.takes)
    pack = next(item.part for item in model.items if item.name == "pack")
    assert pack.x_m is not None
    assert pack.length_m is not None
    assert bay.from_x_m.value < pack.x_m.value - 0.5 * pack.length_m.value
    assert pack.x_m.value + 0.5 * pack.length_m.value < bay.to_x_m.value


@pytest.mark.parametrize(("grade", "is_said"), [("measured", True), ("guessed", False)])
def test_a_stated_measure_that_disagrees_by_more_than_its_spread_gets_a_remark(
    grade: str, is_said: bool
) -> None:
    model = read_model(DEMO)
    stated = Given(value=0.38, grade=grade)  # type: ignore[arg-type]  # one of the grades
    airframe = model.airframe.model_copy(update={"wing_area_m2": stated})
    remarks = remark_on(model.model_copy(update={"airframe": airframe}), None)
    found = [remark.message for remark in remarks if "wing_area" in remark.where]
    assert bool(found) is is_said
    assert all("38 dm² is stated" in message and "36.1 dm²" in message for message in found)
