"""Mass and centre of gravity of a model that stands on two or three scales.

Statics: the reactions add up to the weight, and their moments to its moment, so that the centre of gravity is
``sum(r p) / sum(r)`` with reactions r at places p (Beer and Johnston, Vector Mechanics, Statics, chapter 4).
"""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def on_supports(reading_kg: Array, place_m: Array) -> tuple[Array, Array]:
    """Mass in kg, shape (n,), and centre of gravity in m, shape (n, 2), from scales under a model.

    reading_kg: shape (n, scales), tare taken off; place_m: (n, scales, 2) or (scales, 2), x aft and y right.
    Raises ValueError for fewer than two scales or a reading that is not above zero.

    >>> mass, centre = on_supports(np.array([[30.0, 5.0]]), np.array([[0.0, 0.0], [90.0, 0.0]]))
    >>> mass.item(), round(centre[0, 0].item(), 2)
    (35.0, 12.86)
    """
    if reading_kg.shape[1] < 2:
        raise ValueError(f"a model must stand on two or three scales; {reading_kg.shape[1]} came")
    if not np.all(reading_kg > 0.0):
        raise ValueError("every scale must read more than zero: a negative reaction means that it tips over")
    mass = reading_kg.sum(axis=1)
    place = np.broadcast_to(place_m, (*reading_kg.shape, 2))
    centre: Array = np.einsum("ns,nsj->nj", reading_kg, place) / mass[:, None]
    return mass, centre
