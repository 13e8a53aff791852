"""Natural motions over draws, and the turn by rudder alone."""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.decisions.gliding.handling_flow import Handled
from glidewright.decisions.gliding.handling_nouns import ModeRow, ModesAt, TurnRow
from glidewright.models.aero.modes import (
    Mode,
    lateral_matrix,
    lateral_modes,
    longitudinal_matrix,
    longitudinal_modes,
    pitch_slopes,
    side_slopes,
)
from glidewright.models.aero.steering import forcing, response, steady_roll_rad_s

Array = NDArray[np.float64]
TURN_TIME_S = 2.0
_ALONE = 0.9
_LINEAR = "linear equations of motion over the draws of balance, mass, inertia and air"


def modes_at(handled: Handled, title: str) -> ModesAt:
    """Both kinds of motions; each is told by the draws that have it."""
    rows = range(len(handled.bodies))
    long = [longitudinal_modes(_longitudinal(handled, row)) for row in rows]
    side = [lateral_modes(lateral_of(handled, row)) for row in rows]
    return ModesAt(
        title=title,
        airspeed_m_s=float(np.median(handled.airspeed_m_s)),
        longitudinal=_mode_rows(handled, long),
        lateral=_mode_rows(handled, side),
    )


def lateral_of(handled: Handled, row: int) -> Array:
    """Lateral state matrix of one draw."""
    return lateral_matrix(side_slopes(handled.slopes, row), handled.bodies[row], handled.glider.reference)


def _longitudinal(handled: Handled, row: int) -> Array:
    slopes = handled.slopes
    profile = float(handled.drag[row] - slopes.at("drag")[row])
    rise = float(handled.drag_alpha[row] - slopes.of("drag", "alpha")[row])
    return longitudinal_matrix(
        pitch_slopes(slopes, row, profile, rise), handled.bodies[row], handled.glider.reference
    )


def _mode_rows(handled: Handled, draws: Sequence[Sequence[Mode]]) -> tuple[ModeRow, ...]:
    """One row for each motion that the draws most often have, in the order of the first of these draws."""
    names = [tuple(mode.name for mode in modes) for modes in draws]
    usual = max(dict.fromkeys(names), key=names.count)
    number = len(usual)
    columns = [
        [modes[place] if own == usual else None for modes, own in zip(draws, names, strict=True)]
        for place in range(number)
    ]
    return tuple(_mode_row(handled, column) for column in columns)


def _mode_row(handled: Handled, column: Sequence[Mode | None]) -> ModeRow:
    """One motion; a draw that does not have it is nothing."""
    modes = [mode for mode in column if mode is not None]

    def figure(read: Callable[[Mode], float | None], shown: str, why: str) -> Figure:
        values = [None if mode is None else read(mode) for mode in column]
        draws = np.array([np.nan if value is None else value for value in values])
        count = int(np.isfinite(draws).sum())
        if count < _ALONE * len(modes):
            return Figure.unknown(shown or "1", shown, why)
        found = handled.figure(draws, shown, _LINEAR)
        if count == len(column):
            return found
        return found.model_copy(update={"because": f"{count} of {len(column)} draws; {found.because}"})

    return ModeRow(
        name=modes[0].name,
        root_real_per_s=float(np.median([mode.root_per_s.real for mode in modes])),
        root_imaginary_per_s=float(np.median([mode.root_per_s.imag for mode in modes])),
        damping_ratio=figure(lambda mode: mode.damping_ratio, "", "it does not swing"),
        period=figure(lambda mode: mode.period_s, "s", "it does not swing"),
        time_to_half=figure(lambda mode: mode.time_to_half_s, "s", "it does not die away in enough draws"),
        time_to_double=figure(lambda mode: mode.time_to_double_s, "s", "it does not grow in enough draws"),
        share=len(modes) / len(column),
    )


def push_of(handled: Handled, row: int, coefficients: Array) -> Array:
    """Forcing of one draw, (4,), from side, rolling and yawing coefficients, (3,)."""
    side, roll, yaw = (float(number) for number in coefficients)
    return forcing(side, roll, yaw, handled.bodies[row], handled.glider.reference)


def steady_rolls(handled: Handled, coefficients: Array) -> Array:
    """Roll rate, right positive, that constant coefficients (draws, 3) start; (draws,)."""
    rows = range(len(handled.bodies))
    return np.array(
        [steady_roll_rad_s(lateral_of(handled, i), push_of(handled, i, coefficients[i])) for i in rows]
    )


def turn_row(handled: Handled, title: str, rudder_rad: float) -> TurnRow:
    """Answer to rudder moved at once and held, from straight flight; right positive."""
    slopes = handled.slopes
    push = rudder_rad * np.stack([slopes.of(name, "rudder") for name in ("side", "roll", "yaw")], axis=1)
    rolls = steady_rolls(handled, push)
    banks = np.array(
        [
            response(lateral_of(handled, i), push_of(handled, i, push[i]), TURN_TIME_S)[3]
            for i in range(rolls.size)
        ]
    )
    return TurnRow(
        title=title,
        airspeed_m_s=float(np.median(handled.airspeed_m_s)),
        roll_rate=handled.figure(rolls, "°/s", _LINEAR),
        bank_after=handled.figure(banks, "°", _LINEAR),
    )
