"""What is tried out as charts with held axes, as numbers that redraw their lines, and as a few figures."""

import math
from collections.abc import Iterable, Sequence

from glidewright.base.units import unit
from glidewright.base.wording import plain_text
from glidewright.decisions.nouns import NamedFigure, Series
from glidewright.decisions.try_out import LaunchTrial, PowerTrial
from glidewright.faces.report.document import Axis, Line, LineChart, Panel

_ROOM = 1.15  # of the highest value, so that a slider has somewhere to go before the axis ends
_STEPS = (1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
_DIGITS = 5


def power_chart(trial: PowerTrial) -> LineChart:
    """Thrust, current and speed of the propeller over airspeed."""
    return _chart(
        "try-power", "Power over airspeed", Axis("Airspeed", "m/s"), trial.airspeeds_m_s, trial.over_airspeed
    )


def launch_chart(trial: LaunchTrial) -> LineChart:
    """Height and current against time."""
    return _chart("try-launch", "One launch against time", Axis("Time", "s"), trial.times_s, trial.trace)


def power_figures(trial: PowerTrial) -> list[tuple[str, NamedFigure]]:
    """The operating points with the words that tell them apart."""
    return [("at rest", named) for named in trial.at_rest] + [
        ("in the climb", named) for named in trial.in_climb
    ]


def live_lines(
    x: Sequence[float], series: Iterable[Series], x_unit: str
) -> list[dict[str, list[float | None]]]:
    """The numbers of each panel in shown units; what is no number is nothing."""
    along = unit(x_unit)
    return [
        {"x": [_short(along.from_si(value)) for value in x]}
        | {
            name: [_short(unit(one.shown).from_si(value)) for value in getattr(one, name)]
            for name in ("value", "low", "high")
        }
        for one in series
    ]


def _chart(key: str, title: str, x: Axis, along: Sequence[float], series: Sequence[Series]) -> LineChart:
    last = max(along)
    panels = tuple(_panel(one, along) for one in series)
    peaks = "; ".join(
        f"{one.title.lower()} up to {plain_text(max(filter(math.isfinite, one.value)), one.shown)}"
        for one in series
    )
    held = Axis(x.title, x.unit, (0.0, last * (_ROOM if x.unit == "s" else 1.0)))
    return LineChart(key, title, f"{peaks[0].upper()}{peaks[1:]}.", held, panels, None)


def _panel(series: Series, along: Sequence[float]) -> Panel:
    shown = unit(series.shown)
    highest = max(shown.from_si(value) for value in series.high if math.isfinite(value))
    lowest = min(shown.from_si(value) for value in series.low if math.isfinite(value))
    top = _round_up(_ROOM * max(highest, 1e-6))
    bottom = -_round_up(-lowest) if lowest < -0.02 * top else 0.0
    line = Line.of("", along, series.value, series.low, series.high)
    return Panel(Axis(series.title, series.shown, (shown.to_si(bottom), shown.to_si(top))), (line,))


def _round_up(number: float) -> float:
    """The next number whose first digits read well.

    >>> _round_up(131.0), _round_up(0.017)
    (150.0, 0.02)
    """
    scale = 10.0 ** math.floor(math.log10(number))
    return float(f"{scale * next(step for step in _STEPS if step * scale >= number * (1 - 1e-12)):.6g}")


def _short(number: float) -> float | None:
    return float(f"{number:.{_DIGITS}g}") if math.isfinite(number) else None
