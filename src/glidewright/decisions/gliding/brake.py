"""The open brake in the glide: drag, lost lift, stall, sink and glide ratio at the speed of the approach."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.data import coefficients
from glidewright.decisions.extra_inputs import Extra, banded, extra_inputs
from glidewright.decisions.gliding.flight import Flight
from glidewright.decisions.gliding.nouns import BrakeAnswer, BrakeRow
from glidewright.domain.geometry import Spoiler
from glidewright.forecast.aero_inputs import Aero
from glidewright.forecast.predict import Forecast
from glidewright.forecast.spread import from_field
from glidewright.models.aero.brake import (
    Blades,
    BrakeEffect,
    brake_effect,
    chord_under_m,
    section_lift_loss,
    with_brake,
)
from glidewright.models.aero.buildup import brake_drag_area_m2
from glidewright.models.aero.glide import path_down_rad
from glidewright.models.aero.glider import Glider
from glidewright.models.aero.polar import drag_coefficients, lift_ceilings

Array = NDArray[np.float64]
STALL_SHARE = 1.3
"""Approach speed over the stall with the brake open; common practice."""
_STEPS = (("closed", 0.0), ("half open", 0.5), ("full", 1.0))
_LEAST_CEILING = 0.1
WHY_NO_BRAKE = "model.toml states no [spoiler]"
WHY_NO_FLOW = "the shape of the wing is not known"
_NOTES = (
    "the blades count as plates on a wall, and the sections behind them lose lift in proportion to the "
    "height that stands up; both numbers are from memory of published tests and carry a wide band",
    "the wing is taken to stall at the same attitude as with the brake closed; the pitching moment that an "
    "open spoiler brings is not in these figures: it must be found in flight, at height",
)


@dataclass(frozen=True)
class Braking:
    """What an open brake is worked out from: draws, the wing with a brake on its lattice, the blades."""

    flight: Flight
    extra: Extra
    braked: Glider
    blades: Blades
    chord_under_m: float

    def height_m(self, share: float) -> Array:
        """Standing height of the blades at a share of their opening, (draws,)."""
        found: Array = self.extra["brake.chord"] * np.sin(share * self.extra["brake.opening"])
        return found

    def effect(self, share: float, lift: Array) -> BrakeEffect:
        """Lost lift and rise of the induced drag at lift coefficients, (draws,)."""
        height = self.height_m(share) / self.chord_under_m
        return brake_effect(self.braked, lift, section_lift_loss(height, self.extra["brake.lift"]))

    def stall_m_s(self, lift_loss: Array) -> Array:
        """Stalling speed with a ceiling that is lower by a loss, (draws,)."""
        clean = self.flight.stall_m_s
        ceiling = lift_ceilings(self.flight.polar, clean[:, None])[:, 0]
        found: Array = clean * np.sqrt(ceiling / np.maximum(ceiling - lift_loss, _LEAST_CEILING))
        return found

    def plate_drag(self, share: float) -> Array:
        """Drag coefficient of the blades, (draws,)."""
        area = brake_drag_area_m2(self.blades.span_m, self.height_m(share), self.extra["brake.plate"])
        found: Array = area / self.flight.area_m2
        return found


def brake_answer(found: Forecast, flight: Flight, aero: Aero | None) -> BrakeAnswer | str:
    """The brake closed, half open and full at the approach speed, or why it is not known."""
    geometry = found.setup.model.airframe.geometry
    if aero is None or geometry is None:
        return WHY_NO_FLOW
    if geometry.spoiler is None:
        return WHY_NO_BRAKE
    braking = braking_of(found, flight, aero, geometry.spoiler)
    ones = np.ones_like(flight.stall_m_s)
    opened = braking.effect(1.0, ones).lift_loss
    speed = STALL_SHARE * float(np.median(braking.stall_m_s(opened)))
    return BrakeAnswer(
        airspeed_m_s=speed,
        over_stall=STALL_SHARE,
        blade_span_m=braking.blades.span_m,
        blade_chord_m=braking.blades.chord_m,
        rows=tuple(_row(braking, title, share, speed) for title, share in _STEPS),
        notes=_NOTES,
    )


def braking_of(found: Forecast, flight: Flight, aero: Aero, spoiler: Spoiler) -> Braking:
    """The brake of a model over the draws of its forecast."""
    rows = coefficients("airframe_drag")
    entries = [
        banded("brake.plate", "drag of the brake blades", rows["brake_plate"], "factor"),
        banded("brake.lift", "lift lost to the brake", rows["brake_lift"], "factor"),
        from_field(spoiler, "opening_rad", "brake.opening", "opening of the brake", "measure it"),
        from_field(spoiler, "chord_m", "brake.chord", "chord of the blades", "measure it"),
    ]
    blades = Blades(spoiler.from_y_m.value, spoiler.to_y_m.value, spoiler.chord_m.value)
    return Braking(
        flight,
        extra_inputs(found, entries),
        with_brake(aero.glider, blades),
        blades,
        chord_under_m(aero.glider, blades),
    )


def _row(braking: Braking, title: str, share: float, speed_m_s: float) -> BrakeRow:
    flight, figure = braking.flight, braking.extra.figure
    level = flight.lift_at(np.array([speed_m_s]))[:, 0]
    effect = braking.effect(share, level)
    added = braking.plate_drag(share) + effect.induced_rise + flight.other_drag
    speeds = np.full((level.size, 1), speed_m_s)

    def drag(lift: Array) -> Array:
        of_polar: Array = drag_coefficients(flight.polar, lift[:, None], speeds)[:, 0]
        return of_polar + added

    path = path_down_rad(level, drag)
    return BrakeRow(
        title=title,
        opening_rad=share * float(np.median(braking.extra["brake.opening"])),
        drag=figure(drag(level * np.cos(path)), ""),
        lift_lost=figure(effect.lift_loss, ""),
        stall_speed=figure(braking.stall_m_s(effect.lift_loss), "m/s"),
        sink=figure(speed_m_s * np.sin(path), "m/s"),
        glide_ratio=figure(1.0 / np.tan(path), ""),
    )
