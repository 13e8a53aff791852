"""Geometry: everything that a model folder says about the shape of the airframe."""

from pydantic import Field

from glidewright.base.fields import Noun

from .geometry_body import Bay, Body, Spoiler
from .geometry_section import OwnSection
from .geometry_tail import Fin, Tail
from .geometry_wing import Panel, Wing

ShapeNoun = Wing | Tail | Body | Spoiler | Panel | Fin | Bay
ONE_TABLE: tuple[type[ShapeNoun], ...] = (Wing, Tail, Body, Spoiler)
MANY_TABLES: tuple[type[ShapeNoun], ...] = (Panel, Fin, Bay)


class Geometry(Noun):
    """Wing panels from root to tip, tail, fins, body, spoilers and bays; panels are never empty.

    sections: own ones that some surface names.
    """

    wing: Wing = Wing()
    panels: tuple[Panel, ...] = Field(min_length=1)
    tail: Tail | None = None
    fins: tuple[Fin, ...] = ()
    body: Body | None = None
    spoiler: Spoiler | None = None
    bays: tuple[Bay, ...] = ()
    sections: tuple[OwnSection, ...] = ()


__all__ = [
    "MANY_TABLES",
    "ONE_TABLE",
    "Bay",
    "Body",
    "Fin",
    "Geometry",
    "OwnSection",
    "Panel",
    "ShapeNoun",
    "Spoiler",
    "Tail",
    "Wing",
]
