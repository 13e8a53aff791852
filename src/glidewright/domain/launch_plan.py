"""How the model is launched, and when a launch is no longer worth making."""

import math
from typing import ClassVar

from glidewright.base.fields import Noun, quantity
from glidewright.base.figure import Given


def _given(value: float, because: str) -> Given:
    return Given(value=value, grade="typical", because=because)


class LaunchPlan(Noun):
    """Throw, climb, motor run, rest between launches, and the criteria of the last useful launch."""

    table: ClassVar[str] = "launch"

    climb_speed_m_s: Given | None = quantity(
        "Climb airspeed",
        key="climb_speed_m_per_s",
        shown="m/s",
        help="held in the climb; the best one when left out",
        spread="climb_speed",
        above=0,
        at_most=40,
        usual=(5, 16),
    )
    glide_speed_m_s: Given | None = quantity(
        "Glide airspeed",
        key="glide_speed_m_per_s",
        shown="m/s",
        help="held after the push-over; that of least sink when left out",
        spread="climb_speed",
        above=0,
        at_most=40,
    )
    throw_speed_m_s: Given = quantity(
        "Throw",
        key="throw_speed_m_per_s",
        shown="m/s",
        help="speed over ground at release",
        spread="throw",
        at_least=0,
        at_most=20,
        default=_given(7.0, "firm push"),
    )
    throw_height_m: Given = quantity(
        "Release height",
        key="throw_height_m",
        shown="m",
        help="of the hand",
        spread="exact",
        at_least=0,
        at_most=10,
        default=_given(1.8, "raised hand"),
    )
    motor_run_s: Given | None = quantity(
        "Motor run",
        key="motor_run_s",
        shown="s",
        help="by the pilot's timer; the class limit when left out",
        spread="timer",
        above=0,
        at_most=600,
    )
    cut_height_m: Given | None = quantity(
        "Own cut height",
        key="cut_height_m",
        shown="m",
        help="height at which the pilot or a switch stops the motor",
        spread="exact",
        above=0,
        at_most=1000,
    )
    steepest_path_rad: Given = quantity(
        "Steepest climb",
        key="steepest_path_deg",
        shown="°",
        help="steepest path that the pilot flies",
        spread="exact",
        above=0,
        at_most=89,
        default=_given(math.radians(60.0), "60 degrees"),
    )
    rest_s: Given = quantity(
        "Time between launches",
        key="rest_s",
        shown="s",
        help="from the end of a launch, when its height is settled, to the next motor start",
        spread="exact",
        at_least=0,
        at_most=7200,
        default=_given(300.0, "a flight of five minutes"),
    )
    charge_at_start: Given = quantity(
        "Charge at the first launch",
        key="charge_at_start_percent",
        shown="%",
        help="of the capacity",
        spread="exact",
        above=0,
        at_most=100,
        default=_given(1.0, "fully charged"),
    )
    reserve: Given = quantity(
        "Reserve",
        key="reserve_percent",
        shown="%",
        help="share of the capacity that stays in the pack",
        spread="exact",
        at_least=0,
        at_most=90,
        default=_given(0.2, "common practice"),
    )
    sluggish: Given = quantity(
        "Sluggish climb",
        key="sluggish_percent",
        shown="%",
        help="a launch is no longer useful when its mean climb falls below this share of the first one's",
        spread="exact",
        at_least=10,
        at_most=100,
        default=_given(0.75, "our judgement"),
    )
    lowest_cell_V: Given = quantity(
        "Lowest cell voltage",
        key="lowest_cell_V",
        shown="V",
        help="under load; a launch that goes lower is not useful",
        spread="exact",
        at_least=2.5,
        at_most=4.0,
        default=_given(3.2, "common practice, 3.0 to 3.3 V"),
    )
