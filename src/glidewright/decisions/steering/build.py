"""Checks of the finished airframe: angles with their datum, crooked things in millimetres, gaps, sides."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure, Given, worst_grade
from glidewright.decisions.balancing.known import known_part
from glidewright.decisions.balancing.stations import lateral
from glidewright.decisions.gliding.handling_faults import FAULT_RAD, Fault, faults_of, held_against
from glidewright.decisions.gliding.handling_flow import with_tilted_tail
from glidewright.decisions.nouns import NamedFigure
from glidewright.decisions.steering.desk import Desk
from glidewright.decisions.steering.flight import Flown
from glidewright.decisions.steering.nouns import AngleCheck, BuildAnswer, BuildCheck
from glidewright.decisions.steering.weighing import mass_budget
from glidewright.domain.geometry import Geometry
from glidewright.domain.geometry_places import Place, tail_pieces, wing_pieces
from glidewright.domain.geometry_section import Datum
from glidewright.models.aero.glider import TAIL_STAND_IN, WING_STAND_IN
from glidewright.models.aero.section_table import section_of
from glidewright.models.aero.steering import edge_travel_m

Array = NDArray[np.float64]
_MM = 0.001
_NO_FLIGHT = "the flight of the model is not known"
# What a fault is measured as: field of [build], and how to measure it. Signs as the help of the field says.
_FAULTS: Mapping[str, tuple[str, str]] = {
    "fin": ("fin_turn_m", "a thread from nose to tail, the fin's front edge beside it"),
    "tail tilt": ("tail_tilt_m", "sighted from behind against the wing, block both tips level"),
    "right wing": ("wing_root_m", "incidence meter or straight edge on both roots, one after the other"),
    "right tip": ("wing_tip_m", "the same at both tips, less what the roots differ by"),
    "wing incidence": ("wing_incidence_m", "incidence meter at the root against that at the tail"),
    "tail incidence": ("tail_incidence_m", "incidence meter at the tail, body blocked to its datum line"),
}
_PANEL = "a flat board under the panel with its drawn packing: all four corners touch"
_DATUM_WORDS: Mapping[Datum, str] = {
    "usual": "from its flat bottom, or the chord line where it has none",
    "chord": "from the chord line",
    "file": "from the x axis of its drawing",
}


@dataclass(frozen=True)
class _Cost:
    """What one fault asks for, over the first draws, and what was found of it."""

    fault: Fault
    control: str
    chord_m: float | None
    per_m: Array | None
    found_m: Array | None
    stated: Given | None
    tendency: str


def build_answer(desk: Desk, flown: Flown | str) -> BuildAnswer:
    """Everything to measure before trimming; what each fault costs where the flight is known."""
    geometry = desk.model.airframe.geometry
    known = known_part(desk.found.setup)
    costs = () if isinstance(flown, str) or geometry is None else tuple(_costs(desk, flown, geometry))
    sums = {name: _sum(costs, name) for name in ("rudder", "elevator")}
    return BuildAnswer(
        angles=() if geometry is None else tuple(_angles(geometry)),
        checks=tuple(_check(desk, cost) for cost in costs),
        decalage=() if geometry is None else tuple(_decalage(geometry)),
        rudder_sum=_angle_figure(desk, sums["rudder"], costs),
        elevator_sum=_angle_figure(desk, sums["elevator"], costs),
        rudder_edge=_edge_figure(desk, sums["rudder"], costs, "rudder"),
        elevator_edge=_edge_figure(desk, sums["elevator"], costs, "elevator"),
        gaps=tuple(_gaps(desk)),
        lateral=None if known is None else lateral(known),
        budget=mass_budget(desk),
    )


def _costs(desk: Desk, flown: Flown, geometry: Geometry) -> Iterator[_Cost]:
    lift = flown.level_lift(flown.slow.airspeed_m_s)
    tilted = with_tilted_tail(flown.aero, FAULT_RAD)
    for fault in faults_of(flown.slow, geometry, tilted):
        held = held_against(flown.slow, geometry, fault, lift)
        field = _FAULTS.get(fault.name, ("", ""))[0]
        stated: Given | None = getattr(desk.model.build, field) if field else None
        per_m = None
        if held.angle_rad is not None and fault.size_m:
            per_m = held.angle_rad / flown.effect[held.control] / fault.size_m
        found = None if stated is None else flown.first(f"build.{field}")
        yield _Cost(fault, held.control, held.chord_m, per_m, found, stated, held.tendency)


def _check(desk: Desk, cost: _Cost) -> BuildCheck:
    fault = cost.fault
    field, how = _FAULTS.get(fault.name, ("", _PANEL))
    lacks = f"the shape has no {'elevator' if fault.pitches else 'rudder'}"
    trim, edge = Figure.unknown("rad", "°", lacks), Figure.unknown("m", "mm", lacks)
    trim_found = Figure.unknown("rad", "°", lacks if cost.per_m is None else "not measured yet")
    found = Figure.unknown("m", "mm", "not measured yet")
    if cost.per_m is not None:
        trim = desk.figure(cost.per_m * _MM, "°")
        if cost.chord_m is not None:
            edge = desk.figure(edge_travel_m(cost.per_m * _MM, cost.chord_m), "mm")
    if cost.found_m is not None:
        found = desk.figure(cost.found_m, "mm")
        if cost.per_m is not None:
            trim_found = desk.figure(cost.per_m * cost.found_m, "°")
    return BuildCheck(
        name=field.removesuffix("_m") if field else fault.name.replace(" ", "_"),
        title=fault.title,
        how=how,
        size_m=fault.size_m,
        control=cost.control,
        trim=trim,
        edge=edge,
        found=found,
        trim_found=trim_found,
        tendency=cost.tendency,
    )


def _sum(costs: tuple[_Cost, ...], control: str) -> Array | None:
    """Deflection that all measured faults ask of one control together, (SEEN,)."""
    parts = [c.per_m * c.found_m for c in costs
             if c.control == control and c.per_m is not None and c.found_m is not None]  # fmt: skip
    return np.sum(parts, axis=0) if parts else None


def _angle_figure(desk: Desk, total: Array | None, costs: tuple[_Cost, ...]) -> Figure:
    if total is None:
        return Figure.unknown("rad", "°", "nothing is measured yet" if costs else _NO_FLIGHT)
    return desk.figure(total, "°")


def _edge_figure(desk: Desk, total: Array | None, costs: tuple[_Cost, ...], control: str) -> Figure:
    chord = next((one.chord_m for one in costs if one.control == control), None)
    if total is None or chord is None:
        return Figure.unknown("m", "mm", "nothing is measured yet" if costs else _NO_FLIGHT)
    return desk.figure(edge_travel_m(total, chord), "mm")


def _angles(geometry: Geometry) -> Iterator[AngleCheck]:
    """Wing root, every panel's outer end, and tail: angle as measured and of the chord line, and height."""
    wing, of_wing = wing_pieces(geometry), geometry.wing.incidence_from
    yield _angle(
        geometry, "Wing at the root", wing[0].inner, of_wing, geometry.wing.incidence_rad, WING_STAND_IN
    )
    for number, (piece, panel) in enumerate(zip(wing, geometry.panels, strict=True), 1):
        name = panel.name or f"panel {number}"
        yield _angle(
            geometry, f"Wing at the outer end of {name}", piece.outer, of_wing, panel.twist_rad, WING_STAND_IN
        )
    if geometry.tail is not None:
        tail = geometry.tail
        yield _angle(
            geometry,
            "Tail",
            tail_pieces(tail)[0].inner,
            tail.incidence_from,
            tail.incidence_rad,
            TAIL_STAND_IN,
        )


def _angle(
    geometry: Geometry, title: str, place: Place, datum: Datum, given: Given, stand_in: str
) -> AngleCheck:
    section = section_of(place.section or stand_in, geometry.sections)
    because = f"{section.title}, measured {_DATUM_WORDS[datum]}"
    line = section.chord_angle_rad(place.incidence_rad, datum)

    def exact(value: float, si: str, shown: str) -> Figure:
        return Figure.exact(value, si, shown, given.grade, because)

    return AngleCheck(
        title=title,
        angle=exact(place.incidence_rad, "rad", "°"),
        chord_line=exact(line, "rad", "°"),
        chord_m=place.chord_m,
        height=exact(place.chord_m * math.sin(place.incidence_rad), "m", "mm"),
        datum=because,
    )


def _decalage(geometry: Geometry) -> Iterator[NamedFigure]:
    """Wing root less tail: as measured, and between the chord lines; nothing without a tail."""
    angles = list(_angles(geometry))
    if geometry.tail is None:
        return
    wing, tail = angles[0], angles[-1]
    for name, title in (
        ("angle", "Decalage as measured at the roots"),
        ("chord_line", "Between the chord lines"),
    ):
        ends = [getattr(one, name) for one in (wing, tail)]
        grade = worst_grade([end.grade for end in ends])
        figure = Figure.exact(ends[0].value - ends[1].value, "rad", "°", grade, "wing less tail")
        yield NamedFigure(name=f"decalage_{name}", title=title, figure=figure)


def _gaps(desk: Desk) -> Iterator[NamedFigure]:
    """Hinge gaps as stated."""
    for rig in desk.rigs:
        gap = rig.control.hinge_gap_m
        if rig.is_spoiler:
            continue
        title = f"Hinge gap of the {rig.control.label}"
        figure = (
            Figure.unknown("m", "mm", "hinge_gap_mm is not stated: look through it against the light")
            if gap is None
            else Figure.exact(gap.value, "m", "mm", gap.grade, "as the folder states")
        )
        yield NamedFigure(name=f"gap_{rig.control.surface}", title=title, figure=figure)
