"""The figures that models are compared by, as draws of one forecast."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.decisions.balancing.places import body_ends
from glidewright.decisions.comparing.nouns import Wanted
from glidewright.decisions.gliding.flight import Flight, flight_of
from glidewright.decisions.mass_answer import balance_range
from glidewright.forecast.predict import Forecast
from glidewright.models.aero.circling import best_in_rows, usable_lift
from glidewright.models.aero.glide import glide_at

Array = NDArray[np.float64]

LAUNCH, GLIDE, WIND, MASS, BALANCE = "Launch", "Glide", "Into the wind", "Mass", "Balance"
_COARSE, _FINE = 48, 33


@dataclass(frozen=True)
class Kind:
    """One line of the comparison: how it is called and shown, and what is better.

    alike: differences smaller than this, SI, count as none; our judgement of what nobody sees at the field.
    """

    name: str
    title: str
    group: str
    shown: str
    wanted: Wanted
    alike: float = 0.0


LINES = (
    Kind("height_true_m", "Launch height", LAUNCH, "m", "more", 1.0),
    Kind("mean_climb_m_s", "Mean climb", LAUNCH, "m/s", "more", 0.05),
    Kind("launches", "Launches per charge", LAUNCH, "", "more", 0.5),
    Kind("sink_least_m_s", "Least sink", GLIDE, "m/s", "less", 0.002),
    Kind("speed_sink_least_m_s", "Airspeed of least sink", GLIDE, "m/s", "neither"),
    Kind("glide_ratio_best", "Best glide ratio", GLIDE, "", "more", 0.1),
    Kind("speed_glide_best_m_s", "Airspeed of best glide", GLIDE, "m/s", "neither"),
    Kind("stall_speed_m_s", "Stalling speed", GLIDE, "m/s", "less", 0.05),
    Kind("speed_to_fly_m_s", "Speed to fly", WIND, "m/s", "neither"),
    Kind("sink_into_wind_m_s", "Sink at that speed", WIND, "m/s", "less", 0.01),
    Kind("glide_over_ground", "Glide over the ground", WIND, "", "more", 0.05),
    Kind("mass_kg", "Mass", MASS, "g", "less", 0.0005),
    Kind("wing_loading_kg_m2", "Wing loading", MASS, "g/dm²", "neither"),
    Kind("cg_x_m", "Centre of gravity", BALANCE, "mm", "neither"),
    Kind("static_margin", "Static margin", BALANCE, "%", "neither"),
    Kind("least_ballast_kg", "Least ballast to balance", BALANCE, "g", "less", 0.0005),
)


def figures_of(found: Forecast, headwind_m_s: float) -> dict[str, Array | str]:
    """Draws of every line, or the sentence that says why there are none."""
    prediction = found.prediction
    draws: dict[str, Array | str] = {
        kind.name: prediction.values.get(kind.name, prediction.why_unknown(kind.name)) for kind in LINES
    }
    if "sink_least_m_s" in prediction.values:
        named = ("speed_to_fly_m_s", "sink_into_wind_m_s", "glide_over_ground")
        draws |= dict(zip(named, into_wind(flight_of(found), headwind_m_s), strict=True))
    else:
        why = prediction.why_unknown("sink_least_m_s")
        draws |= dict.fromkeys(("speed_to_fly_m_s", "sink_into_wind_m_s", "glide_over_ground"), why)
    return draws | {"least_ballast_kg": least_ballast_kg(found)}


def into_wind(flight: Flight, headwind_m_s: float) -> tuple[Array, Array, Array]:
    """Airspeed that goes farthest over the ground against a wind, sink there, glide over the ground; (n,).

    Searched over the usable lift in steps, and again around the best one.
    """
    lift = usable_lift(flight.polar, flight.loading_N_m2, flight.density_kg_m3, _COARSE)
    for _ in range(2):
        speed, sink, _ratio = glide_at(
            flight.polar, lift, flight.loading_N_m2, flight.density_kg_m3, flight.other_drag
        )
        ground = (speed - headwind_m_s) / sink
        best = np.argmax(ground, axis=1)
        found = best_in_rows(ground, speed, sink)
        rows, last = np.arange(lift.shape[0]), lift.shape[1] - 1
        low, high = lift[rows, np.maximum(best - 1, 0)], lift[rows, np.minimum(best + 1, last)]
        lift = low[:, None] + np.linspace(0.0, 1.0, _FINE) * (high - low)[:, None]
    ratio, fly, least = found
    return fly, least, ratio


def least_ballast_kg(found: Forecast) -> Array | str:
    """Lead at the nose or at the tail that brings the balance to the nearer end of its range; (n,).

    A range from usual static margins moves with the neutral point of each draw.
    """
    centre, mass = found.prediction.draws("cg_x_m"), found.prediction.draws("mass_kg")
    front, rear, _, _ = balance_range(found)
    model = found.setup.model
    ends = body_ends(model)
    if centre is None or mass is None:
        return found.prediction.why_unknown("cg_x_m")
    if front.value is None or rear.value is None:
        return front.because
    if ends is None:
        return "no place for ballast is known: the airframe has no [body]"
    neutral = found.prediction.draws("neutral_point_x_m")
    is_stated = model.airframe.balance_front_x_m is not None and model.airframe.balance_rear_x_m is not None
    shift = np.zeros_like(centre) if is_stated or neutral is None else neutral - np.median(neutral)
    return ballast_at_ends_kg(mass, centre, (front.value + shift, rear.value + shift), ends)


def ballast_at_ends_kg(
    mass_kg: Array, centre_m: Array, edges_m: tuple[Array, Array], ends_m: tuple[float, float]
) -> Array:
    """Mass w at an end with ``(M c + w x) / (M + w)`` at the nearer edge, shape (n,), none inside.

    Infinite where no mass there helps. mass_kg, centre_m, edges_m: (n,); ends_m: x of nose and tail.

    >>> one = np.ones(1)
    >>> ballast_at_ends_kg(0.6 * one, 0.059 * one, (0.064 * one, 0.079 * one), (-0.23, 0.8)).round(5).tolist()
    [0.00408]
    """
    (front, rear), (nose, tail) = edges_m, ends_m
    by_tail = np.where(tail > front, mass_kg * (front - centre_m) / np.maximum(tail - front, 1e-9), np.inf)
    by_nose = np.where(nose < rear, mass_kg * (centre_m - rear) / np.maximum(rear - nose, 1e-9), np.inf)
    needed: Array = np.where(centre_m < front, by_tail, np.where(centre_m > rear, by_nose, 0.0))
    return needed
