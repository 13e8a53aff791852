"""What is missing of a part: the same stand-ins as the forecast takes, each with its reading."""

from pathlib import Path

import pytest

from glidewright.base.fields import quantities
from glidewright.base.figure import Given
from glidewright.data import coefficients, packaged
from glidewright.decisions.part_gaps import NEEDS, missing_of
from glidewright.domain.parts import (
    KINDS,
    Altimeter,
    Ballast,
    Controller,
    Motor,
    Pack,
    Propeller,
    Receiver,
    Servo,
)
from glidewright.forecast.power_inputs import drive_of, power_inputs
from glidewright.models.power import typical
from glidewright.store.reading import read_model

ONE = Given(value=1.0)


def keys(part: object) -> list[str]:
    return [gap.key for gap in missing_of(part)]  # type: ignore[arg-type]


def test_stand_ins_are_those_of_the_forecast() -> None:
    model = read_model(Path(str(packaged("demo", "hill-demo"))))
    drive = drive_of(model)
    assert not isinstance(drive, str)
    taken = {(gap.part, gap.key): gap.stand_in for gap in power_inputs(drive, model).missing}
    named = {
        (gap.part, gap.key): gap.stand_in
        for part in (drive.motor, drive.controller, drive.pack, drive.propeller)
        for gap in missing_of(part)
        if gap.stand_in is not None
    }
    assert {("m28-1020", "resistance_mohm"), ("m28-1020", "no_load_current_A")} <= named.keys()
    assert named.keys() <= taken.keys()
    for place, figure in named.items():
        entry = taken[place]
        assert entry is not None
        assert (figure.value, figure.low, figure.high) == (entry.value, entry.low, entry.high), place
        assert figure.grade == "typical"


def test_every_need_is_a_quantity_of_its_kind() -> None:
    for kind, needs in NEEDS.items():
        assert {need.field for need in needs} <= set(quantities(KINDS[kind])), kind


def test_every_quantity_of_every_part_has_a_default_spread_by_grade() -> None:
    rows = coefficients("grades")
    for noun in KINDS.values():
        for name, meta in quantities(noun).items():
            assert meta.spread in rows, f"{noun.__name__}.{name}"


def test_a_part_of_which_everything_is_stated_has_no_gap() -> None:
    motor = Motor(
        id="m",
        mass_kg=ONE,
        kv_rad_per_Vs=ONE,
        resistance_ohm=ONE,
        no_load_current_A=ONE,
        max_current_A=ONE,
    )
    assert missing_of(motor) == ()
    assert missing_of(Ballast(id="b", mass_kg=ONE)) == ()


def test_nothing_stands_in_for_a_motor_of_unknown_kv_or_mass() -> None:
    gaps = missing_of(Motor(id="m", kv_rad_per_Vs=Given(value=100.0)))
    assert {gap.key: gap.stand_in for gap in gaps} == {
        "mass_g": None,
        "resistance_mohm": None,
        "no_load_current_A": None,
        "max_current_A": None,
    }
    assert {gap.key: gap.because for gap in gaps}["max_current_A"] == "its current limit cannot be checked"


def test_the_no_load_current_stands_in_at_the_voltage_that_is_stated() -> None:
    low, high = (
        Motor(
            id="m",
            kv_rad_per_Vs=Given(value=100.0),
            mass_kg=Given(value=0.05),
            no_load_voltage_V=Given(value=volts),
        )
        for volts in (5.0, 10.0)
    )
    first, second = (
        next(gap.stand_in for gap in missing_of(motor) if gap.key == "no_load_current_A")
        for motor in (low, high)
    )
    assert first is not None
    assert second is not None
    assert second.value == typical.typical_no_load_current(100.0, 0.05, 10.0).value
    assert first.value == typical.typical_no_load_current(100.0, 0.05, 5.0).value < second.value


def test_a_pack_with_an_own_limit_needs_no_c_rating() -> None:
    assert keys(Pack(id="p", cells=2, capacity_As=ONE)) == ["mass_g", "resistance_mohm", "c_rating"]
    assert keys(Pack(id="p", cells=2, capacity_As=ONE, max_current_A=ONE)) == ["mass_g", "resistance_mohm"]


@pytest.mark.parametrize(("folding", "gaps"), [(True, ["mass_g", "yoke_mm"]), (False, ["mass_g"])])
def test_only_a_folding_propeller_has_a_yoke(folding: bool, gaps: list[str]) -> None:
    propeller = Propeller(id="x", diameter_m=Given(value=0.28), pitch_m=Given(value=0.15), folding=folding)
    assert keys(propeller) == gaps
    stand_in = missing_of(propeller)[0].stand_in
    assert (stand_in is None) == folding, "blades alone are not the mass of a folding propeller"


def test_only_a_limiter_has_settings() -> None:
    assert keys(Altimeter(id="a", mass_kg=ONE)) == ["height_error_m"]
    assert keys(Altimeter(id="a", mass_kg=ONE, stops_motor=True)) == [
        "height_error_m",
        "cut_height_m",
        "cut_time_s",
    ]


def test_every_gap_names_a_reading_and_why() -> None:
    parts = [
        Motor(id="m"),
        Controller(id="c"),
        Pack(id="p", cells=2, capacity_As=ONE),
        Propeller(id="x", diameter_m=Given(value=0.28), pitch_m=Given(value=0.15)),
        Servo(id="s"),
        Receiver(id="r"),
        Altimeter(id="a", stops_motor=True),
        Ballast(id="b"),
    ]
    for part in parts:
        gaps = missing_of(part)
        assert gaps
        assert all(gap.narrows and gap.because and gap.part == part.id for gap in gaps)
