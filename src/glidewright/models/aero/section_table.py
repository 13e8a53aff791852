"""Aerofoil sections of the house: what is known of each, and its computed polars on one common grid.

The polars come from ``studies/sections.py``; an owner's own section becomes a ``Section`` by the same way
through ``store.section_polars``. Angles of attack are against the chord line, from nose to trailing edge;
plans and incidence meters often start from a flat bottom: ``Section.datum_tilt_rad`` lies between the two.
"""

import tomllib
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import OutsideModelError, nearest
from glidewright.data import packaged

Array = NDArray[np.float64]

CL, CD, CM, CONFIDENCE = range(4)
FREE, FORCED = range(2)
_CALM_TO_RAD, _CALM_FROM_REYNOLDS = 0.105, 5.5e4


@dataclass(frozen=True)
class Grid:
    """Nodes of every polar table: angles of attack at equal steps, Reynolds numbers at equal ratios."""

    alpha_rad: Array
    reynolds: Array

    @property
    def shape(self) -> tuple[int, int, int, int]:
        """(transition free and forced, Reynolds numbers, angles, the four columns)."""
        return 2, self.reynolds.size, self.alpha_rad.size, 4


@dataclass(frozen=True)
class Section:
    """One aerofoil section. Two sections are equal when their names are.

    thickness, camber: greatest, over the chord; datum_tilt_rad: angle of attack against the chord line less
    the angle against the flat bottom, 0 where the chord line is the usual reference; source: where the
    coordinates come from; reynolds_low, reynolds_high: below and above, no tunnel data was there to hold such
    polars against; table: shape of ``Grid.shape``, columns CL, CD, CM about the quarter chord, and the tool's
    own confidence from 0 to 1.
    """

    name: str
    title: str = field(compare=False)
    thickness: float = field(compare=False)
    camber: float = field(compare=False)
    datum_tilt_rad: float = field(compare=False)
    source: str = field(compare=False)
    reynolds_low: float = field(compare=False)
    reynolds_high: float = field(compare=False)
    table: Array = field(compare=False, repr=False)

    @property
    def confidence_low(self) -> float:
        """Least confidence of the tool from 0 to 6 degrees, Reynolds 60 000 and above, transition free.

        Below about 0.8 the section is too unlike those on which the tool was trained: flat plates are.

        >>> section("SD7037").confidence_low > 0.8 > section("plate33").confidence_low
        True
        """
        nodes = grid()
        calm = (nodes.alpha_rad > -1e-6) & (nodes.alpha_rad < _CALM_TO_RAD)
        return float(np.min(self.table[FREE, nodes.reynolds > _CALM_FROM_REYNOLDS][:, calm, CONFIDENCE]))

    def chord_angle_rad(self, datum_angle_rad: float) -> float:
        """Angle of the chord line where an angle measured on the section's usual reference is given.

        >>> import math
        >>> ag35 = section("AG35")  # 1.56 degrees between flat bottom and chord line
        >>> round(math.degrees(ag35.chord_angle_rad(math.radians(2.0))), 2)
        3.56
        """
        return datum_angle_rad + self.datum_tilt_rad


@cache
def grid() -> Grid:
    """The nodes of the tables.

    >>> grid().shape
    (2, 12, 57, 4)
    """
    nodes = _facts()["grid"]
    alpha_deg = np.linspace(nodes["alpha_deg_low"], nodes["alpha_deg_high"], nodes["alpha_count"])
    return Grid(
        np.radians(alpha_deg),
        np.geomspace(nodes["reynolds_low"], nodes["reynolds_high"], nodes["reynolds_count"]),
    )


def names() -> tuple[str, ...]:
    """Names of all packaged sections, in the order of the alphabet.

    >>> "ag35" in names() and "naca0009" in names()
    True
    """
    return tuple(sorted(_facts()["section"]))


@cache
def section(name: str) -> Section:
    """The packaged section of this name; capitals, blanks, dots, dashes and strokes do not matter.

    Raises OutsideModelError, with the nearest names, where there is none.

    >>> section("Clark Y").name, section("HQ 2.0/9").name
    ('clarky', 'hq209')
    """
    key = plain_name(name)
    known = _facts()["section"]
    key = _facts()["also_called"].get(key, key)
    if key not in known:
        tail = nearest(key, names())
        advice = "take one of them or give a coordinate file of your own"
        raise OutsideModelError.at(f"section {name!r}", f"not in the tables; {tail}; {advice}")
    facts = known[key]
    return Section(
        name=key,
        title=facts["title"],
        thickness=facts["thickness"],
        camber=facts["camber"],
        datum_tilt_rad=float(np.radians(facts["datum_tilt_deg"])),
        source=facts["source"],
        reynolds_low=_facts()["valid"]["reynolds_low"],
        reynolds_high=_facts()["valid"]["reynolds_high"],
        table=_polars()[facts["row"]] * np.array(_facts()["grid"]["column_units"]),
    )


def plain_name(name: str) -> str:
    """A section's name as the tables spell it: small letters and figures only.

    >>> plain_name(" HQ 2.0/9")
    'hq209'
    """
    return "".join(sign for sign in name.lower() if sign.isalnum())


@cache
def _facts() -> dict[str, Any]:
    return tomllib.loads(packaged("sections", "sections.toml").read_text(encoding="utf-8"))


@cache
def _polars() -> NDArray[np.int16]:
    with packaged("sections", "polars.npy").open("rb") as stream:
        stored: NDArray[np.int16] = np.load(stream)
    return stored
