"""Stability and handling of a model whose shape is stated."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.base.wording import percent_text
from glidewright.data import coefficients
from glidewright.decisions.gliding.flight import Flight
from glidewright.decisions.gliding.handling_edges import rudder_edge_chord_m
from glidewright.decisions.gliding.handling_faults import FAULT_RAD, fault_rows
from glidewright.decisions.gliding.handling_flow import (
    SEEN,
    Handled,
    handled_at,
    with_faults,
    with_tilted_tail,
)
from glidewright.decisions.gliding.handling_measures import measures
from glidewright.decisions.gliding.handling_modes import TURN_TIME_S, modes_at, turn_row
from glidewright.decisions.gliding.handling_nouns import HandlingAnswer, MarginRow, TurnAnswer
from glidewright.decisions.gliding.handling_spread import spread_of
from glidewright.decisions.nouns import NamedFigure
from glidewright.forecast.aero_inputs import Aero
from glidewright.forecast.predict import Forecast
from glidewright.models.aero.steering import edge_travel_m

Array = NDArray[np.float64]
RUDDER_RAD = float(np.radians(15.0))
_SLOPES = (
    ("lift", "alpha"),
    ("pitch", "alpha"),
    ("pitch", "pitch_rate"),
    ("side", "beta"),
    ("roll", "beta"),
    ("yaw", "beta"),
    ("roll", "roll_rate"),
    ("yaw", "roll_rate"),
    ("roll", "yaw_rate"),
    ("yaw", "yaw_rate"),
    ("pitch", "elevator"),
    ("roll", "rudder"),
    ("yaw", "rudder"),
)
# common practice of the trade, no source: upper end of the static margin and how the model feels up to there
_FEELS = (
    (0.0, "unstable: every disturbance grows, it cannot be left alone and hardly be flown by hand"),
    (0.04, "nearly neutral: it keeps whatever attitude it is given and needs every second of attention"),
    (0.08, "lively: small elevator moves do much, it shows lift best and flies level with little trim; for "
           "practised hands"),
    (0.12, "balanced: comes back by itself slowly, one trim serves most speeds"),
    (0.18, "calm: comes back by itself, wants up trim to fly slowly and pitches up when it gets fast; the "
           "choice for a first flight"),
    (np.inf, "nose-heavy: much up trim, strong pitching up after a dive or a gust, least sink and landing "
             "flare suffer, the elevator may run out in a turn"),
)  # fmt: skip


def feels(static_margin: float) -> str:
    """How a model of this static margin feels; common practice.

    >>> feels(0.10)[:8], feels(-0.01)[:8]
    ('balanced', 'unstable')
    """
    return next(words for most, words in _FEELS if static_margin <= most)


def handling_answer(found: Forecast, flight: Flight, aero: Aero) -> HandlingAnswer | str:
    """Everything about stability and handling, or the sentence that says what it lacks."""
    airframe, values = found.setup.model.airframe, found.prediction.values
    geometry = airframe.geometry
    assert geometry is not None  # there is a flow, so there is a shape
    if "static_margin" not in values or found.items is None:
        return f"it needs the balance: {found.prediction.why_unknown('static_margin')}"
    glider = with_faults(aero)
    spread = spread_of(found, glider, geometry, SEEN)
    slow = values["speed_sink_least_m_s"][:SEEN]
    states = [("At the speed of least sink", handled_at(found, flight, glider, slow, spread))]
    if found.orders is not None:
        climb = found.climb_speed_draws_m_s()[:SEEN]
        states.append(("At the climb speed, motor off", handled_at(found, flight, glider, climb, spread)))
    first = states[0][1]
    lift = flight.lift_at(np.ones((flight.mass_kg.size, 1)))[:SEEN, 0] / slow**2
    prediction = found.prediction
    return HandlingAnswer(
        airspeed_m_s=float(np.median(slow)),
        neutral_point_x=prediction.figure("neutral_point_x_m", "mm"),
        static_margin=prediction.figure("static_margin", "%"),
        centre_x=prediction.figure("cg_x_m", "mm"),
        feels_now=feels(float(np.median(values["static_margin"]))),
        margins=tuple(_margins(found, aero)),
        measures=measures(found, aero, lift),
        modes=tuple(modes_at(handled, title) for title, handled in states),
        turn=_turn(states, rudder_edge_chord_m(geometry)),
        faults=fault_rows(first, geometry, with_tilted_tail(aero, FAULT_RAD), lift),
        slopes=tuple(_slopes(first)),
        notes=_NOTES,
    )


_NOTES = (
    "Motions are those of small disturbances in still air, motor off, controls held, with the air that moves "
    "along with wing and tail counted in; inertia is that of the items as boxes at their stations.",
    "The body counts in pitch and yaw after the theory of slender bodies; what it does in roll, and the bent "
    "wing and boom of a real model, are left out.",
    "Spreads here hold balance, mass and air; what the vortex lattice was off by against a finer one, "
    "another one and published wings; the lift slopes of sections in tunnels; flaps that do less than thin "
    "ones; the body's moment in yaw; incidence, dihedral, sweep and chords as built.",
    "How an end of the range feels is common practice of flyers, not computed.",
)


def _margins(found: Forecast, aero: Aero) -> Iterator[MarginRow]:
    """Centres of gravity of the usual margins, and what margins the designer's own range has."""
    rows, chord = coefficients("airframe_drag"), aero.glider.reference.chord_m
    neutral = found.prediction.values["neutral_point_x_m"]
    foremost, rearmost = (float(rows[f"static_margin_{end}"]["value"]) for end in ("front", "rear"))
    for margin in (foremost, 0.5 * (foremost + rearmost), rearmost):
        centre = found.figure(neutral - margin * chord, "mm")
        title = f"static margin {percent_text(margin)}"
        yield MarginRow(title=title, static_margin=margin, centre_x=centre, feels=feels(margin))
    airframe = found.setup.model.airframe
    ends = (("front", airframe.balance_front_x_m), ("rear", airframe.balance_rear_x_m))
    for end, given in ends:
        if given is not None:
            margin = float(np.median((neutral - given.value) / chord))
            source = airframe.balance_source or "stated without a source"
            centre = Figure.exact(given.value, "m", "mm", given.grade, f"a limit, set by {source}")
            title = f"{end} end of the stated range, static margin {percent_text(margin)}"
            yield MarginRow(title=title, static_margin=margin, centre_x=centre, feels=feels(margin))


def _turn(states: list[tuple[str, Handled]], edge_chord_m: float | None) -> TurnAnswer | None:
    if edge_chord_m is None or "rudder" not in states[0][1].slopes.variables:
        return None
    return TurnAnswer(
        rudder_rad=RUDDER_RAD,
        time_s=TURN_TIME_S,
        edge_m=float(edge_travel_m(RUDDER_RAD, edge_chord_m)),
        rows=tuple(turn_row(handled, title, RUDDER_RAD) for title, handled in states),
    )


def _slopes(handled: Handled) -> Iterator[NamedFigure]:
    for coefficient, variable in _SLOPES:
        if variable in handled.slopes.variables:
            draws = handled.slopes.of(coefficient, variable)
            title = f"{coefficient} with {variable.replace('_', ' ')}"
            figure = handled.figure(draws, "", "vortex lattice and body")
            yield NamedFigure(name=f"{coefficient}_{variable}", title=title, figure=figure)
