"""User job ``calibrate``: let bench readings, charges and flights teach, and say what that changes."""

from collections.abc import Sequence

from glidewright.base.errors import InputError, Problem
from glidewright.base.fields import Noun, plain
from glidewright.base.wording import exact_text, number_text
from glidewright.calibration.bench import learn_from_bench
from glidewright.calibration.flights import learn
from glidewright.calibration.learned import as_correction, as_learned, part_ids
from glidewright.calibration.pack_charges import learn_from_charges
from glidewright.calibration.posterior import Posterior
from glidewright.calibration.season import Season, season_of
from glidewright.decisions.calibrating.nouns import CalibrateResult, HeldBack
from glidewright.decisions.calibrating.packs import packs_answer
from glidewright.decisions.calibrating.season import season_answer
from glidewright.decisions.calibrating.told import (
    learned_rows,
    main_rows,
    meter_rows,
    still_unknown,
    worth_rows,
    worth_titles,
)
from glidewright.decisions.reading.expected import expected_rows
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.correction import Correction
from glidewright.domain.learned import Learned
from glidewright.domain.logbook import Flight, PackCharge
from glidewright.domain.model import Model
from glidewright.forecast.predict import forecast
from glidewright.forecast.setup import prepare

DRAWS = 512
HELD_BACK = 20
"""So many of the last flights are predicted from those before them."""
PASSES = 2


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
        main=main_rows(*forecasts),
        learned=learned_rows(forecasts[0], after, ids),
        meters=meter_rows(posterior),
        held_back=held_back,
        inside=sum(row.is_inside for row in rows),
        expected=len(rows),
        still_unknown=still_unknown(forecasts[1]),
        worth_of=worth_titles(forecasts[1]),
        worths=worth_rows(forecasts[1]),
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
        # no later flight has the scores of days that are over
        posterior = learn(season, places, posterior).lasting(season.flown[places[-1]].day)
    return found, posterior


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
