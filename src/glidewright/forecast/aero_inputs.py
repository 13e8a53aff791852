"""The computed polar: what of the airframe's flow is worked out once, and what each draw has of its own.

Worked out once for the nominal shape, in the nominal air of the field, about one centre of gravity - the
middle of the stated balance range, or a tenth of the chord ahead of the neutral point: trimmed attitudes,
profile drag smooth and rough, induced drag, build-up, lift ceiling, neutral point. Every draw mixes smooth
and rough and has factors of its own on each part. So the draws keep fixed: the shape of the lift along the
span, trim drag of a balance or an incidence off the nominal one (their elevator deflection is drawn), and the
Reynolds numbers of another density of the air.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError, OutsideModelError, Problem
from glidewright.base.figure import Given
from glidewright.data import coefficients
from glidewright.domain.airframe import Airframe
from glidewright.domain.field import Field
from glidewright.domain.geometry import Geometry
from glidewright.domain.geometry_checks import section_problems
from glidewright.forecast.air import air_of
from glidewright.forecast.spread import Input, Kind, from_band
from glidewright.models.aero.glider import Glider, glider_of
from glidewright.models.aero.polar import (
    LIFT_NODES,
    POLAR_FIELDS,
    SPEED_NODES,
    TABLE_DEFAULTS,
    with_tables,
)
from glidewright.models.aero.polar_parts import PolarParts, polar_parts
from glidewright.models.aero.section import drag_factor, zero_lift_shift_rad
from glidewright.models.aero.section_table import names_and_aliases
from glidewright.models.aero.trim import Balance, balance_of, neutral_point

Array = NDArray[np.float64]

STATED_DRAG = ("drag_zero", "span_efficiency", "lift_least_drag")
"""Any of these in the folder is a drag that its owner knows better: the polar then is their parabola."""
NO_SHAPE = "the folder does not state the shape of the airframe: no [[panel]] in model.toml"
_LIFT_FIRST, _LIFT_STEP = -0.5, 0.075
_LIFTS: Array = _LIFT_FIRST + _LIFT_STEP * np.arange(LIFT_NODES, dtype=np.float64)
_SPEED_FIRST_M_S, _SPEED_STEP_M_S = 4.0, 1.5
_SPEEDS_M_S: Array = _SPEED_FIRST_M_S + _SPEED_STEP_M_S * np.arange(SPEED_NODES, dtype=np.float64)
_USUAL_REYNOLDS = 1.0e5
_USUAL_MARGIN = 0.10
FLAP_EFFECT = "control.flap_effect"
_GLIDES = "time a few straight glides in still air"


@dataclass(frozen=True)
class Aero:
    """The flow of one airframe, worked out once; centre_m: the balance it was trimmed about."""

    glider: Glider
    centre_m: tuple[float, float, float]
    parts: PolarParts
    balance: Balance


def aero_of(airframe: Airframe, field: Field) -> Aero | str:
    """The computed flow of an airframe, or the sentence that says why there is none; kept in the process.

    Raises InputError when the shape names a section that is not known.
    """
    if airframe.geometry is None:
        return NO_SHAPE
    ends = (airframe.balance_front_x_m, airframe.balance_rear_x_m)
    middle = 0.5 * (ends[0].value + ends[1].value) if ends[0] and ends[1] else None
    air = air_of(field)
    viscosity = air.viscosity_Pa_s / air.density_kg_m3
    return _worked_out(airframe.geometry, airframe.wing_area_m2.value, middle, float(viscosity))


@lru_cache(maxsize=16)
def _worked_out(
    geometry: Geometry, wing_area_m2: float, balance_x_m: float | None, viscosity_m2_s: float
) -> Aero | str:
    unknown = section_problems(geometry, names_and_aliases)
    if unknown:
        raise InputError([Problem(f"model.toml {found.where}", found.message) for found in unknown])
    try:
        glider = _glider(geometry, wing_area_m2)
        x_m = balance_x_m
        if x_m is None:
            known = neutral_point(glider, (glider.chord_front_x_m, 0.0, 0.0))
            x_m = known - _USUAL_MARGIN * glider.reference.chord_m
        centre = (x_m, 0.0, geometry.wing.z_m.value)
        parts = polar_parts(glider, _LIFTS, _SPEEDS_M_S, centre, viscosity_m2_s)
        return Aero(glider, centre, parts, balance_of(glider, parts.known, centre))
    except (OutsideModelError, InputError) as error:
        return f"the flow of this airframe cannot be worked out: {error}"


@lru_cache(maxsize=16)
def _glider(geometry: Geometry, wing_area_m2: float) -> Glider:
    return glider_of(geometry, wing_area_m2)


def drag_is_computed(airframe: Airframe, field: Field) -> bool:
    """Whether drag comes from the shape: it can be worked out, and no measured polar is stated."""
    stated = any(getattr(airframe, name) is not None for name in STATED_DRAG)
    return not stated and isinstance(aero_of(airframe, field), Aero)


def ceiling_is_computed(airframe: Airframe, field: Field) -> bool:
    """The same of the lift ceiling."""
    return airframe.lift_ceiling is None and isinstance(aero_of(airframe, field), Aero)


def polar_remarks(airframe: Airframe, field: Field) -> tuple[str, ...]:
    """What stands against the use of the computed polar, in sentences."""
    if airframe.geometry is None:
        return ()
    found = aero_of(airframe, field)
    if isinstance(found, str):
        return (f"airframe: {found}; a typical polar stands in",)
    stated = [name for name in (*STATED_DRAG, "lift_ceiling") if getattr(airframe, name) is not None]
    if not stated:
        return ()
    return (f"airframe: the stated {', '.join(stated)} were taken in place of what follows from the shape",)


def aero_inputs(airframe: Airframe, field: Field) -> list[Input]:
    """Factors and errors of the computed flow; none where the shape is not known."""
    aero = aero_of(airframe, field)
    if isinstance(aero, str):
        return []
    rows, place = coefficients("airframe_drag"), coefficients("lattice_error")["neutral_point"]
    found = [
        _banded("neutral_point", "neutral point of the computed flow", place, "offset"),
        _banded(
            "decalage", "wing set against tail", rows["decalage_rad"], "offset", "measure the incidences"
        ),
        _tunnel("zero_lift", "zero-lift angle of the sections", zero_lift_shift_rad, "offset"),
    ]
    if aero.glider.has_flap("elevator"):
        found.append(flap_effect_input())
    if ceiling_is_computed(airframe, field):
        found.append(_banded("stall", "lift ceiling of the computed flow", rows["ceiling"], "factor"))
    if drag_is_computed(airframe, field):
        found.append(_banded("build_up", "drag of body, joints and gaps", rows["build_up"], "factor"))
        found.append(_banded("induced_drag", "induced drag of the computed flow", rows["induced"], "factor"))
        found.append(_tunnel("section_drag", "drag of the sections", drag_factor, "factor"))
    if ceiling_is_computed(airframe, field) or drag_is_computed(airframe, field):
        found.append(_banded("roughness", "roughness of the surfaces", rows["roughness"], "offset"))
    return found


def flap_effect_input() -> Input:
    """What real elevators and rudders do over what thin flaps of their chord would."""
    row = coefficients("control")["flap_effect"]
    return _from_row(FLAP_EFFECT, "effect of real flaps", row, "factor", "note the trim that holds a speed")


def _banded(name: str, title: str, row: Mapping[str, object], kind: Kind, narrows: str = _GLIDES) -> Input:
    return _from_row(f"airframe.{name}", title, row, kind, narrows)


def _from_row(name: str, title: str, row: Mapping[str, object], kind: Kind, narrows: str) -> Input:
    value, low, high = (float(str(row[key])) for key in ("value", "low", "high"))
    because = f"{row['source']} ({row['where']}): {row['valid']}"
    given = Given(value=value, low=low, high=high, grade="typical", because=because)
    return from_band(name, title, given, kind, narrows)


def _tunnel(name: str, title: str, tunnel: object, kind: Kind) -> Input:
    """The spread between sections that tunnels found; the middle of a factor is already in the polar."""
    assert callable(tunnel)  # one of the functions of models.aero.section
    found = tunnel(_USUAL_REYNOLDS)
    value, low, high = (float(number) for number in (found.value, found.low, found.high))
    if kind == "factor":
        value, low, high = 1.0, low / value, high / value
    because = "spread between sections in published tunnel tests"
    given = Given(value=value, low=low, high=high, grade="typical", because=because)
    return from_band(f"airframe.{name}", title, given, kind, _GLIDES)


def computed_rows(
    aero: Aero, drawn: Mapping[str, Array], stated: Array, *, drag: bool, ceiling: bool
) -> Array:
    """Polar rows (draws, ``POLAR_SIZE``) from the parts and the factors of the draws.

    stated: rows (draws, at least ``POLAR_FIELDS``) of which the fields that are not computed are kept.
    """
    fields = stated[:, : len(POLAR_FIELDS)].copy()
    place = {name: number for number, name in enumerate(POLAR_FIELDS)}
    count, parts = fields.shape[0], aero.parts
    rough = np.clip(drawn["airframe.roughness"], 0.0, 1.0)[:, None]
    tops = np.zeros((count, SPEED_NODES))
    table = np.zeros((count, SPEED_NODES, LIFT_NODES))
    for name, number in zip(
        TABLE_DEFAULTS, (_LIFT_FIRST, _LIFT_STEP, _SPEED_FIRST_M_S, _SPEED_STEP_M_S), strict=True
    ):
        fields[:, place[name]] = number
    if ceiling:
        clean, dirty = parts.ceiling
        reached = drawn["airframe.stall"][:, None] * ((1.0 - rough) * clean + rough * dirty)
        fields[:, place["highest_lift_coefficient"]] = reached.mean(axis=1)
        tops = reached - reached.mean(axis=1, keepdims=True)
    if drag:
        by_lift = drawn["airframe.induced_drag"]
        level, slope, rise = parts.induced
        fields[:, place["drag_rise"]] = by_lift * rise
        fields[:, place["least_drag_lift_coefficient"]] = -0.5 * slope / rise
        fields[:, place["least_drag_coefficient"]] = by_lift * (level - 0.25 * slope**2 / rise)
        clean, dirty = parts.profile
        share = rough[:, :, None]
        table = drawn["airframe.section_drag"][:, None, None] * ((1.0 - share) * clean + share * dirty)
        table += drawn["airframe.build_up"][:, None, None] * parts.rest[:, None]
        table += by_lift[:, None, None] * parts.induced_left
    return with_tables(fields, tops, table)


def turn_of_wing_rad(drawn: Mapping[str, Array]) -> Array:
    """Error of the wing's lift line against the tail, nose up positive, shape (draws,)."""
    found: Array = drawn["airframe.decalage"] - drawn["airframe.zero_lift"]
    return found
