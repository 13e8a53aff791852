"""Height that a mistake costs: a point mass that first flies as it is trimmed and is then pulled level.

Motion in the vertical plane, motor off: V' = -g sin(path) - D / m, path' = (L - m g cos(path)) / (m V), h' =
V sin(path) (B. Etkin and L. D. Reid, Dynamics of Flight, equations of a point mass). The lift coefficient
is given for each of two phases: what the model flies by itself until the pilot reacts, and what the pilot
then pulls; how the model turns in pitch in between takes no time.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Drag = Callable[[Array, Array], Array]
_STEP_S = 0.01
_LONGEST_S = 12.0


@dataclass(frozen=True)
class Upset:
    """What happens, over draws (n,).

    speed_m_s, path_rad: at the start, path up positive; left_alone_s: until the pilot reacts; closing_s: from
    there until the brake is in; free_lift, pulled_lift: lift coefficients before and after; brake_drag: drag
    coefficient of the open brake; loading_N_m2: weight over wing area; density_kg_m3: of the air.
    """

    speed_m_s: Array
    path_rad: Array
    left_alone_s: Array
    closing_s: Array
    free_lift: Array
    pulled_lift: Array
    brake_drag: Array
    loading_N_m2: Array
    density_kg_m3: Array


@dataclass(frozen=True)
class Recovery:
    """What it costs, (n,): height from the start to the lowest point, the fastest speed, and the time to it.

    Not a number where the model is not level again after 12 s.
    """

    height_lost_m: Array
    fastest_m_s: Array
    time_s: Array


def recovery(upset: Upset, drag: Drag, gravity_m_s2: float) -> Recovery:
    """Fly the mistake and the pull-out, by the midpoint rule in steps of 0.01 s.

    drag: drag coefficient of the closed model from lift coefficient and airspeed, (n,) each.

    Without drag and left alone for no time, a pull at the lift of twice the weight from a dive of 30 degrees:

    >>> ones = np.ones(1)
    >>> start = Upset(12.0 * ones, -np.pi / 6.0 * ones, 0.0 * ones, 0.0 * ones, ones, ones, 0.0 * ones,
    ...               25.0 * ones, 1.2 * ones)
    >>> found = recovery(start, lambda lift, speed: 0.0 * lift, 9.80665)
    >>> bool(0.5 < found.height_lost_m[0] < 2.0)
    True
    """
    state = np.stack([upset.speed_m_s, upset.path_rad, np.zeros_like(upset.speed_m_s)])
    lowest, fastest = np.zeros_like(upset.speed_m_s), upset.speed_m_s.copy()
    level_at = np.full_like(upset.speed_m_s, np.nan)
    time = 0.0
    while time < _LONGEST_S and np.isnan(level_at).any():
        first = _rates(upset, drag, gravity_m_s2, time, state)
        middle = _rates(upset, drag, gravity_m_s2, time + 0.5 * _STEP_S, state + 0.5 * _STEP_S * first)
        flying = np.isnan(level_at)
        state = np.where(flying, state + _STEP_S * middle, state)
        time += _STEP_S
        lowest, fastest = np.minimum(lowest, state[2]), np.maximum(fastest, state[0])
        done = flying & (time >= upset.left_alone_s) & (state[1] >= 0.0)
        level_at = np.where(done, time, level_at)
    lost = np.where(np.isnan(level_at), np.nan, -lowest)
    return Recovery(lost, np.where(np.isnan(level_at), np.nan, fastest), level_at)


def _rates(upset: Upset, drag: Drag, gravity_m_s2: float, time_s: float, state: Array) -> Array:
    speed, path, _ = state
    since = time_s - upset.left_alone_s
    lift = np.where(since < 0.0, upset.free_lift, upset.pulled_lift)
    with np.errstate(divide="ignore", invalid="ignore"):
        gone = np.where(upset.closing_s > 0.0, since / upset.closing_s, np.where(since < 0.0, 0.0, 1.0))
    open_share = 1.0 - np.clip(gone, 0.0, 1.0)
    load = 0.5 * upset.density_kg_m3 * speed**2 / upset.loading_N_m2  # lift coefficient 1, in weights
    slowed = load * (drag(lift, speed) + open_share * upset.brake_drag)
    return np.stack(
        [
            -gravity_m_s2 * (np.sin(path) + slowed),
            gravity_m_s2 * (load * lift - np.cos(path)) / speed,
            speed * np.sin(path),
        ]
    )
