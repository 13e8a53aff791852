"""The phases of a record in order, without holes, each with how sure its ends are."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from glidewright.base.figure import Figure
from glidewright.domain.flight_reading import LandingReading, LaunchReading, Phase, PhaseKind
from glidewright.domain.flight_record import Samples

from .air import AirSpan, spans_of, turned_rad
from .figures import error_of, known, seconds
from .glides import boundary_error
from .ground import Airborne
from .landing import landing_of
from .practice import practice
from .scene import Scene
from .track import Mask


@dataclass(frozen=True)
class FlightParts:
    """One flight cut up: its launches, the stretches of gliding between, the landing."""

    flight: Airborne
    launches: tuple[LaunchReading, ...]
    spans: tuple[AirSpan, ...]
    landing: LandingReading | None


@dataclass(frozen=True)
class _Edge:
    """Begin of a phase."""

    kind: PhaseKind
    start: Figure
    circling: bool | None = None


def gliding(scene: Scene, flight: Airborne, launches: Sequence[LaunchReading]) -> Mask:
    """Where a flight glides: in the air, without motor, after the zoom, before the approach."""
    track = scene.track
    chosen = np.zeros(track.time_s.size, dtype=np.bool_)
    chosen[flight.first : flight.last + 1] = True
    begin_s = float(track.time_s[flight.first])
    for number, launch in enumerate(launches):
        is_first = number == 0 and flight.before is not None
        start_s = begin_s if is_first else known(launch.motor_start)
        top_s = known(launch.top)
        chosen &= ~((track.time_s >= start_s) & (track.time_s <= top_s))
    chosen[approach_place(scene, flight) :] = False
    return chosen


def approach_place(scene: Scene, flight: Airborne) -> int:
    """First place of the approach: the model stays below the landing height from here on."""
    if flight.behind is None:
        return flight.last + 1
    above = scene.track.height_m[flight.first : flight.last + 1] - flight.behind.level_m
    high = np.flatnonzero(above > practice("landing_height"))
    return flight.first + (int(high[-1]) + 1 if high.size else 0)


def flight_parts(
    scene: Scene, flight: Airborne, launches: Sequence[LaunchReading], climb: Samples, usual: float
) -> FlightParts:
    """Lift, sink and glide of every gliding stretch of a flight; usual: sink of the record's glides."""
    track = scene.track
    begins = [known(launch.top) for launch in launches]
    ends = [known(launch.motor_start) for launch in launches]
    if launches and flight.before is not None:
        ends = ends[1:]
    else:  # it was in the air before its first motor run, or never had one
        begins = [float(track.time_s[flight.first]), *begins]
    spans: list[AirSpan] = []
    last = min(approach_place(scene, flight) - 1, flight.last)
    for number, begin_s in enumerate(begins):
        first = min(track.place(begin_s) + 1, track.time_s.size - 1)
        until = track.place(ends[number]) - 1 if number < len(ends) else last
        spans += spans_of(scene, climb, first, min(until, last), usual)
    return FlightParts(flight, tuple(launches), tuple(spans), landing_of(scene, flight))


def phases_of(scene: Scene, parts: Sequence[FlightParts]) -> tuple[Phase, ...]:
    """All phases of a record; the end of one is the begin of the next."""
    track = scene.track
    begin = seconds(float(track.time_s[0]), 0.0, "begin of the record")
    end = seconds(float(track.time_s[-1]), 0.0, "end of the record")
    edges: list[_Edge] = []
    is_on_ground = not parts or parts[0].flight.before is not None
    for one in parts:
        edges += _edges(scene, one, begin)
    ordered = _rising(edges)
    if not ordered or is_on_ground or known(ordered[0].start) > known(begin):
        ordered.insert(0, _Edge("ground" if is_on_ground else "glide", begin))
    ends = [edge.start for edge in ordered[1:]] + [end]
    return tuple(
        Phase(kind=edge.kind, start=edge.start, end=until, circling=edge.circling)
        for edge, until in zip(ordered, ends, strict=True)
    )


def _edges(scene: Scene, one: FlightParts, begin: Figure) -> list[_Edge]:
    """Begins of all phases of one flight and of the ground behind it."""
    track = scene.track
    edges: list[_Edge] = []
    for launch in one.launches:
        edges.append(_Edge("motor", launch.motor_start))
        edges.append(_Edge("zoom", launch.motor_stop))
    tops = {track.place(known(launch.top)) + 1: launch.top for launch in one.launches}
    starts_in_air = one.flight.before is None
    for span in one.spans:
        start = tops.get(span.first)
        if start is None and starts_in_air and span.first <= one.flight.first + 1:
            start = begin
        if start is None:
            start = seconds(
                float(track.time_s[span.first]),
                boundary_error(scene),
                "change of the mean climb over a circle",
            )
        edges.append(_Edge(_KINDS[span.kind], start, _circling(scene, span)))
    if one.landing is not None:
        low_s = float(track.time_s[min(approach_place(scene, one.flight), track.time_s.size - 1)])
        edges.append(
            _Edge("landing", seconds(low_s, 1.0, "the model stays below 5 m over the landing place"))
        )
        edges.append(_Edge("ground", one.landing.touch))
    return edges


_KINDS: dict[str, PhaseKind] = {"glide": "glide", "lift": "lift", "sink": "sink"}


def _circling(scene: Scene, span: AirSpan) -> bool | None:
    turned = turned_rad(scene, span.first, span.last)
    if turned is None:
        return None
    length_s = (span.last - span.first) * scene.track.step_s
    return abs(turned) > 2.0 * np.pi and abs(turned) / max(length_s, 1.0) > practice("circling_rate")


def _rising(edges: Sequence[_Edge]) -> list[_Edge]:
    """The begins in order of time; one that a later one overtakes is no phase."""
    kept: list[_Edge] = []
    for edge in sorted(edges, key=lambda one: known(one.start)):
        if kept and known(edge.start) <= known(kept[-1].start) + 1e-9:
            kept[-1] = _Edge(edge.kind, kept[-1].start, edge.circling)
        elif kept and kept[-1].kind == edge.kind:
            continue
        else:
            kept.append(edge)
    return kept


def total_error(figures: Sequence[Figure]) -> float:
    """Standard deviation of a sum or difference of figures that err apart."""
    return float(np.sqrt(sum(error_of(one) ** 2 for one in figures)))
