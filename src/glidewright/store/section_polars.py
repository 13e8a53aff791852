"""Polars of an aerofoil section from its outline, by neuralfoil, the optional extra ``airfoils``.

The same computation fills the packaged tables (``studies/sections.py``) and serves a flyer's own section.
The package is imported when it is first asked, for it brings a lot with it.
"""

from functools import cache
from importlib import import_module
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError
from glidewright.models.aero.section_table import grid

Array = NDArray[np.float64]

TOOL = "neuralfoil"
MODEL_SIZE = "xxxlarge"  # the largest network of the package
FREE_N_CRIT = 9.0
FORCED_N_CRIT = 5.0
FORCED_AT = 0.10  # of the chord, on both sides
REYNOLDS_LOW, REYNOLDS_HIGH = 6.0e4, 3.0e5  # nominal, of the tunnel runs in studies/section_bias.py
_COLUMNS = ("CL", "CD", "CM", "analysis_confidence")


def computed_table(points: Array) -> Array:
    """Coefficients at every node of the grid, shape of ``Grid.shape``; points in the chord frame, (n, 2).

    First free transition, n_crit 9; then transition forced at 10 % of the chord on both sides, n_crit 5.
    Raises InputError where the extra package is missing.
    """
    nodes = grid()
    states = ((FREE_N_CRIT, 1.0), (FORCED_N_CRIT, FORCED_AT))
    return np.stack([_state_table(points, nodes.reynolds, *state) for state in states])


def coefficients_at(
    points: Array, alpha_rad: Array, reynolds: Array, n_crit: float = FREE_N_CRIT, forced_at: float = 1.0
) -> Array:
    """Computed CL, CD, CM and confidence, shape (points, 4), at pairs of angle and Reynolds number."""
    found = _tool().get_aero_from_coordinates(
        coordinates=points,
        alpha=np.degrees(alpha_rad),
        Re=reynolds,
        n_crit=n_crit,
        xtr_upper=forced_at,
        xtr_lower=forced_at,
        model_size=MODEL_SIZE,
    )
    return np.stack([np.asarray(found[column], dtype=np.float64) for column in _COLUMNS], axis=-1)


def _state_table(points: Array, reynolds: Array, n_crit: float, forced_at: float) -> Array:
    alpha = grid().alpha_rad
    pairs = np.broadcast_arrays(alpha, reynolds[:, None])
    flat = coefficients_at(points, pairs[0].ravel(), pairs[1].ravel(), n_crit, forced_at)
    return flat.reshape(reynolds.size, alpha.size, len(_COLUMNS))


@cache
def _tool() -> Any:
    try:
        return import_module(TOOL)
    except ImportError as error:
        message = (
            "polars of an own section must be computed and the package for it is not installed; "
            "run: pip install 'glidewright[airfoils]'"
        )
        raise InputError.at("section", message) from error
