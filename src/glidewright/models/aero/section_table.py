"""Aerofoil sections of the house: what is known of each, and its computed polars on one common grid.

The polars come from ``studies/sections.py``; those of a flyer's own section come with the model, computed by
the same way. Angles of attack are against the chord line, from nose to trailing edge; plans and incidence
meters often start from a flat bottom: ``Section.chord_angle_rad`` leads from there to the chord line.
"""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError, OutsideModelError, nearest
from glidewright.data import packaged
from glidewright.domain.geometry_section import Datum, OwnSection, plain_name

Array = NDArray[np.float64]

CL, CD, CM, CONFIDENCE = range(4)
FREE, FORCED = range(2)


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
    """One aerofoil section. Two sections are equal when their names and their own polars are.

    thickness, camber: greatest, over the chord; datum_tilt_rad: angle of attack against the chord line less
    the angle against the flat bottom, 0 where the chord line is the usual reference; source: where the
    coordinates come from; reynolds_low, reynolds_high: below and above, no tunnel data was there to hold such
    polars against; table: shape of ``Grid.shape``, columns CL, CD, CM about the quarter chord, and the tool's
    own confidence from 0 to 1; file_tilt_rad, own: of a flyer's own section, the angle of its chord line in
    the drawing, and what its table was made of.
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
    file_tilt_rad: float | None = field(compare=False, default=None)
    own: bytes = field(repr=False, default=b"")

    def chord_angle_rad(self, angle_rad: float, datum: Datum = "usual") -> float:
        """Angle of the chord line where an angle is given as measured: from the datum that is named.

        Raises InputError for ``file`` where the section has no coordinate file.

        >>> import math
        >>> ag35 = section("AG35")  # 1.56 degrees between flat bottom and chord line
        >>> measured = math.radians(2.0)
        >>> [round(math.degrees(ag35.chord_angle_rad(measured, one)), 2) for one in ("usual", "chord")]
        [3.56, 2.0]
        """
        if datum == "file" and self.file_tilt_rad is None:
            raise InputError.at(f"section {self.name}", "it has no coordinate file to measure from")
        tilts = {"usual": self.datum_tilt_rad, "chord": 0.0, "file": self.file_tilt_rad}
        return angle_rad + (tilts[datum] or 0.0)


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


def polars_method() -> str:
    """What the packaged polars were computed with, and where their coordinates come from.

    >>> polars_method().startswith("neuralfoil")
    True
    """
    return f"{_facts()['method']}; coordinates: {_facts()['coordinates']}"


def names_and_aliases() -> tuple[str, ...]:
    """The same with what else they are called.

    >>> "flatplate" in names_and_aliases()
    True
    """
    return (*names(), *_facts()["also_called"])


def section_of(name: str, own: Sequence[OwnSection] = ()) -> Section:
    """The section that a model means by a name: its own one of that name, else the packaged one.

    Raises OutsideModelError as ``section``.

    >>> section_of("AG 35") is section("AG 35")
    True
    """
    key = plain_name(name)
    found = next((one for one in own if one.name == key), None)
    return section(name) if found is None else own_section(found)


@cache
def own_section(own: OwnSection) -> Section:
    """A flyer's own section with its table; own.polars: as ``stored_polars`` makes them."""
    whole = np.frombuffer(own.polars, dtype="<i2").reshape(grid().shape)
    return Section(
        name=own.name,
        title=own.title,
        thickness=own.thickness,
        camber=own.camber,
        datum_tilt_rad=own.usual_tilt_rad,
        source=own.source,
        reynolds_low=_facts()["valid"]["reynolds_low"],
        reynolds_high=_facts()["valid"]["reynolds_high"],
        table=whole * np.array(_facts()["grid"]["column_units"]),
        file_tilt_rad=own.file_tilt_rad,
        own=own.polars,
    )


def stored_polars(table: Array) -> bytes:
    """A table of polars in the steps of the packaged ones, for an ``OwnSection``; shape of ``Grid.shape``.

    >>> polars = stored_polars(section("AG35").table)
    >>> own = OwnSection(name="mine", title="", source="", thickness=0.09, camber=0.02, usual_tilt_rad=0.0,
    ...                  file_tilt_rad=0.0, polars=polars)
    >>> bool(np.array_equal(own_section(own).table, section("AG35").table))
    True
    """
    steps = np.round(table / np.array(_facts()["grid"]["column_units"]))
    whole: NDArray[np.int16] = np.clip(steps, -32768, 32767).astype("<i2")
    return whole.tobytes()


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


@cache
def _facts() -> dict[str, Any]:
    return tomllib.loads(packaged("sections", "sections.toml").read_text(encoding="utf-8"))


@cache
def _polars() -> NDArray[np.int16]:
    with packaged("sections", "polars.npy").open("rb") as stream:
        stored: NDArray[np.int16] = np.load(stream)
    return stored
