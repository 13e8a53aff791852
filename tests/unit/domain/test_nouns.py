"""Every noun of the domain: names say their SI unit, keys their file unit, every field has title and help."""

import typing

import pytest
from pydantic import ValidationError

from glidewright.base.door import read_noun
from glidewright.base.fields import Noun, Quantity, quantities
from glidewright.base.figure import Given
from glidewright.base.units import unit_of_key
from glidewright.data import coefficients
from glidewright.domain.airframe import Airframe
from glidewright.domain.bench import BenchReading
from glidewright.domain.control import Build, Control, Steering
from glidewright.domain.field import Field
from glidewright.domain.geometry import MANY_TABLES, ONE_TABLE
from glidewright.domain.launch_plan import LaunchPlan
from glidewright.domain.logbook import PackCharge, SetUp, Weather
from glidewright.domain.model import Fitted
from glidewright.domain.outcome import Outcome
from glidewright.domain.parts import KINDS, Pack, Part, PlainItem, Propeller
from glidewright.domain.rule_options import CheckLogger
from glidewright.domain.weighing import Support, Weighing

NOUNS: list[type[Noun]] = [
    *KINDS.values(),
    Airframe,
    *ONE_TABLE,
    *MANY_TABLES,
    Field,
    LaunchPlan,
    Fitted,
    Weighing,
    Support,
    BenchReading,
    Outcome,
    SetUp,
    Weather,
    PackCharge,
    CheckLogger,
    Control,
    Steering,
    Build,
]
QUANTITIES = [
    pytest.param(noun, name, meta, id=f"{noun.__name__}.{name}")
    for noun in NOUNS
    for name, meta in quantities(noun).items()
]
# How a field name ends for each SI unit; dimensionless names and money carry no suffix.
ENDINGS = {
    "m": ("_m",),
    "m2": ("_m2",),
    "kg": ("_kg",),
    "kg/m3": ("_kg_m3",),
    "s": ("_s",),
    "m/s": ("_m_s",),
    "A": ("_A",),
    "V": ("_V",),
    "ohm": ("_ohm",),
    "A s": ("_As",),
    "W": ("_W",),
    "N": ("_N",),
    "N m": ("_Nm",),
    "Pa": ("_Pa",),
    "K": ("_K",),
    "rad": ("_rad",),
    "1/s": ("revs_per_s",),
    "rad/s/V": ("_rad_per_Vs",),
    "s/rad": ("_s_per_rad",),
}


@pytest.mark.parametrize(("noun", "name", "meta"), QUANTITIES)
def test_the_name_of_a_quantity_ends_in_its_si_unit(noun: type[Noun], name: str, meta: Quantity) -> None:
    if meta.shown.si in ("1", "money"):
        assert not name.endswith(tuple(end for ends in ENDINGS.values() for end in ends)), noun
    else:
        assert name.endswith(ENDINGS[meta.shown.si])


@pytest.mark.parametrize(("noun", "name", "meta"), QUANTITIES)
def test_the_key_of_a_quantity_ends_in_its_file_unit(noun: type[Noun], name: str, meta: Quantity) -> None:
    found = unit_of_key(meta.key)
    if meta.shown.suffix:
        assert found == meta.shown, (noun, name)
    else:
        assert found is None


@pytest.mark.parametrize(("noun", "name", "meta"), QUANTITIES)
def test_ranges_make_sense_and_the_spread_has_a_row(noun: type[Noun], name: str, meta: Quantity) -> None:
    low = meta.above if meta.above is not None else meta.at_least
    assert low is not None, f"{noun.__name__}.{name} has no lower bound"
    assert meta.above is None or meta.at_least is None
    assert meta.at_most is None or low < meta.at_most
    if meta.usual is not None:
        assert low <= meta.usual[0] < meta.usual[1]
        assert meta.at_most is None or meta.usual[1] <= meta.at_most
    assert meta.spread in coefficients("grades")


@pytest.mark.parametrize("noun", NOUNS)
def test_every_field_has_a_title_and_a_help(noun: type[Noun]) -> None:
    for name, info in noun.model_fields.items():
        assert info.title, name
        assert info.description, name


@pytest.mark.parametrize("noun", NOUNS)
def test_keys_of_a_noun_are_unique(noun: type[Noun]) -> None:
    metas = quantities(noun)
    keys = [metas[name].key if name in metas else name for name in noun.model_fields]
    assert len(set(keys)) == len(keys)


@pytest.mark.parametrize(("noun", "name", "meta"), QUANTITIES)
def test_a_default_lies_in_its_own_range_and_says_why(noun: type[Noun], name: str, meta: Quantity) -> None:
    default = noun.model_fields[name].get_default()
    if not isinstance(default, Given):
        return
    number = meta.shown.from_si(default.value)
    assert meta.above is None or number > meta.above
    assert meta.at_least is None or number >= meta.at_least
    assert meta.at_most is None or number <= meta.at_most * (1 + 1e-12)
    assert default.because


def test_kinds_are_named_as_their_files_tables() -> None:
    assert set(KINDS) == {
        "motor",
        "controller",
        "pack",
        "propeller",
        "servo",
        "receiver",
        "altimeter",
        "linkage",
        "ballast",
        "item",
    }
    assert all(noun.kind == kind and noun.kind_title for kind, noun in KINDS.items())


def test_a_part_is_called_by_its_title_else_by_its_id() -> None:
    assert PlainItem(id="pod").name == "pod"
    assert PlainItem(id="pod", title="Fuselage pod").name == "Fuselage pod"


def test_the_groups_of_an_item_are_those_of_all_parts() -> None:
    assert set(typing.get_args(PlainItem.model_fields["group"].annotation)) == set(Part.groups)


@pytest.mark.parametrize("cells", [0, -1, 15])
def test_a_pack_has_one_to_fourteen_cells(cells: int) -> None:
    with pytest.raises(ValidationError):
        Pack(id="p", cells=cells, capacity_As=Given(value=1980.0))


@pytest.mark.parametrize("blades", [0, 7])
def test_a_propeller_has_one_to_six_blades(blades: int) -> None:
    with pytest.raises(ValidationError):
        Propeller(id="x", diameter_m=Given(value=0.28), pitch_m=Given(value=0.15), blades=blades)


def test_a_reading_is_at_full_throttle_unless_it_says_otherwise() -> None:
    assert BenchReading().throttle.value == 1.0
    assert read_noun(BenchReading, {"throttle_percent": 50}, "file").throttle.value == 0.5


def test_the_day_is_standard_and_calm_at_sea_level_unless_stated_and_says_so() -> None:
    day = Field()
    assert (day.elevation_m.value, day.headwind_m_s.value) == (0.0, 0.0)
    assert day.temperature_K is None
    assert day.pressure_Pa is None
    assert day.elevation_m.grade == day.headwind_m_s.grade == "guessed"
