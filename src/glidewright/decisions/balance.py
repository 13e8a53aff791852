"""The balance: where it will be, how sure that is, and the least dead weight that brings it into range."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from glidewright.base.fields import Noun, plain
from glidewright.calibration.learned import correction_of
from glidewright.data import coefficients
from glidewright.decisions.balancing.judge import Judge
from glidewright.decisions.balancing.known import (
    Edges,
    Known,
    chance_inside,
    known_answer,
    known_part,
    record,
)
from glidewright.decisions.balancing.nouns import AllowedRange, BalanceResult, Search, Stability
from glidewright.decisions.balancing.options import Wanted, search
from glidewright.decisions.balancing.places import bays_for, body_ends
from glidewright.decisions.balancing.stations import lateral, stations
from glidewright.decisions.judgement import judge
from glidewright.decisions.mass_answer import balance_range
from glidewright.decisions.missing_values import measure_next
from glidewright.decisions.nouns import NamedFigure
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.domain.parts import Pack
from glidewright.forecast.aero_inputs import Aero, aero_of
from glidewright.forecast.aero_sources import aero_sources
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import prepare
from glidewright.models.mass.least_weight import Worth

Array = NDArray[np.float64]

DRAWS = 1024
CHANCE = 0.9
MONEY_KG = 0.0002
HOUR_KG = 0.002
_CENTRE = (
    ("cg_x_m", "x, aft of the datum"),
    ("cg_y_m", "y, to the right wing"),
    ("cg_z_m", "z, above the datum"),
)


class BalanceRequest(Noun):
    """A model, its class, how many draws, and what a way into the range is worth."""

    model: Model
    rule: ClassLimits | None = None
    draws: int = DRAWS
    chance: float = plain("Chance", help="to land inside the range, 0 to 1", default=CHANCE)
    money_kg: float = plain("Worth of money", help="of one unit, in kg of dead weight", default=MONEY_KG)
    hour_kg: float = plain("Worth of work", help="of one hour, in kg of dead weight", default=HOUR_KG)


def run(request: BalanceRequest) -> BalanceResult:
    """Answer for the balance, from the first weighed or planned part on.

    Raises OutsideModelError when no model covers a part of the power train.
    """
    correction = correction_of(request.model)
    setup = prepare(request.model, request.rule, request.draws, correction)
    found = forecast(setup, with_trace=False, with_many=False)
    model = request.model
    known = known_part(setup, range_shift(found))
    front, rear, _, source = balance_range(found)
    edges = None if front.value is None or rear.value is None else (front.value, rear.value)
    whole = known if known is not None and not known.left_out else None
    answer, why = None, _why_no_search(known, edges)
    if known is not None and edges is not None and edges[0] < edges[1]:
        speed = found.orders.climb_speed_m_s if found.orders else None
        answer = _search(Judge(found.setup.model, request.rule, correction, speed), known, edges, request)
    return BalanceResult(
        model=model.name,
        invented=model.invented,
        currency=model.currency,
        draws=request.draws,
        chance_wanted=request.chance,
        mass=found.prediction.figure("mass_kg", "g"),
        centre=tuple(
            NamedFigure(name=name, title=title, figure=found.prediction.figure(name, "mm"))
            for name, title in _CENTRE
        ),
        allowed=AllowedRange(front=front, rear=rear, source=source),
        chance_as_is=None
        if whole is None
        else chance_inside(whole.balance.centre_m[:, 0] - whole.shift_m, edges),
        chance_by_pack_bay=None if whole is None or edges is None else chance_by_pack(whole, edges),
        known=known_answer(model, known, edges, body_ends(model)),
        stability=_stability(found),
        record=() if known is None else record(known, edges),
        search=answer,
        why_no_search=why,
        stations=() if known is None else stations(known),
        lateral=None if known is None else lateral(known),
        findings=tuple(one for one in judge(found) if one.name == "balance"),
        measure_next=measure_next(found, ("cg_x_m",)),
        sources=tuple(dict.fromkeys(_sources(found, source))),
    )


def _sources(found: Forecast, of_range: str) -> Iterator[str]:
    """Of the range, the neutral point, weighing on supports, the search and its worth of work."""
    model = found.setup.model
    if of_range:
        yield f"range of the centre of gravity: {of_range}"
    if isinstance(aero_of(model.airframe, model.field), Aero):
        yield from aero_sources(model.airframe, model.field)
    if any(weighing.support for weighing in model.weighings):
        yield "F. P. Beer and E. R. Johnston, Vector Mechanics, Statics, chapter 4: weighing on supports"
    yield "Q. Huangfu and J. A. J. Hall, Math. Prog. Comp. 10 (2018) 119: the mixed integer programme"
    for row in coefficients("balance_work").values():
        yield f"time of a change: {row['source']}"


def _search(judged: Judge, known: Known, edges: Edges, request: BalanceRequest) -> Search:
    return search(known, judged, edges, Wanted(request.chance, Worth(request.money_kg, request.hour_kg)))


def _why_no_search(known: Known | None, edges: Edges | None) -> str:
    if edges is None:
        return "no range is known: state balance_front_x_mm and balance_rear_x_mm of the airframe"
    if edges[0] >= edges[1]:
        return "the range has no width: balance_front_x_mm must be less than balance_rear_x_mm; correct them"
    if known is None:
        return "no fitted item has both a mass and a place yet"
    return ""


def range_shift(found: Forecast) -> Array | None:
    """How far the range lies aft of its median in each draw, where it hangs on the neutral point."""
    airframe = found.setup.model.airframe
    neutral = found.prediction.draws("neutral_point_x_m")
    is_stated = airframe.balance_front_x_m is not None and airframe.balance_rear_x_m is not None
    return None if is_stated or neutral is None else neutral - np.median(neutral)


def _stability(found: Forecast) -> Stability:
    prediction = found.prediction
    return Stability(
        neutral_point_x=prediction.figure("neutral_point_x_m", "mm"),
        static_margin=prediction.figure("static_margin", "%"),
    )


def chance_by_pack(known: Known, edges: Edges) -> float | None:
    """Share of the draws in which some place of the pack in a bay brings the balance inside, without ballast.

    Nothing when there is not one pack with a bay.
    """
    packs = list(known.model.of_kind(Pack))
    if len(packs) != 1:
        return None
    item, pack = packs[0]
    spans = [span for _, span in bays_for(known.model, item, pack) if span[0] < span[1]]
    if not spans:
        return None
    row = known.items.names.index(item.name)
    share = known.items.mass_kg[:, row] / known.balance.mass_kg
    centre, place = known.balance.centre_m[:, 0] - known.shift_m, known.items.station_m[:, row, 0]
    inside = np.zeros(centre.size, dtype=bool)
    for span in spans:
        first, last = (centre + share * (end - place) for end in span)
        inside |= (last >= edges[0]) & (first <= edges[1])
    return float(np.mean(inside))
