"""NOMENCLATURE.md and the code know the same names, with the same units."""

import ast
import re
import runpy
from collections.abc import Iterator
from pathlib import Path

import pytest

from glidewright.base.fields import Noun, quantities
from glidewright.base.units import BY_SYMBOL
from glidewright.data import packaged
from glidewright.decisions import nouns
from glidewright.domain import (
    airframe,
    bench,
    class_limits,
    control,
    correction,
    field,
    flight_reading,
    flight_record,
    geometry,
    launch_plan,
    learned,
    logbook,
    model,
    rule_options,
    scoring,
    weighing,
)
from glidewright.domain.parts import KINDS, Part
from glidewright.forecast import predict
from glidewright.forecast.draws import FIXED_ORDER
from glidewright.forecast.predict import LAUNCH_RESULTS, POWER_RESULTS
from glidewright.forecast.setup import prepare
from glidewright.models.aero.polar import POLAR_FIELDS
from glidewright.models.launch import layout as launch
from glidewright.models.power import layout as power
from glidewright.rules import finding
from glidewright.rules.measures import MEASURES
from glidewright.store.reading import read_model

REPOSITORY = Path(__file__).parents[2]
PAPER = REPOSITORY / "NOMENCLATURE.md"
MAKER = runpy.run_path(str(REPOSITORY / "docs" / "make_tables.py"))
MAPPINGS = (
    POLAR_FIELDS,
    power.POWER_FIELDS,
    power.CONDITION_FIELDS,
    power.POINT_FIELDS,
    launch.LAUNCH_FIELDS,
    launch.START_FIELDS,
    launch.STATE_FIELDS,
    launch.OUTPUT_FIELDS,
    launch.TRACE_FIELDS,
    flight_record.CHANNELS,
)
MODULES = (
    airframe,
    bench,
    class_limits,
    control,
    correction,
    field,
    flight_reading,
    geometry,
    launch_plan,
    learned,
    logbook,
    model,
    rule_options,
    scoring,
    weighing,
    nouns,
    finding,
)
ROW = re.compile(r"^\| `(?P<name>[^`]+)` \| (?P<second>[^|]*?) \|", re.MULTILINE)


def rows_under(head: str) -> set[tuple[str, str]]:
    """First and second cells of all tables of the paper whose first head cell is this."""
    found = set()
    for block in PAPER.read_text(encoding="utf-8").split("\n\n"):
        if block.startswith(f"| {head} |"):
            found |= {(row["name"], row["second"]) for row in ROW.finditer(block)}
    return found


def all_nouns() -> set[type[Noun]]:
    things = {thing for module in MODULES for thing in vars(module).values() if isinstance(thing, type)}
    return ({thing for thing in things if issubclass(thing, Noun)} | set(KINDS.values()) | {Part}) - {Noun}


def results_in_source() -> Iterator[str]:
    """Names under which forecast puts draws into ``values``, read from its source."""
    for path in Path(predict.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            is_item = isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name)
            if is_item and node.value.id == "values" and isinstance(node.slice, ast.Constant):
                yield node.slice.value


def results() -> set[str]:
    """Public results: those of the source, of the two lists, and of a prediction that is really made."""
    demo = read_model(Path(str(packaged("demo", "hill-demo"))))
    made = predict.forecast(prepare(demo, None, 4), with_trace=False).prediction
    return {*results_in_source(), *POWER_RESULTS, *LAUNCH_RESULTS, *made.values, *made.unknown}


@pytest.fixture(scope="module")
def known_to_code() -> set[tuple[str, str]]:
    """Every (name, SI unit) that must have a line."""
    suffixes = MAKER["suffixes"]()

    def unit(name: str) -> str:
        return MAKER["unit_of_name"](name, suffixes)

    found = {(name, unit(name)) for mapping in MAPPINGS for name in mapping}
    found |= {(name, unit(name)) for name in results()}
    for noun in all_nouns():
        metas = quantities(noun)
        found |= {(name, meta.shown.si) for name, meta in metas.items()}
        found |= {(name, unit(name)) for name in noun.model_fields if name not in metas and unit(name) != "1"}
    return found


def test_every_name_in_code_has_a_line_with_its_unit(known_to_code: set[tuple[str, str]]) -> None:
    assert sorted(known_to_code - rows_under("Name in code")) == []


def test_no_line_names_what_the_code_does_not_know(known_to_code: set[tuple[str, str]]) -> None:
    assert sorted(rows_under("Name in code") - known_to_code) == []


def test_the_walk_finds_names_of_every_room(known_to_code: set[tuple[str, str]]) -> None:
    expected = {
        ("mass_kg", "kg"),
        ("kv_rad_per_Vs", "rad/s/V"),
        ("pack_capacity_As", "A s"),
        ("cg_x_m", "m"),
        ("airspeeds_m_s", "m/s"),
        ("window_s", "s"),
        ("speed_s_per_rad", "s/rad"),
    }
    assert expected <= known_to_code


@pytest.mark.parametrize("noun", sorted(all_nouns(), key=lambda noun: noun.__name__))
def test_the_suffix_of_a_quantity_is_the_si_unit_of_its_key(noun: type[Noun]) -> None:
    suffixes = MAKER["suffixes"]()
    for name, meta in quantities(noun).items():
        if meta.shown.si != "money":
            assert MAKER["unit_of_name"](name, suffixes) == meta.shown.si, f"{noun.__name__}.{name}"


def test_the_results_that_measures_read_are_named() -> None:
    named = {name for name, _ in rows_under("Name in code")}
    read = {measure.result for measure in MEASURES.values() if measure.result}
    assert read
    assert read <= named


def test_the_inputs_of_a_prediction_are_named() -> None:
    assert [name for name, _ in sorted(rows_under("Input"))] == sorted(FIXED_ORDER)


def test_every_suffix_has_a_unit_that_some_name_bears(known_to_code: set[tuple[str, str]]) -> None:
    suffixes = MAKER["suffixes"]()
    si_units = {unit.si for unit in BY_SYMBOL.values()} | {unit for _, unit in known_to_code}
    # of constants and of results inside the rooms only
    inside = {"m/s2", "rad/s"}
    assert set(suffixes.values()) <= si_units | inside


def test_the_generated_tables_are_what_the_code_makes() -> None:
    made = MAKER["papers"]()[PAPER]
    assert made == PAPER.read_text(encoding="utf-8"), "run python docs/make_tables.py"


def test_a_table_without_a_place_is_refused() -> None:
    with pytest.raises(ValueError, match="one place for every generated table; look at: motor"):
        MAKER["renewed"]("no place here", {"motor": "| a |\n"}, "PAPER.md")
