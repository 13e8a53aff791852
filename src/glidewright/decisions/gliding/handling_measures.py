"""Measures of the trade: decalage, dihedral, tail volumes, spiral parameter, each with its usual range.

The usual ranges are common practice, without one source.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.decisions.gliding.handling_nouns import Measure
from glidewright.domain.geometry import Geometry
from glidewright.domain.geometry_places import wing_pieces
from glidewright.forecast.aero_inputs import Aero, turn_of_wing_rad
from glidewright.forecast.predict import Forecast
from glidewright.models.aero.planform import elliptic_dihedral_rad, measures_of, spiral_parameter

Array = NDArray[np.float64]
_SHAPE = "follows from the stated shape"


def measures(found: Forecast, aero: Aero, lift: Array) -> tuple[Measure, ...]:
    """All measures that the shape has; lift: coefficient at the speed of least sink, (SEEN,)."""
    geometry = found.setup.model.airframe.geometry
    assert geometry is not None  # there is a flow, so there is a shape
    return tuple(_measures(found, aero, geometry, lift))


def _measures(found: Forecast, aero: Aero, geometry: Geometry, lift: Array) -> Iterator[Measure]:
    known = measures_of(geometry)
    if geometry.tail is not None:
        yield from _decalage(found, aero, geometry)
    dihedral = known.wing.dihedral_rad
    yield _exact("dihedral", "Equivalent dihedral, by area and arm", dihedral, "°",
                 "8 to 11° with rudder alone, 2.5 to 5° with ailerons")  # fmt: skip
    elliptic = elliptic_dihedral_rad(wing_pieces(geometry))
    yield _exact("dihedral_elliptic", "The same with an elliptic lift distribution", elliptic, "°", "")
    if known.horizontal_volume is not None:
        yield _exact("vh", "Tail volume Vh", known.horizontal_volume, "", "0.30 to 0.60")
    if known.vertical_volume is not None and known.fin_arm_m is not None:
        yield _exact(
            "vv", "Tail volume Vv", known.vertical_volume, "", "0.02 to 0.05, upper half with rudder alone"
        )
        spiral = np.array(
            [spiral_parameter(known.fin_arm_m, known.wing.span_m, dihedral, float(cl)) for cl in lift]
        )
        figure = Figure.of_draws(spiral, "1", "", "typical", f"{_SHAPE} and the lift at least sink")
        yield Measure(name="spiral", title="Spiral parameter B at least sink", figure=figure,
                      usual="above about 5 it rights itself")  # fmt: skip
        product = Figure.of_draws(
            spiral * known.vertical_volume, "1", "", "typical", f"{_SHAPE} and the lift at least sink"
        )
        yield Measure(name="roll_authority", title="Vv times B, how well the rudder rolls it", figure=product,
                      usual="0.10 to 0.20")  # fmt: skip


def _decalage(found: Forecast, aero: Aero, geometry: Geometry) -> Iterator[Measure]:
    """Wing against tail: at the root as measured and by chord lines, and by lines of zero lift over all."""
    assert geometry.tail is not None  # the caller has seen to it
    at_root = geometry.wing.incidence_rad.value - geometry.tail.incidence_rad.value
    as_built = found.setup["airframe.decalage"]
    title = "Decalage at the root, as incidences are measured"
    yield Measure(name="decalage", title=title, figure=found.figure(at_root + as_built, "°"),
                  usual="1 to 3°")  # fmt: skip
    chords = [surface.sections[0].incidence_rad for surface in aero.glider.lattice.surfaces[:2]]
    figure = found.figure(chords[0] - chords[1] + as_built, "°")
    title = "The same between the chord lines"
    yield Measure(name="decalage_chord_lines", title=title, figure=figure, usual="")
    strips = aero.glider.lattice.strips
    area = strips.chord_m * strips.width_m
    angle = [float(np.average(strips.angle_rad[own], weights=area[own]))
             for own in (strips.surface == 0, strips.surface == 1)]  # fmt: skip
    draws = angle[0] - angle[1] + turn_of_wing_rad(found.setup.values)
    title = "The same between the lines of zero lift, twist included"
    yield Measure(name="decalage_zero_lift", title=title, figure=found.figure(draws, "°"), usual="")


def _exact(name: str, title: str, value: float, shown: str, usual: str) -> Measure:
    si = "rad" if shown == "°" else "1"
    return Measure(
        name=name, title=title, figure=Figure.exact(value, si, shown, "quoted", _SHAPE), usual=usual
    )
