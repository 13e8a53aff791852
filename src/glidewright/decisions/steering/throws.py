"""Throws, trims, exponential and mixes: what flight asks of elevator and rudder, as travel of the linkage."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.base.wording import median_text, percent_text, plain_text
from glidewright.data import coefficient, coefficients
from glidewright.decisions.gliding.handling_edges import elevator_edge_chord_m, rudder_edge_chord_m
from glidewright.decisions.nouns import NamedFigure
from glidewright.decisions.steering.brake import travel_of
from glidewright.decisions.steering.flight import Flown, slowest_m_s
from glidewright.decisions.steering.nouns import BrakeUse, Mix, Need, StickCurve, Throw
from glidewright.decisions.steering.rig import Rig, first_of
from glidewright.models.aero.steering import edge_travel_m
from glidewright.models.control.stick import softened, softening_for

Array = NDArray[np.float64]
_STICK = (0.25, 0.5, 0.75, 1.0)
_TENTH = 0.1
_NO_LINKAGE = "no linkage of this control is stated"


@dataclass(frozen=True)
class _Wanted:
    """One control and way: draws of the full throw and of what first flights need, with its reasons."""

    control: str
    way: str
    full_rad: Array
    first_rad: Array
    needs: tuple[Need, ...]
    because: str
    practice: str


def throws(flown: Flown, brake: BrakeUse | None) -> tuple[Throw, ...]:
    """Elevator and rudder, each way; what the shape does not have is left out."""
    found: list[Throw] = []
    edges = _edges(flown)
    if flown.has_elevator and edges[0] is not None:
        rig = elevator_rig(flown)
        found += [_throw(flown, one, rig, edges[0]) for one in _elevator(flown, brake, edges[0])]
    if flown.has_rudder and edges[1] is not None:
        rig = _rig(flown, "rudder", "v-tail")
        found += [_throw(flown, one, rig, edges[1]) for one in _rudder(flown, edges[1])]
    return tuple(found)


def _edges(flown: Flown) -> tuple[float | None, float | None]:
    geometry = flown.desk.model.airframe.geometry
    assert geometry is not None  # there is a flow, so there is a shape
    return elevator_edge_chord_m(geometry), rudder_edge_chord_m(geometry)


def _rig(flown: Flown, *surfaces: str) -> Rig | None:
    return next(iter(flown.desk.rigs_of(*surfaces)), None)


def elevator_rig(flown: Flown) -> Rig | None:
    """The linkage that moves the elevator, one of a V-tail's, or nothing."""
    return _rig(flown, "elevator", "v-tail")


def _elevator(flown: Flown, brake: BrakeUse | None, edge_m: float) -> Iterator[_Wanted]:
    reserve, figure = coefficient("control", "throw_reserve"), flown.desk.figure
    slow = -flown.trim_rad(slowest_m_s(flown))
    approach = -flown.trim_rad(flown.approach.airspeed_m_s)
    flare = approach - flown.pull_rad(flown.approach, coefficient("brake", "flare_load"))
    with_brake = np.zeros_like(flare)
    if brake is not None and brake.steps[-1].compensation.value is not None:
        with_brake = np.full_like(flare, max(0.0, -brake.steps[-1].compensation.value))
    dive = flown.trim_rad(flown.first("steering.dive_speed_m_s"))
    up_most = np.maximum(np.maximum(slow, flare + with_brake), 0.0)
    up = reserve * up_most
    down_over_up = coefficient("control", "down_over_up")
    down = np.maximum(reserve * np.nan_to_num(dive, nan=0.0), down_over_up * up)
    low, high = (plain_text(practice_band("practice_elevator_edge_m")[end], "mm") for end in (0, 1))
    usual = f"flyers use {low} to {high} each way at the trailing edge"
    why = f"the largest need with a reserve of {percent_text(reserve - 1.0)}"

    def need(title: str, draws: Array) -> Need:
        return Need(
            title=title, deflection=figure(draws, "°"), edge=figure(edge_travel_m(draws, edge_m), "mm")
        )

    ups = [need("hold it just above the stall", slow), need("flare at the approach speed", flare)]
    if brake is not None:
        ups.append(need("flare with the brake full", flare + with_brake))
    yield _Wanted("elevator", "up", up, np.maximum(slow, flare), tuple(ups), why, usual)
    downs = (need("hold the dive speed", dive),)
    why = f"the dive, and not less than {percent_text(down_over_up)} of the way up: to push out"
    yield _Wanted("elevator", "down", down, np.maximum(np.nan_to_num(dive, nan=0.0), 0.0), downs, why, usual)


def _rudder(flown: Flown, edge_m: float) -> Iterator[_Wanted]:
    bank, most = coefficient("control", "turn_bank_rad"), coefficient("control", "most_rudder_rad")
    wanted = bank / flown.bank_per_rudder()
    held = np.minimum(wanted, most)
    figure = flown.desk.figure
    title = f"{plain_text(bank, '°')} of bank in two seconds at least sink"
    need = Need(title=title, deflection=figure(wanted, "°"), edge=figure(edge_travel_m(wanted, edge_m), "mm"))
    why = f"to enter a turn, held at {plain_text(most, '°')}: more hardly adds force"
    low, high = (plain_text(end, "°") for end in practice_band("practice_rudder_rad"))
    usual = f"flyers use {low} to {high} each way"
    for way in ("left", "right"):
        yield _Wanted("rudder", way, held, np.zeros_like(held), (need,), why, usual)


def practice_band(name: str) -> tuple[float, float]:
    """Low and high of a packaged row."""
    row = coefficients("control")[name]
    return float(row["low"]), float(row["high"])


def _throw(flown: Flown, wanted: _Wanted, rig: Rig | None, edge_m: float) -> Throw:
    figure = flown.desk.figure
    needed = float(np.median(wanted.first_rad) / np.median(wanted.full_rad))
    first = min(max(coefficient("control", "first_flight_rate"), needed), 1.0)
    share, reached = _travel(rig, wanted.way, wanted.full_rad)
    first_share, _ = _travel(rig, wanted.way, first * wanted.full_rad)
    unknown = Figure.unknown("1", "%", _NO_LINKAGE)
    return Throw(
        control=wanted.control,
        way=wanted.way,
        deflection=figure(wanted.full_rad, "°"),
        edge=figure(edge_travel_m(wanted.full_rad, edge_m), "mm"),
        travel=unknown if share is None else figure(share, "%"),
        first=first,
        first_edge=figure(edge_travel_m(first * wanted.full_rad, edge_m), "mm"),
        first_travel=unknown if first_share is None else figure(first_share, "%"),
        chance=reached,
        needs=wanted.needs,
        because=wanted.because,
        practice=wanted.practice,
    )


def _travel(rig: Rig | None, way: str, deflection: Array) -> tuple[Array | None, float | None]:
    """Share of the stated travel, (draws,), and the chance that it is not more than all of it."""
    if rig is None:
        return None, None
    own = first_of(rig, deflection.size)
    sign = own.sign_of(way) if way in own.ways else 1.0
    share = np.abs(own.share_for(sign * deflection[:, None])[:, 0])
    return share, float(np.mean(np.nan_to_num(share, nan=np.inf) <= 1.0))


def trims(flown: Flown) -> tuple[NamedFigure, ...]:
    """Where the elevator stands at rest for least sink, as angle, at the edge, and as travel."""
    if not flown.has_elevator:
        return ()
    edge = _edges(flown)[0]
    assert edge is not None  # there is an elevator
    figure = flown.desk.figure
    rest = flown.trim_rad(flown.slow.airspeed_m_s)
    rows = [
        NamedFigure(
            name="trim_rad", title="Elevator for least sink, down positive", figure=figure(rest, "°")
        ),
        NamedFigure(
            name="trim_edge_m",
            title="The same at the trailing edge",
            figure=figure(edge_travel_m(rest, edge), "mm"),
        ),
    ]
    travel = travel_of(elevator_rig(flown), rest)
    if travel is not None:
        title = "The same as travel: set it by the rod, not by the trim lever"
        rows.append(NamedFigure(name="trim_travel", title=title, figure=figure(travel, "%")))
    return tuple(rows)


def stick_curves(flown: Flown, found: Sequence[Throw]) -> tuple[StickCurve, ...]:
    """Exponential of the elevator from what a tenth of stick does when fast; of the rudder as usual."""
    low, high = practice_band("exponential")
    usual = coefficient("control", "exponential")
    curves = []
    up = next((one for one in found if one.control == "elevator" and one.way == "up"), None)
    if up is not None and up.deflection.value is not None:
        load = _TENTH * up.deflection.value / np.abs(flown.pull_rad(flown.fast, 1.0))
        allowed = coefficient("control", "tenth_of_stick_load")
        share = softening_for(load, allowed, low, high)
        fast = plain_text(float(np.median(flown.fast.airspeed_m_s)), "m/s")
        why = (
            f"at {fast} a tenth of stick gives {median_text(flown.desk.figure(load, ''))} g without it; "
            f"{plain_text(allowed, '')} g are easy to fly"
        )
        curves.append(_curve("elevator", flown.desk.figure(share, "%"), float(np.median(share)), why))
    if any(one.control == "rudder" for one in found):
        figure = Figure(value=usual, low=low, high=high, unit="1", shown="%", grade="typical",
                        because="common practice")  # fmt: skip
        curves.append(_curve("rudder", figure, usual, "habit of flyers; the rudder of such a model is calm"))
    return tuple(curves)


def _curve(control: str, share: Figure, at: float, because: str) -> StickCurve:
    travel = tuple(float(one) for one in softened(np.array(_STICK), at))
    return StickCurve(control=control, share=share, stick=_STICK, travel=travel, because=because)


def mixes(
    flown: Flown | None, brake: BrakeUse | None, found_throws: Sequence[Throw], on_both_sticks: bool
) -> tuple[Mix, ...]:
    """Brake to elevator, halves of a V-tail, copy of the rudder; flown: nothing while it is not known."""
    found = []
    if brake is not None:
        full = brake.steps[-1]
        shown = full.compensation if full.travel.value is None else full.travel
        found.append(
            Mix(
                title="Brake to elevator",
                source="brake",
                target="elevator",
                value=f"{_size(shown)} at full brake, along the curve",
                because=f"the nose goes down with a chance of {percent_text(brake.nose_down)}",
                test=brake.test,
            )
        )
    if flown is not None and flown.desk.rigs_of("v-tail"):
        found.append(_v_tail(found_throws))
    if flown is None or flown.has_rudder:
        state = "on, as the folder asks" if on_both_sticks else "off; the folder does not ask for it"
        found.append(
            Mix(
                title="Rudder on the second stick",
                is_on=on_both_sticks,
                source="the other stick, sideways",
                target="rudder",
                value=f"100 % both ways, same sign: {state}",
                because="whoever steers turns with the right hand on other models has the rudder there too; "
                "one stick alone moves it fully, both together must not go beyond 100 %",
                test=(
                    "move each stick alone and both together: the rudder must stop where it stops with one",
                ),
            )
        )
    return tuple(found)


def _v_tail(found: Sequence[Throw]) -> Mix:
    """Elevator and rudder on both halves: how much of the travel both ask for together."""
    shares = {
        name: max(throw.travel.value or 0.0 for throw in found if throw.control == name)
        for name in dict.fromkeys(throw.control for throw in found)
    }
    both = sum(shares.values())
    words = " and ".join(f"{name} {percent_text(share)}" for name, share in shares.items())
    fits = "fits" if both <= 1.0 else "does not fit into 100 %: take the rudder back, or use longer arms"
    return Mix(
        title="V-tail",
        source="elevator and rudder",
        target="both halves",
        value=f"{words} of the travel of each half",
        because=f"full elevator with full rudder asks for {percent_text(both)}, which {fits}",
        test=("both halves up for up elevator; both to the right, one up and one down, for right rudder",),
    )


def _size(figure: Figure) -> str:
    if figure.value is None:
        return "not known"
    way = "up" if figure.value < 0.0 else "down"
    size = abs(figure.value)
    return f"{percent_text(size) if figure.shown == '%' else plain_text(size, figure.shown)} {way}"
