"""Results of the straight glide and of balance in flight, by public name."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.data import coefficients
from glidewright.domain.airframe import Airframe
from glidewright.domain.field import Field
from glidewright.forecast.aero_inputs import aero_of
from glidewright.forecast.elevator import real_elevator_rad
from glidewright.forecast.kernel_rows import air, polar_rows
from glidewright.forecast.setup import Setup
from glidewright.models.aero.glide import glide_speeds
from glidewright.models.aero.polar import stalling_speed_m_s
from glidewright.models.air.atmosphere import GRAVITY_m_s2

Array = NDArray[np.float64]

GLIDE_RESULTS = (
    "sink_least_m_s",
    "speed_sink_least_m_s",
    "glide_ratio_best",
    "speed_glide_best_m_s",
    "stall_speed_m_s",
)
BALANCE_RESULTS = ("neutral_point_x_m", "static_margin", "elevator_trim_rad")


@dataclass(frozen=True)
class UsualMargins:
    """Stations of the centre of gravity between two static margins, and whose margins they are."""

    front_x_m: float
    rear_x_m: float
    least_margin: float
    greatest_margin: float
    source: str


def usual_margins(airframe: Airframe, field: Field) -> UsualMargins | None:
    """The usual static margins about the computed neutral point; nothing where none is computed."""
    aero = aero_of(airframe, field)
    if isinstance(aero, str):
        return None
    rows, chord = coefficients("airframe_drag"), aero.glider.reference.chord_m
    most, least = (float(rows[f"static_margin_{end}"]["value"]) for end in ("front", "rear"))
    source = f"usual static margins, {100 * least:.0f} to {100 * most:.0f} % of the mean chord"
    neutral = aero.balance.neutral_point_m
    return UsualMargins(neutral - most * chord, neutral - least * chord, least, most, source)


def aero_results(
    setup: Setup, mass_kg: Array | None, cg_x_m: Array | None, why: dict[str, str]
) -> tuple[dict[str, Array], dict[str, str]]:
    """Draws by public name, and why the others are not known; why: reasons for mass_kg and cg_x_m."""
    values: dict[str, Array] = {}
    unknown: dict[str, str] = {}
    if mass_kg is None:
        unknown |= dict.fromkeys(GLIDE_RESULTS, why["mass_kg"])
    else:
        values |= _glide(setup, mass_kg)
    aero = aero_of(setup.model.airframe, setup.model.field)
    if isinstance(aero, str):
        return values, unknown | dict.fromkeys(BALANCE_RESULTS, aero)
    chord = aero.glider.reference.chord_m
    values["neutral_point_x_m"] = aero.balance.neutral_point_m + chord * setup["airframe.neutral_point"]
    if cg_x_m is None:
        return values, unknown | dict.fromkeys(BALANCE_RESULTS[1:], why["cg_x_m"])
    values["static_margin"] = (values["neutral_point_x_m"] - cg_x_m) / chord
    if mass_kg is None or not aero.glider.trims:
        reason = why["mass_kg"] if mass_kg is None else "the shape has no elevator to trim with"
        return values, unknown | {"elevator_trim_rad": reason}
    speed = values["speed_sink_least_m_s"][:, None]
    values["elevator_trim_rad"] = real_elevator_rad(setup, aero, mass_kg, cg_x_m, speed)[:, 0]
    return values, unknown


def _glide(setup: Setup, mass_kg: Array) -> dict[str, Array]:
    density, _ = air(setup)
    area, polar = setup["airframe.wing_area"], polar_rows(setup)
    folded = setup["airframe.folded_drag_area"] / area
    found = glide_speeds(polar, mass_kg, area, density, GRAVITY_m_s2, folded)
    slow, sink, flat, ratio = found
    stall = stalling_speed_m_s(polar, mass_kg * GRAVITY_m_s2 / area, density)
    return dict(zip(GLIDE_RESULTS, (sink, slow, ratio, flat, stall), strict=True))
