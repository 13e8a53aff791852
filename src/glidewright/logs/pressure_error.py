"""Error of the static pressure with airspeed: whether the indicated height trades against speed as it must.

Where speed is traded for height, ``dh = -d(V^2)/2g``. A port that sees a share k of the dynamic pressure
shows ``dh = -(1 + k) d(V^2)/2g`` for pressure that is too high with speed (the indicated height too low).
"""

import numpy as np

from glidewright.base.figure import Figure
from glidewright.data.standard_air import GRAVITY_m_s2

from .figures import metres
from .scene import Scene
from .track import Mask, means

_APART_s = 2.0
_LEAST_EXCHANGE_m = 0.6  # standard deviation of the exchanged height, below which nothing can be told
_FEWEST = 30
_AT_m_s = 10.0
_DRAG_ERROR = 0.1  # of the exchange: drag changes with speed too


def airspeed_error(scene: Scene, gliding: Mask) -> Figure:
    """Indicated metres that the altimeter is off at 10 m/s, by the trade of height for speed in the glide."""
    if scene.airspeed_m_s is None:
        return Figure.unknown("m", "m", "airspeed was not recorded")
    track = scene.track
    apart = max(round(_APART_s / track.step_s), 1)
    half = max(round(0.5 / track.step_s), 1)
    exchange = means(scene.airspeed_m_s, half) ** 2 / (2.0 * GRAVITY_m_s2)
    both = gliding[apart:] & gliding[:-apart]
    gained = (exchange[apart:] - exchange[:-apart])[both]
    risen = (track.height_m[apart:] - track.height_m[:-apart])[both]
    if gained.size < _FEWEST or np.std(gained) < _LEAST_EXCHANGE_m:
        return Figure.unknown(
            "m", "m", "the speed hardly changed in the glide; a few shallow dives and zooms would show it"
        )
    base = np.stack([gained, np.ones(gained.size)], axis=1)
    solved, *_ = np.linalg.lstsq(base, risen, rcond=None)
    left = risen - base @ solved
    independent = max(gained.size / (2 * apart), 2.0)
    error = float(np.std(left) / (np.std(gained) * np.sqrt(independent)))
    share = -1.0 - float(solved[0])
    at = _AT_m_s**2 / (2.0 * GRAVITY_m_s2)
    return metres(
        -share * at,
        float(np.hypot(error, _DRAG_ERROR)) * at,
        "trade of height for speed in the glide, negative: it shows too little; drag and delays are in it",
    )
