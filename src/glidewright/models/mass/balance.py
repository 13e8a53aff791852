"""Mass, centre of gravity and inertia of a set of items, over any number of draws.

Statics of rigid bodies: centre of gravity x = sum(m x) / sum(m); inertia about the centre of gravity by the
parallel-axis theorem (Huygens and Steiner), each item taken as a solid box of its stated size.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Balance:
    """Sums over the items, one row a draw.

    mass_kg: shape (n,); centre_m: (n, 3), x aft, y right, z up; inertia_kg_m2: (n, 3, 3) about the centre of
    gravity, products with their minus sign (the tensor).
    """

    mass_kg: Array
    centre_m: Array
    inertia_kg_m2: Array


def balance(mass_kg: Array, station_m: Array, size_m: Array) -> Balance:
    """Mass in kg, centre of gravity in m and inertia in kg m2 of items; statics as in the head of the file.

    mass_kg: shape (n, items), each > 0; station_m: (n, items, 3) or (items, 3), x aft, y right, z up;
    size_m: (items, 3), full lengths of the box, zero for a point. Inertia of a box about its own centre is
    ``m (b^2 + c^2) / 12`` (Beer and Johnston, Vector Mechanics, Dynamics, table of mass moments of inertia).
    Nothing is checked: no mass at all is not a number.

    >>> two = balance(np.array([[1.0, 3.0]]), np.array([[0.0, 0, 0], [1.0, 0, 0]]), np.zeros((2, 3)))
    >>> two.centre_m.tolist(), two.inertia_kg_m2[0, 1, 1].item()
    ([[0.75, 0.0, 0.0]], 0.75)
    """
    total = mass_kg.sum(axis=1)
    place = np.broadcast_to(station_m, (*mass_kg.shape, 3))
    centre = np.einsum("ni,nij->nj", mass_kg, place) / total[:, None]
    arm = place - centre[:, None, :]
    squares = np.einsum("ni,nij,nik->njk", mass_kg, arm, arm)
    own = np.einsum("ni,ij->nj", mass_kg, size_m**2) / 12.0
    second = squares + np.einsum("nj,jk->njk", own, np.eye(3))
    trace = np.trace(second, axis1=1, axis2=2)
    inertia = np.einsum("n,jk->njk", trace, np.eye(3)) - second
    return Balance(total, centre, inertia)


def condition_on_sum(
    parts: Array, covariance: Array, weight: Array, total: Array, error_variance: float
) -> tuple[Array, Array]:
    """Move draws of parts so that their weighted sum meets drawn readings, each in proportion to its doubt.

    For jointly normal parts this is exact conditioning on each drawn sum: Matheron's rule, x + K (y - H x)
    with K = C H' / (H C H') (A. G. Journel and C. J. Huijbregts, Mining Geostatistics, 1978, chapter VII,
    from memory). The sum then has the spread of the reading alone: what the parts said of it is left out,
    since what was forgotten stands in no list. A part whose doubt is small stays, whatever made it small.

    parts: shape (n, k); covariance: (k, k) of the parts before; weight: (n, k) or (k,), H C H' above zero;
    total: (n,) draws of the reading, its own error included; error_variance: r, of that error; all in one
    unit. Returns the parts, (n, k), and the covariance that is left, (k, k): C - g g' / s + g g' r / s^2 with
    g = C H' and s = H C H' at the mean weights.

    >>> moved, left = condition_on_sum(
    ...     np.array([[1.0, 2.0]]), np.diag([1.0, 3.0]), np.ones(2), np.array([5.0]), error_variance=0.0
    ... )
    >>> moved.tolist(), left.tolist()
    ([[1.5, 3.5]], [[0.75, -0.75], [-0.75, 0.75]])
    """
    weights = np.broadcast_to(weight, parts.shape)
    gain = weights @ covariance
    reach = np.einsum("nk,nk->n", weights, gain)
    missing = total - np.einsum("nk,nk->n", weights, parts)
    moved: Array = parts + gain * (missing / reach)[:, None]
    mean = weights.mean(axis=0)
    column = covariance @ mean
    middle = float(mean @ column)
    left: Array = covariance - np.outer(column, column) * ((1.0 - error_variance / middle) / middle)
    return moved, left
