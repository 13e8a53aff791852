"""What stability and handling are uncertain by beside balance, mass and air, and what it does to the slopes.

The lattice itself (``studies/lattice_error.py``), sections that lift more or less than the tunnels' middle,
real flaps, the body in yaw, and the wing as built: dihedral, sweep and chords. Where it is a matter of shape
or sections, a lattice of its own is laid with a small change; slopes then grow with the draws in proportion.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure, Given
from glidewright.base.units import unit
from glidewright.data import coefficients
from glidewright.decisions.extra_inputs import banded
from glidewright.domain.geometry import Geometry, Panel
from glidewright.forecast.aero_inputs import FLAP_EFFECT, flap_effect_input
from glidewright.forecast.causes import Causes
from glidewright.forecast.draws import standard_draws
from glidewright.forecast.predict import Forecast
from glidewright.forecast.spread import Input, from_band, from_field
from glidewright.models.aero.derivatives import COEFFICIENTS, Derivatives
from glidewright.models.aero.glider import Glider
from glidewright.models.aero.lattice import relaid
from glidewright.models.aero.section_bias import slope_over_thin
from glidewright.models.aero.shape import Section, Surface

Array = NDArray[np.float64]
_REYNOLDS = 1.0e5  # as of the sections of the lattice
_SLOPE_STEP, _CHORD_STEP = -0.05, 0.02
_ANGLE_STEP_RAD, _SWEEP_STEP_M = math.radians(1.0), 0.010
_OF_GROUP = {"longitudinal": ("lift", "pitch"), "roll": ("roll",), "yaw": ("side", "yaw")}
_BY_CHANCE = 13.0  # over the draws: the share that the luckiest of some twenty idle inputs seems to have
_FROM_FORECAST = ("airframe.", "field.", "launch.climb_speed")


@dataclass(frozen=True)
class Variant:
    """The glider with one thing changed by a step, and how far each draw is off the middle in that thing."""

    glider: Glider
    step: float
    off: Array


@dataclass(frozen=True)
class Spread:
    """All that is uncertain, over the first draws.

    values: draws by input; causes: these inputs, those of airframe and day, and the balance as one;
    static_margin: (draws,); flaps: controls that are flaps and not whole surfaces.
    """

    variants: tuple[Variant, ...]
    values: dict[str, Array]
    causes: Causes
    static_margin: Array
    flaps: frozenset[str]

    def on(self, nominal: Derivatives, slopes_of: Callable[[Glider], Derivatives]) -> Derivatives:
        """The slopes of real models about the nominal ones, (draws, ...).

        slopes_of: those of a changed glider in the same flight. How the pitching moment grows with the angle
        of attack follows from the static margin, whose spread knows lattice, sections and shape already.
        """
        slope = nominal.slope.copy()
        for variant in self.variants:
            grown = (slopes_of(variant.glider).slope - nominal.slope) / variant.step
            slope += grown * variant.off[:, None, None]
        for group, rows in _OF_GROUP.items():
            for row in rows:
                slope[:, COEFFICIENTS.index(row)] *= self.values[f"lattice.{group}"][:, None]
        for control in self.flaps & set(nominal.variables):
            slope[:, :, nominal.variables.index(control)] *= self.values[FLAP_EFFECT][:, None]
        alpha, lift, pitch = nominal.variables.index("alpha"), *map(COEFFICIENTS.index, ("lift", "pitch"))
        slope[:, pitch, alpha] = -self.static_margin * slope[:, lift, alpha]
        return replace(nominal, slope=slope)

    def figure(self, draws: Array, shown: str) -> Figure:
        """Draws as a figure, with what most of its spread comes from."""
        because, grade = self.causes.sentence(draws, _BY_CHANCE / draws.size)
        return Figure.of_draws(draws, unit(shown).si, shown, grade, because)


def spread_of(found: Forecast, glider: Glider, geometry: Geometry, count: int) -> Spread:
    """The spread of a forecast whose balance is known; glider: on the lattice that is asked."""
    inputs = {entry.name: entry for entry in _entries(glider, geometry)}
    scores = {name: draws[:count] for name, draws in standard_draws(inputs, found.setup.count).items()}
    values = {name: entry.draws(scores[name]) for name, entry in inputs.items()}
    off = {name: draws - inputs[name].value for name, draws in values.items()}
    off["airframe.wing_area"] = found.setup["airframe.wing_area"][:count] / glider.reference.area_m2 - 1.0
    return Spread(
        variants=(*_by_sections(glider, off), *_by_shape(glider, off)),
        values=values,
        causes=_causes(found, inputs, scores, count),
        static_margin=found.prediction.values["static_margin"][:count],
        flaps=frozenset(_flaps(glider)),
    )


def body_yaw_input() -> Input:
    """How much of the slender body's yawing moment a real body has."""
    return banded(
        "lattice.body_yaw", "yawing moment of the body", coefficients("airframe_drag")["body_yaw"], "factor"
    )


def _entries(glider: Glider, geometry: Geometry) -> Iterator[Input]:
    rows = coefficients("lattice_error")
    for group in _OF_GROUP:
        yield banded(f"lattice.{group}", f"the vortex lattice ({group})", rows[group], "factor")
    yield _section_slope("lattice.wing_slope", "lift slope of the wing's sections")
    if len(glider.lattice.surfaces) > 1:
        yield _section_slope("lattice.tail_slope", "lift slope of the tail's sections")
    if geometry.body is not None:
        yield body_yaw_input()
    panel: Panel = geometry.panels[0]
    yield from_field(panel, "dihedral_rad", "shape.dihedral", "dihedral as built", "measure the wing")
    yield from_field(panel, "sweep_m", "shape.sweep", "sweep as built", "measure the wing")
    if any(_flaps(glider)):
        yield flap_effect_input()


def _section_slope(name: str, title: str) -> Input:
    found = slope_over_thin(_REYNOLDS)
    value, low, high = (float(number) for number in found)
    because = "spread between sections in published tunnel tests"
    given = Given(value=value, low=low, high=high, grade="typical", because=because)
    return from_band(name, title, given, "factor")


def _flaps(glider: Glider) -> Iterator[str]:
    return (control for control in ("elevator", "rudder") if glider.has_flap(control))


def _by_sections(glider: Glider, off: dict[str, Array]) -> Iterator[Variant]:
    lattice = glider.lattice
    names = [surface.name for surface in lattice.surfaces]
    for key, own in (("lattice.wing_slope", names[:1]), ("lattice.tail_slope", names[1:])):
        if own:
            changed = {name: lattice.section_slope[name] + _SLOPE_STEP for name in own}
            laid = relaid(lattice, section_slope={**lattice.section_slope, **changed})
            yield Variant(replace(glider, lattice=laid), _SLOPE_STEP, off[key])


def _by_shape(glider: Glider, off: dict[str, Array]) -> Iterator[Variant]:
    wing, *others = glider.lattice.surfaces
    half = wing.sections[-1].y_m

    def bent(section: Section) -> Section:
        return replace(section, z_m=section.z_m + _ANGLE_STEP_RAD * section.y_m)

    def swept(section: Section) -> Section:
        return replace(section, x_m=section.x_m + _SWEEP_STEP_M * section.y_m / half)

    def wider(section: Section) -> Section:
        return replace(section, chord_m=section.chord_m * (1.0 + _CHORD_STEP))

    for key, step, change in (
        ("shape.dihedral", _ANGLE_STEP_RAD, bent),
        ("shape.sweep", _SWEEP_STEP_M, swept),
        ("airframe.wing_area", _CHORD_STEP, wider),
    ):
        if np.ptp(off[key]) > 0.0:
            laid = relaid(glider.lattice, (_changed(wing, change), *others))
            yield Variant(replace(glider, lattice=laid), step, off[key])


def _changed(wing: Surface, change: Callable[[Section], Section]) -> Surface:
    return replace(wing, sections=tuple(change(section) for section in wing.sections))


def _causes(found: Forecast, inputs: dict[str, Input], scores: dict[str, Array], count: int) -> Causes:
    setup, prediction = found.setup, found.prediction
    own = {name: entry for name, entry in setup.inputs.items() if name.startswith(_FROM_FORECAST)}
    known = {name: setup.scores[name][:count] for name in own} | scores
    entries = {**own, **inputs}
    for name, title, result in (("cg", "balance", "cg_x_m"), ("mass", "mass", "mass_kg")):
        grade = prediction.cause(result)[1]
        entries[name] = Input(name, title, 0.0, -1.0, 1.0, grade, "offset", "the forecast")
        known[name] = prediction.values[result][:count]
    return Causes(entries, known)
