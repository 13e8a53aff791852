"""Outcome: what came out when a step of the test plan was done, as the flyer wrote it down."""

from typing import ClassVar, Literal

from glidewright.base.fields import Noun, plain, quantity
from glidewright.base.figure import Given

from .bench import BenchReading
from .day import DayIfKnown, day_if_known
from .meters import balance_point, loaded_volts, pack_amps, propeller_speed, scale_mass
from .weighing import Weighing

AT_REST = "power"
"""Key of the step whose amps, volts and speed are a bench reading."""
Went = Literal["well", "badly"]


class Outcome(Noun):
    """One step that was done; the last one of a step counts, the earlier ones stay as evidence."""

    table: ClassVar[str] = "outcome"

    step: str = plain("Step", help="key of the step, as glidewright plan shows it")
    went: Went = plain("Went", help="well or badly")
    date: DayIfKnown = day_if_known()
    note: str = plain("Note", help="what was seen", default="")
    mass_kg: Given | None = scale_mass("that the scale read")
    x_m: Given | None = balance_point("where the model balanced, from the datum")
    current_A: Given | None = pack_amps()
    voltage_V: Given | None = loaded_volts("under load")
    revs_per_s: Given | None = propeller_speed("Speed of the propeller", "at full throttle")
    temperature_K: Given | None = quantity(
        "Temperature",
        key="temperature_C",
        shown="°C",
        help="of the hottest spot of the motor case",
        spread="temperature",
        at_least=-40,
        at_most=300,
    )
    distance_m: Given | None = quantity(
        "Distance",
        key="distance_m",
        shown="m",
        help="over the ground",
        spread="distance",
        above=0,
        at_most=5000,
    )
    time_s: Given | None = quantity(
        "Time", key="time_s", shown="s", help="by a stop watch", spread="time", above=0, at_most=36000
    )
    height_m: Given | None = quantity(
        "Height",
        key="height_m",
        shown="m",
        help="that the altimeter read",
        spread="height_reading",
        above=0,
        at_most=2000,
    )
    edge_m: Given | None = quantity(
        "Travel at the trailing edge",
        key="edge_mm",
        shown="mm",
        help="down positive",
        spread="edge_reading",
        at_least=-200,
        at_most=200,
    )


def weighing_of(outcome: Outcome) -> Weighing | None:
    """What an outcome teaches as a weighing of the whole model; nothing without a mass."""
    if outcome.mass_kg is None:
        return None
    note = f"test plan, step {outcome.step}"
    return Weighing(of=("all",), mass_kg=outcome.mass_kg, x_m=outcome.x_m, date=outcome.date, note=note)


def bench_reading_of(outcome: Outcome) -> BenchReading | None:
    """What an outcome teaches as a bench reading: amps, volts and speed of the step at rest."""
    if outcome.step != AT_REST or not (outcome.current_A or outcome.revs_per_s):
        return None
    return BenchReading(
        voltage_V=outcome.voltage_V,
        current_A=outcome.current_A,
        revs_per_s=outcome.revs_per_s,
        date=outcome.date,
        note=f"test plan, step {outcome.step}",
    )
