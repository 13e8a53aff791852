"""Energy of the motor run: drawn from the pack in one motor run (1 Wh is 60 W min)."""

from glidewright.base.figure import Figure
from glidewright.domain.class_limits import Limit
from glidewright.rules.measure import LoggedLaunch, of_result


def _logged(logged: LoggedLaunch, _limit: Limit) -> Figure:
    """Mean watts times seconds; the spread of the watts counts, the seconds are far surer."""
    power, run_s = logged.launch.mean_power, logged.launch.motor_run.value
    if power.value is None or power.low is None or power.high is None or run_s is None:
        return Figure.unknown("J", "Wh", power.because)
    return Figure(
        value=power.value * run_s,
        low=power.low * run_s,
        high=power.high * run_s,
        unit="J",
        shown="Wh",
        grade=power.grade,
        because=power.because,
    )


MEASURE = of_result(
    "energy",
    "Energy of the motor run",
    "J",
    "Wh",
    "energy_J",
    "drawn from the pack in one motor run (1 Wh is 60 W min)",
    _logged,
)
