"""Which parts make the drag, and what the numbers of the glide rest on."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from glidewright.base.wording import count_text, percent_text, plain_text
from glidewright.decisions.gliding.flight import Flight
from glidewright.decisions.gliding.nouns import DragAnswer, DragRow
from glidewright.domain.airframe import Airframe
from glidewright.domain.field import Field
from glidewright.forecast.aero_inputs import STATED_DRAG, Aero, ceiling_is_computed, drag_is_computed
from glidewright.forecast.kernel_rows import air
from glidewright.forecast.predict import Forecast
from glidewright.models.aero import section as sections
from glidewright.models.aero.buildup import (
    body_drag_area_m2,
    closed_brake_drag_area_m2,
    gap_drag_area_m2,
    junction_drag_area_m2,
    protuberance_drag_area_m2,
)
from glidewright.models.aero.glider import TAIL_STAND_IN, WING_STAND_IN
from glidewright.models.aero.trim import (
    MEASURED_FROM_REYNOLDS,
    PARASITE_LIFT,
    attitudes,
    control_drag,
    surfaces_drag_area_m2,
)
from glidewright.models.air.atmosphere import viscosity_Pa_s

Array = NDArray[np.float64]
_FAST_M_S = 10.0
_SURE = 0.9


def drag_answer(found: Forecast, flight: Flight, aero: Aero | None) -> DragAnswer | None:
    """Drag coefficients by cause at three airspeeds, every input central.

    At least sink, at best glide and at a fast one; nothing where the drag does not follow from the shape.
    """
    airframe, day = found.setup.model.airframe, found.setup.model.field
    if aero is None or not drag_is_computed(airframe, day):
        return None
    middle = {
        name: float(np.median(found.prediction.values[name]))
        for name in ("speed_sink_least_m_s", "speed_glide_best_m_s")
    }
    speeds = np.array([*middle.values(), _FAST_M_S])
    loading, density = float(np.median(flight.loading_N_m2)), float(np.median(flight.density_kg_m3))
    per_metre = speeds / viscosity_m2_s(found)
    lift = 2.0 * loading / (density * speeds**2)
    every = attitudes(aero.glider, [*lift, PARASITE_LIFT], aero.centre_m)
    known, near_zero = every.some(slice(-1)), every.some(slice(-1, None))
    inputs = found.setup.inputs
    profile = _profile(aero, known.strip_lift, per_metre, inputs["airframe.roughness"].value)
    rest, area = aero.glider.rest, aero.glider.reference.area_m2
    corners = sum(junction_drag_area_m2(junction) for junction in rest.junctions)
    surfaces = surfaces_drag_area_m2(aero.glider, near_zero, per_metre)
    rows: list[tuple[str, Array]] = [("Lift along the span (induced)", known.induced_drag)]
    rows += [(f"Sections of the {name}", drag) for name, drag in profile]
    rows += [
        ("Elevator turned to trim", control_drag(aero.glider, known.elevator_rad)),
        ("Body", body_drag_area_m2(rest, per_metre) / area),
        ("Corners of wing and tail", np.full(3, corners / area)),
        ("Hinge gaps and open joins", np.full(3, gap_drag_area_m2(rest) / area)),
        ("Steps at the closed brake", np.full(3, closed_brake_drag_area_m2(rest) / area)),
        (
            "Horns, push-rods, tape edges, air holes",
            protuberance_drag_area_m2(rest, per_metre, surfaces) / area,
        ),
        ("Folded blades", np.full(3, float(np.median(flight.other_drag)))),
    ]
    return DragAnswer(
        airspeeds_m_s=tuple(speeds.tolist()),
        titles=("least sink", "best glide", "fast"),
        rows=tuple(DragRow(cause=cause, coefficients=tuple(drag.tolist())) for cause, drag in rows),
    )


def viscosity_m2_s(found: Forecast) -> float:
    """Kinematic viscosity of the air on the field, the middle of the draws."""
    density, temperature = air(found.setup)
    return float(np.median(viscosity_Pa_s(temperature) / density))


def _profile(aero: Aero, strip_lift: Array, per_metre: Array, rough: float) -> Iterator[tuple[str, Array]]:
    """Section drag of the wing and of tail and fins, coefficients on the reference area."""
    glider = aero.glider
    strips = glider.lattice.strips
    chord = strips.chord_m[glider.strip]
    share = chord * strips.width_m[glider.strip] * glider.weight / glider.reference.area_m2
    clean, dirty = glider.sections.drag_coefficient(strip_lift, per_metre[:, None] * chord)
    drag = ((1.0 - rough) * clean + rough * dirty) * share
    yield "wing", drag[:, glider.wing].sum(axis=1)
    yield "tail and fin", drag[:, ~glider.wing].sum(axis=1)


def polar_source(airframe: Airframe, day: Field) -> str:
    """Where drag and lift ceiling come from."""
    stated = any(getattr(airframe, name) is not None for name in STATED_DRAG)
    if drag_is_computed(airframe, day):
        drag = "drag computed from the shape: vortex lattice, section tables, build-up of the rest"
    elif stated:
        drag = "drag from the stated " + ", ".join(n for n in STATED_DRAG if getattr(airframe, n) is not None)
    else:
        drag = "drag of a typical model of this kind, because the shape is not stated"
    if ceiling_is_computed(airframe, day):
        return f"{drag}; stall from the sections"
    ceiling = "the stated lift_ceiling" if airframe.lift_ceiling else "a typical lift ceiling"
    return f"{drag}; stall from {ceiling}"


def rests_on(found: Forecast, flight: Flight, aero: Aero | None) -> tuple[str, ...]:
    """What the numbers rest on, and where they are weak."""
    if aero is None:
        return ()
    return tuple(_sentences(found, flight, aero))


def _sentences(found: Forecast, flight: Flight, aero: Aero) -> Iterator[str]:
    slow = float(np.median(found.prediction.values["speed_sink_least_m_s"]))
    per_metre = slow / viscosity_m2_s(found)
    glider = aero.glider
    chord = glider.lattice.strips.chord_m[glider.strip]
    wing, tail = chord[glider.wing] * per_metre, chord[~glider.wing] * per_metre
    yield (
        f"at the speed of least sink, {plain_text(slow, 'm/s')}, the wing flies at Reynolds numbers of "
        f"{_thousands(wing.min())} to {_thousands(wing.max())}"
    )
    low = wing.min() < MEASURED_FROM_REYNOLDS
    if low or (tail.size and tail.min() < MEASURED_FROM_REYNOLDS):
        where = "wing and tail" if low else "tail or fin"
        yield (
            f"part of {where} flies below Reynolds {_thousands(MEASURED_FROM_REYNOLDS)}: no tunnel test was "
            "there to hold the section tables against"
        )
    yield from _confidence(found, flight, aero, per_metre)
    bias = sections.drag_factor(float(np.median(wing)))
    yield (
        f"tunnels find {float(bias.value):.2f} times the computed section drag at the wing's Reynolds "
        f"number, {float(bias.low):.2f} to {float(bias.high):.2f} between sections; every figure has it"
    )
    yield (
        "wing and tail pass through the body without a gap, film that sags between ribs counts as part of "
        "the roughness, and the blades are folded; turns use the straight polar, without the drag of yaw "
        "along a long wing"
    )


def _confidence(found: Forecast, flight: Flight, aero: Aero, per_metre: float) -> Iterator[str]:
    geometry = found.setup.model.airframe.geometry
    assert geometry is not None  # there is a flow, so there is a shape
    tail = geometry.tail.section if geometry.tail else ""
    wing = dict.fromkeys(s for panel in geometry.panels for s in (panel.section, panel.tip_section) if s)
    lift = float(np.median(flight.loading_N_m2)) * 2.0
    speed = per_metre * viscosity_m2_s(found)
    lift /= float(np.median(flight.density_kg_m3)) * speed**2
    told = []
    for name in wing or {WING_STAND_IN: None}:
        known = sections.section_of(name, geometry.sections)
        reynolds = per_metre * aero.glider.reference.chord_m
        alpha, _ = sections.alpha_of_cl(known, lift, reynolds)
        sure = float(sections.confidence(known, alpha, reynolds))
        told.append(f"{name} {percent_text(sure)}{'' if sure >= _SURE else ' (doubtful)'}")
    yield (
        f"the computing tool's own confidence in the section tables at this lift and mean chord: "
        f"{', '.join(told)}; tail {tail or f'not stated, {TAIL_STAND_IN} stands in'}"
    )


def _thousands(reynolds: float) -> str:
    return count_text(1000 * round(reynolds / 1000))
