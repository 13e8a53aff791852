"""A flyer's own aerofoil section, read from the model folder: what is known of it and its computed polars."""

from typing import Literal

from glidewright.base.fields import Noun, plain

Datum = Literal["usual", "chord", "file"]
"""From where an incidence is measured: flat bottom or else chord line, chord line, x axis of the drawing."""


def plain_name(name: str) -> str:
    """A section's name as tables and folders spell it: small letters and figures only.

    >>> plain_name(" HQ 2.0/9")
    'hq209'
    """
    return "".join(sign for sign in name.lower() if sign.isalnum())


class OwnSection(Noun):
    """An own section.

    name: small letters and figures; thickness, camber: over the chord; usual_tilt_rad, file_tilt_rad: angle
    of the chord line less that of its flat bottom (0 where it has none), and less that of the drawing's x
    axis; polars: the table as whole numbers of 16 bit, low byte first, on the grid and in the steps of the
    packaged sections.
    """

    name: str
    title: str
    source: str
    thickness: float
    camber: float
    usual_tilt_rad: float = plain("Usual tilt", help="chord line less flat bottom; 0 without one")
    file_tilt_rad: float = plain("Tilt in the file", help="chord line less x axis of the drawing")
    polars: bytes = plain("Polars", help="whole numbers on the grid of the packaged sections")
