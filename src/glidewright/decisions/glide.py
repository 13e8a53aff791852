"""The glide: trimmed polar, speeds, wind, ballast, circling, causes of drag, and how the model handles."""

import numpy as np

from glidewright.base.errors import OutsideModelError
from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure
from glidewright.calibration.learned import correction_of
from glidewright.data import coefficients
from glidewright.decisions.drawing_geometry import drawing_of
from glidewright.decisions.gliding.brake import brake_answer
from glidewright.decisions.gliding.drag import drag_answer, polar_source, rests_on
from glidewright.decisions.gliding.figures import FLIGHT
from glidewright.decisions.gliding.flight import (
    CORE_RADIUS_M,
    STRENGTH_M_S,
    Thermal,
    ballast_rows,
    bank_rows,
    flight_of,
    polar_answer,
    thermal_answer,
    wind_rows,
)
from glidewright.decisions.gliding.handling import handling_answer
from glidewright.decisions.gliding.handling_edges import elevator_edge_chord_m
from glidewright.decisions.gliding.handling_nouns import HandlingAnswer
from glidewright.decisions.gliding.nouns import BrakeAnswer, GlideResult
from glidewright.decisions.missing_values import measure_next, missing_values
from glidewright.decisions.nouns import Missing, NamedFigure
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.forecast.aero_inputs import NO_SHAPE, Aero, aero_of
from glidewright.forecast.aero_sources import aero_sources
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import prepare
from glidewright.rules.finding import Finding, judged

DRAWS = 1024
_ANSWERS = ("sink_least_m_s", "glide_ratio_best", "stall_speed_m_s", "static_margin")
_FROM_HEIGHT_M = 100.0


class GlideRequest(Noun):
    """A model, its class (for the climb speed), how many draws, and the thermal to circle in."""

    model: Model
    rule: ClassLimits | None = None
    draws: int = DRAWS
    thermal_radius_m: float = plain("Thermal radius", help="where its lift ends", default=CORE_RADIUS_M)
    thermal_strength_m_s: float = plain("Thermal strength", help="lift in its middle", default=STRENGTH_M_S)


def run(request: GlideRequest) -> GlideResult:
    """Answer for the glide; without a shape of the airframe, for the stated or typical polar alone.

    Raises OutsideModelError when the mass is not known.
    """
    model = request.model
    setup = prepare(model, request.rule, request.draws, correction_of(model))
    found = forecast(setup, with_trace=False, with_many=False)
    if "sink_least_m_s" not in found.prediction.values:
        why = found.prediction.why_unknown("sink_least_m_s")
        raise OutsideModelError.at(
            "model.toml", f"must state what a glide needs; {why}; add it or weigh the whole model"
        )
    flow = aero_of(model.airframe, model.field)
    aero = flow if isinstance(flow, Aero) else None
    flight = flight_of(found)
    handling = _why(flow) if aero is None else handling_answer(found, flight, aero)
    brake = brake_answer(found, flight, aero)
    thermal = Thermal(request.thermal_radius_m, request.thermal_strength_m_s)
    edge = elevator_edge_chord_m(model.airframe.geometry)
    return GlideResult(
        model=model.name,
        invented=model.invented,
        draws=request.draws,
        source=polar_source(model.airframe, model.field),
        figures=_figures(found),
        polar=polar_answer(found, flight, aero, edge),
        winds=wind_rows(found, flight),
        ballast=ballast_rows(found, flight),
        banks=bank_rows(found, flight, thermal),
        thermal=thermal_answer(found, flight, thermal),
        drag=drag_answer(found, flight, aero),
        brake=brake if isinstance(brake, BrakeAnswer) else None,
        why_no_brake=brake if isinstance(brake, str) else "",
        handling=handling if isinstance(handling, HandlingAnswer) else None,
        why_no_handling=handling if isinstance(handling, str) else "",
        drawing=drawing_of(found),
        rests_on=(*found.setup.correction.remarks, *rests_on(found, flight, aero)),
        findings=_findings(found),
        missing=_missing(found),
        measure_next=measure_next(found, _ANSWERS),
        sources=aero_sources(model.airframe, model.field),
    )


def _why(flow: Aero | str) -> str:
    """What handling lacks, with what to do where no shape is stated."""
    if flow == NO_SHAPE:
        return (
            "model.toml must state the shape of the airframe for elevator, stability and handling: at least "
            "one [[panel]] of the wing, and [tail], [[fin]] and [body]; glidewright new writes an example"
        )
    return str(flow)


def _figures(found: Forecast) -> tuple[NamedFigure, ...]:
    prediction = found.prediction
    rows = [
        NamedFigure(name=name, title=title, figure=prediction.figure(name, shown))
        for name, title, shown in FLIGHT
    ]
    time = found.figure(_FROM_HEIGHT_M / prediction.values["sink_least_m_s"], "s")
    rows.append(NamedFigure(name="time_from_100_m_s", title="Time from 100 m in still air", figure=time))
    return tuple(rows)


def _findings(found: Forecast) -> tuple[Finding, ...]:
    """The static margin against the least that flyers leave; nothing while it is not known."""
    draws = found.prediction.draws("static_margin")
    if draws is None:
        return ()
    row = coefficients("airframe_drag")["static_margin_rear"]
    least = float(row["value"])
    chance = float(np.mean(draws >= least))
    value: Figure = found.prediction.figure("static_margin", "%")
    finding = judged(
        "static_margin",
        "Static margin",
        value,
        chance,
        limit=f"at least {100.0 * least:.0f} % of the mean chord",
        at_least=least,
        because=value.because,
        consequence="too small a margin: the model does not come back by itself; move the balance forward",
        source="common practice",
    )
    return (finding,)


def _missing(found: Forecast) -> tuple[Missing, ...]:
    """Missing values that a glide rests on: of the airframe, and masses and stations."""
    return tuple(
        value
        for value in missing_values(found.setup.missing)
        if value.part == "airframe" or value.value.split(" ")[0] in _GLIDE_WORDS
    )


_GLIDE_WORDS = ("mass", "station")
