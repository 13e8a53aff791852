"""User job ``calibrate``: let bench readings, charges and flights teach, and say what that changes."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError, Problem
from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.base.wording import exact_text, number_text, percent_text
from glidewright.calibration.bench import learn_from_bench
from glidewright.calibration.flights import learn
from glidewright.calibration.learned import as_correction, as_learned, part_ids
from glidewright.calibration.next_reading import ranked
from glidewright.calibration.pack_charges import learn_from_charges
from glidewright.calibration.posterior import Posterior
from glidewright.calibration.season import Season, meter_sigma, season_of
from glidewright.decisions.calibrate_nouns import (
    BeforeAfter,
    CalibrateResult,
    HeldBack,
    LearnedRow,
    WorthRow,
)
from glidewright.decisions.expected import expected_rows
from glidewright.decisions.packs_answer import packs_answer
from glidewright.decisions.season_answer import season_answer
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.correction import Correction
from glidewright.domain.learned import Learned
from glidewright.domain.logbook import Flight, PackCharge
from glidewright.domain.model import Model
from glidewright.forecast.draws import sobol_column
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import prepare
from glidewright.forecast.spread import Input

Array = NDArray[np.float64]

DRAWS = 512
HELD_BACK = 20
"""So many of the last flights are predicted from those before them."""
PASSES = 2
TOLD_INPUTS, TOLD_WORTHS, TOLD_UNKNOWN = 12, 5, 5
_LEARNED_ENOUGH = 0.95
_MAIN = (
    ("height_without_limiter_m", "Launch height if nothing stopped the motor by height, as read", "m"),
    ("height_counted_m", "Launch height, as the class counts it and the altimeter reads it", "m"),
    ("mean_climb_m_s", "Mean climb", "m/s"),
    ("launch_pack_current_A", "Highest pack current", "A"),
    ("charge_per_launch_As", "Charge of one launch", "mAh"),
    ("lowest_cell_V", "Lowest cell voltage", "V"),
    ("launches", "Useful launches from one charge", ""),
    ("sink_least_m_s", "Least sink", "m/s"),
    ("glide_ratio_best", "Best glide ratio", ""),
)
_RANKED_BY = ("height_without_limiter_m", "mean_climb_m_s", "launches", "sink_least_m_s")
# how an input is told to a person: the unit, by its name, where it is no plain factor
_SHOWN: Mapping[str, str] = {
    "motor.kv": "rpm/V",
    "motor.resistance": "mΩ",
    "motor.apparent_resistance": "mΩ",
    "motor.no_load_current": "A",
    "controller.resistance": "mΩ",
    "controller.soft_start": "s",
    "pack.resistance": "mΩ",
    "pack.capacity": "mAh",
    "pack.open_voltage": "V",
    "pack.relaxation": "s",
    "radio.current": "A",
    "airframe.span": "m",
    "airframe.wing_area": "dm²",
    "launch.throw_speed": "m/s",
    "launch.speed_time": "s",
    "launch.path_time": "s",
}
_METER_WORDS = {
    "meter.ammeter": "Ammeter in the model reads",
    "meter.voltmeter": "Voltmeter in the model reads",
    "meter.tachometer": "Motor speed in the log reads",
    "meter.airspeed_meter": "Airspeed in the log reads",
}


class CalibrateRequest(Noun):
    """A model with its logbook. day: today, year-month-day; draws: a power of two up to 4096."""

    model: Model
    rule: ClassLimits | None = None
    flights: tuple[Flight, ...] = ()
    charges: tuple[PackCharge, ...] = ()
    day: str = ""
    draws: int = DRAWS


class Calibrated(Noun):
    """What came out: the answer, and what the folder keeps; nothing to keep where no flight taught."""

    result: CalibrateResult
    learned: Learned | None = plain("Learned", help="to be written", default=None)


def run(request: CalibrateRequest) -> Calibrated:
    """Learn from everything at hand and answer.

    Raises InputError when nothing is at hand, for a mass that nobody knows or a part that is not in the
    drawer, OutsideModelError when no model covers a part.
    """
    # what was learned before must not teach again
    model, rule = request.model.model_copy(update={"learned": None}), request.rule
    bench = learn_from_bench(model)
    teaching = tuple(flight for flight in request.flights if _teaches(flight))
    if not teaching and not bench.names and not request.charges:
        raise InputError(
            Problem(
                model.name,
                "must have something to learn from: a flight in the logbook, a [[bench]] reading in "
                "model.toml or a [[charge]] in charges.toml; none is there; enter a log with: glidewright "
                "read FILE --model MODEL",
            )
        )
    ids = part_ids(model)
    prior = learn_from_charges(model, request.charges, Posterior.of_correction(bench, ids))
    posterior = prior
    held_back: tuple[HeldBack, ...] = ()
    if teaching:
        posterior, held_back = _learn(model, rule, teaching, prior)
    evidence = (*bench.evidence, *_charge_words(request.charges), *_flight_words(held_back))
    after = as_correction(posterior, model, evidence)
    forecasts = [
        forecast(prepare(model, rule, request.draws, correction), with_trace=False)
        for correction in (Correction.none(), after)
    ]
    rows = [row for one in held_back for row in one.rows]
    result = CalibrateResult(
        model=model.name,
        findings=(),
        invented=model.invented,
        draws=request.draws,
        flights=len(teaching),
        launches=sum(len(flight.launches) for flight in teaching),
        bench_readings=len(model.bench),
        charges=len(request.charges),
        main=_main(*forecasts),
        learned=_learned_rows(forecasts[0], after, ids),
        meters=_meters(posterior),
        held_back=held_back,
        inside=sum(row.is_inside for row in rows),
        expected=len(rows),
        still_unknown=_still_unknown(forecasts[1]),
        worth_of=_worth_titles(forecasts[1]),
        worths=_worths(forecasts[1]),
        packs=packs_answer(model, request.charges, request.flights),
        season=season_answer(request.flights),
        evidence=evidence,
        remarks=_remarks(request, teaching),
        written="",
    )
    if not teaching and not request.charges:
        return Calibrated(result=result)
    return Calibrated(result=result, learned=as_learned(after, model, request.flights, request.day))


def _teaches(flight: Flight) -> bool:
    return bool(flight.launches) or flight.still_sink.value is not None


def _learn(
    model: Model, rule: ClassLimits | None, flights: Sequence[Flight], prior: Posterior
) -> tuple[Posterior, tuple[HeldBack, ...]]:
    """Everything from all flights at once; and every late flight predicted from those before it."""
    season = season_of(model, rule, flights)
    held_back, posterior = _one_by_one(season, prior)
    places = list(range(len(season.flown)))
    for _ in range(PASSES):
        posterior = learn(season, places, prior, posterior)
        season = season.at(posterior.centre())
    return posterior, tuple(held_back)


def _one_by_one(season: Season, prior: Posterior) -> tuple[list[HeldBack], Posterior]:
    """Each flight predicted from those before it, then let teach; the very first ones teach together."""
    flights = season.flights
    early = [place for flight in flights[:-HELD_BACK] for place in season.of_flight(flight)]
    posterior = learn(season, early, prior)
    found = []
    for flight in flights[-HELD_BACK:]:
        places = season.of_flight(flight)
        for place in places:
            rows = expected_rows(season, place, posterior)
            if rows:
                found.append(HeldBack(title=season.flown[place].title, rows=rows))
        posterior = _of_day(learn(season, places, posterior), flight)
    return found, posterior


def _of_day(posterior: Posterior, flight: Flight) -> Posterior:
    """The posterior without the scores of days that are over: no later flight has them."""
    day = flight.date or flight.source_sha256
    kept = [place for place, score in enumerate(posterior.scores) if score.when in ("", day)]
    scores = tuple(posterior.scores[place] for place in kept)
    return Posterior(scores, posterior.mean[kept], posterior.covariance[np.ix_(kept, kept)])


def _flight_words(held_back: Sequence[HeldBack]) -> list[str]:
    """One sentence a launch: what was read of its height, and what was expected before."""
    words = []
    for one in held_back:
        row = next((row for row in one.rows if row.name in ("height_at_stop_m", "sink_m_s")), one.rows[0])
        assert row.read.value is not None  # a reading has a value
        read = exact_text(round(row.read.value, 2), row.read.shown)
        words.append(f"{one.title}: {row.title.lower()} {read}, expected {number_text(row.expected)} before")
    return words


def _charge_words(charges: Sequence[PackCharge]) -> list[str]:
    words = []
    for charge in charges:
        said = []
        if charge.put_back_As is not None:
            said.append(f"{exact_text(charge.put_back_As.value, 'mAh')} put back")
        if charge.resistance_ohm is not None:
            said.append(f"resistance {exact_text(charge.resistance_ohm.value, 'mΩ')}")
        if said:
            words.append(f"charge of {charge.pack} on {charge.date}: {', '.join(said)}")
    return words


def _main(before: Forecast, after: Forecast) -> tuple[BeforeAfter, ...]:
    rows = []
    has_limiter = before.orders is not None and before.orders.cut_height_m is not None
    for name, title, shown in _MAIN:
        if name == "height_without_limiter_m" and not has_limiter:
            continue
        old, new = (one.prediction.figure(name, shown) for one in (before, after))
        rows.append(
            BeforeAfter(name=name, title=title, before=old, after=new, width_left=_width_left(old, new))
        )
    return tuple(rows)


def _width_left(before: Figure, after: Figure) -> float | None:
    if before.low is None or before.high is None or after.low is None or after.high is None:
        return None
    width = before.high - before.low
    return (after.high - after.low) / width if width > 0.0 else None


def _learned_rows(before: Forecast, correction: Correction, ids: Mapping[str, str]) -> tuple[LearnedRow, ...]:
    """Inputs whose range shrank, the most narrowed first."""
    rows = []
    for place, name in enumerate(correction.names):
        entry = before.setup.inputs[name]
        sigma = float(np.sqrt(correction.covariance[place, place]))
        if name.startswith(("mass:", "weighing:", "support:")) or sigma > _LEARNED_ENOUGH:
            continue
        kind = name.partition(".")[0]
        rows.append(
            LearnedRow(
                name=name,
                title=entry.title,
                part=ids.get(kind, ""),
                before=_input_figure(entry, 0.0, 1.0),
                after=_input_figure(entry, float(correction.mean[place]), sigma),
                width_left=sigma,
            )
        )
    return tuple(sorted(rows, key=lambda row: row.width_left)[:TOLD_INPUTS])


def _input_figure(entry: Input, mean: float, sigma: float) -> Figure:
    shown = _SHOWN.get(entry.name, "")
    drawn = entry.draws(mean + sigma * sobol_column(0, 1024))
    return Figure.of_draws(drawn, unit(shown).si, shown, entry.grade, entry.because)


def _meters(posterior: Posterior) -> tuple[LearnedRow, ...]:
    """How far the meters in the model are off, as factors on the truth."""
    rows = []
    for place, score in enumerate(posterior.scores):
        if score.name not in _METER_WORDS:
            continue
        lasting = meter_sigma(score.name.removeprefix("meter."))
        z = sobol_column(0, 1024)
        mean, sigma = float(posterior.mean[place]), float(np.sqrt(posterior.covariance[place, place]))
        figures = [
            Figure.of_draws(np.exp(lasting * drawn), "1", "%", "typical", "against all that is known else")
            for drawn in (z, mean + sigma * z)
        ]
        rows.append(
            LearnedRow(
                name=score.name,
                title=_METER_WORDS[score.name],
                part="",
                before=figures[0],
                after=figures[1],
                width_left=sigma,
            )
        )
    return tuple(rows)


def _still_unknown(found: Forecast) -> tuple[str, ...]:
    """What causes most of the spread that is left, over the figures that readings are ranked by."""
    worth: dict[str, float] = {}
    known = [draws for name in _RANKED_BY if (draws := found.prediction.draws(name)) is not None]
    for draws in known:
        for cause in found.causes.of(draws):
            worth[cause.entry.title] = worth.get(cause.entry.title, 0.0) + cause.share / len(known)
    told = sorted(worth.items(), key=lambda pair: -pair[1])[:TOLD_UNKNOWN]
    return tuple(f"{title} ({percent_text(share)} of the spread that is left)" for title, share in told)


def _worth_titles(found: Forecast) -> tuple[str, ...]:
    titles = {name: title for name, title, _ in _MAIN}
    return tuple(titles[name] for name in _RANKED_BY if found.prediction.draws(name) is not None)


def _worths(found: Forecast) -> tuple[WorthRow, ...]:
    rows = []
    for worth in ranked(found, _RANKED_BY)[:TOLD_WORTHS]:
        left = tuple(
            Figure.exact(worth.left.get(name, 1.0), "1", "%", "typical", "expected, whatever it will show")
            for name in _RANKED_BY
            if found.prediction.draws(name) is not None
        )
        rows.append(WorthRow(title=worth.candidate.title, left=left, mean_left=worth.mean_left))
    return tuple(rows)


def _remarks(request: CalibrateRequest, teaching: Sequence[Flight]) -> tuple[str, ...]:
    said = []
    silent = len(request.flights) - len(teaching)
    if silent:
        said.append(
            f"{silent} flights of the logbook show neither a launch nor a still glide: they teach nothing"
        )
    other = {flight.set_up.pack for flight in teaching if flight.set_up.pack}
    fitted = part_ids(request.model).get("pack", "")
    if other - {fitted}:
        names = ", ".join(sorted(other - {fitted}))
        said.append(
            f"flights with {names} teach of the airframe and the drive; of those packs once they are fitted"
        )
    if len(teaching) > 0 and all(flight.invented for flight in teaching) and not request.model.invented:
        said.append(
            "every flight of the logbook is invented: correct invented = true in model.toml, or the logs"
        )
    if any(flight.date == "" for flight in teaching):
        said.append("a log without a day counts as a day of its own: state it with --day when you read it")
    return tuple(said)
