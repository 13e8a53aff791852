"""A day of flying: launches in their order, what the pack still gives, what next, and the score sheet."""

from collections import Counter

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import GlidewrightError
from glidewright.base.figure import Figure
from glidewright.base.wording import chance_text, median_text, number_text, percent_text
from glidewright.calibration.flights import learn
from glidewright.calibration.next_launch import NextLaunches, next_launches
from glidewright.calibration.posterior import Posterior
from glidewright.calibration.scores import Score
from glidewright.calibration.season import Season, meter_sigma, season_of, with_next
from glidewright.decisions.nouns import NamedFigure
from glidewright.decisions.reading.nouns import DayAnswer, DayLaunch
from glidewright.decisions.reading.score_sheet import score_rows, short_title
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.logbook import Flight
from glidewright.domain.model import Model
from glidewright.domain.parts import Motor
from glidewright.forecast.draws import sobol_column
from glidewright.models.launch.series import CRITERIA

Array = NDArray[np.float64]
_GOOD, _LIKELY = 0.8, 0.5
_FEWEST_FOR_TREND = 2
_DRAWS = 256


def day_answer(
    model: Model,
    rule: ClassLimits | None,
    flights: tuple[Flight, ...],
    date: str,
    posterior: Posterior,
    target_time_s: float | None = None,
) -> DayAnswer | None:
    """The launches of one day, and what follows from them; nothing without a launch on that day.

    posterior: what is known from before that day; the day itself teaches on top, in this answer only.
    """
    own = tuple(flight for flight in flights if flight.date == date and flight.launches)
    if not date or not own:
        return None
    scores, notes = score_rows(rule, own, target_time_s, drive_words(model))
    try:
        season, learned = _learned(model, rule, own, posterior)
        launches = _launches(season, learned)
        why, ahead = "", None
        first = _first_of_charge(season, launches)
        if first is None:
            why = "no climb is known of the first launch of this charge"
        else:
            ahead = next_launches(season, len(season.flown) - 1, learned, first)
    except GlidewrightError as refused:
        launches, ahead = _plain_launches(own), None
        why = "; ".join(str(problem) for problem in refused.problems)
    trend, words = _trend(launches)
    return DayAnswer(
        date=date,
        launches=launches,
        trend=trend,
        trend_words=words,
        next_launch=() if ahead is None else _next_figures(ahead),
        launches_left=_left(ahead, why),
        bound_by="" if ahead is None else _bound_words(ahead),
        advice=_advice(model, launches, ahead),
        tone=_tone(ahead),
        why_no_next=why,
        scores=scores,
        score_notes=notes,
    )


def drive_words(model: Model) -> str:
    """What a class with handicaps calls the drive: motors of a folder have no brushes."""
    return "brushless" if model.first(Motor) is not None else ""


def _learned(
    model: Model, rule: ClassLimits | None, flights: tuple[Flight, ...], posterior: Posterior
) -> tuple[Season, Posterior]:
    season = season_of(model, rule, flights)
    places = list(range(len(season.flown)))
    learned = learn(season, places, posterior)
    return season.at(learned.centre()), learned


def _launches(season: Season, posterior: Posterior) -> tuple[DayLaunch, ...]:
    found: list[DayLaunch] = []
    first_climb: dict[str, float | None] = {}
    numbers: Counter[str] = Counter()
    for place, one in enumerate(season.flown):
        if one.launch is None:
            continue
        craft = season.crafts[one.craft]
        pack = craft.part_ids.get("pack", "")
        if one.start[0] <= _full_charge_As(season) or pack not in first_climb:
            numbers[pack] = 0
        numbers[pack] += 1
        climb = one.launch.mean_climb.value
        if numbers[pack] == 1:
            first_climb[pack] = climb
        first = first_climb[pack]
        cells = float(craft.power.drive.pack.cells)
        found.append(
            DayLaunch(
                title=short_title(one.flight, one.flight.launches.index(one.launch)),
                pack=pack,
                number=numbers[pack],
                counted_height=one.launch.counted_height,
                mean_climb=one.launch.mean_climb,
                climb_share=climb / first if climb is not None and first else None,
                charge=one.launch.charge,
                lowest_cell=_per_cell(one.launch.lowest_voltage, cells),
                charge_left=_charge_left(season, place, posterior),
            )
        )
    return tuple(found)


def _full_charge_As(season: Season) -> float:
    """More charge than this was taken from a pack that is not fresh."""
    missing = 1.0 - season.model.launch.charge_at_start.value
    return (missing + 1e-3) * season.crafts[0].power.drive.pack.capacity_As.value


def _per_cell(volts: Figure, cells: float) -> Figure:
    if volts.value is None or volts.low is None or volts.high is None:
        return volts
    update = {"value": volts.value / cells, "low": volts.low / cells, "high": volts.high / cells}
    return volts.model_copy(update=update)


def _charge_left(season: Season, place: int, posterior: Posterior) -> Figure:
    """Share of the capacity after a launch and the rest behind it, over what is known of the capacity."""
    after = with_next(season, place, posterior.centre())
    craft = season.crafts[after.craft]
    parts = season.inputs_of(season.flown[place]).get("pack.capacity")
    if parts is None:
        return Figure.unknown("1", "%", "no pack is fitted")
    counted = season.flown[place].launch
    logged = counted is not None and counted.charge.value is not None
    meter = Score("meter.ammeter")
    mean, covariance = posterior.over([parts[0][0], meter])
    factor = np.linalg.cholesky(covariance)
    z = mean[:, None] + factor @ np.stack([sobol_column(0, _DRAWS), sobol_column(1, _DRAWS)])
    capacity = craft.setup.inputs["pack.capacity"].draws(z[0])
    used = after.start[0] * (np.exp(-meter_sigma("ammeter") * z[1]) if logged else 1.0)
    left = np.clip(1.0 - used / capacity, 0.0, 1.0)
    because = "charge in the log with its meter's error, and how well the capacity is known"
    if not logged:
        because = "computed, no amps were logged; and how well the capacity is known"
    return Figure.of_draws(left, "1", "%", "measured" if logged else "typical", because)


def _plain_launches(flights: tuple[Flight, ...]) -> tuple[DayLaunch, ...]:
    """The launches as the logs show them, where the models cannot follow."""
    unknown = Figure.unknown("1", "%", "the model folder does not state what a launch needs")
    return tuple(
        DayLaunch(
            title=short_title(flight, place),
            pack=flight.set_up.pack,
            number=launch.number,
            counted_height=launch.counted_height,
            mean_climb=launch.mean_climb,
            climb_share=None,
            charge=launch.charge,
            lowest_cell=Figure.unknown("V", "V", "the number of cells is not known"),
            charge_left=unknown,
        )
        for flight in flights
        for place, launch in enumerate(flight.launches)
    )


def _first_of_charge(season: Season, launches: tuple[DayLaunch, ...]) -> float | None:
    """Mean climb of the first launch on the charge that the last launch used."""
    if not launches or season.flown[-1].launch is None:
        return None
    return _on_last_charge(launches)[0].mean_climb.value


def _on_last_charge(launches: tuple[DayLaunch, ...]) -> list[DayLaunch]:
    if not launches:
        return []
    last = launches[-1]
    return [one for one in launches if one.pack == last.pack][-last.number :]


def _trend(launches: tuple[DayLaunch, ...]) -> tuple[Figure, str]:
    """Slope of the counted height over the launches of the last charge, by least squares."""
    heights = [one.counted_height for one in _on_last_charge(launches)]
    known = [figure for figure in heights if figure.value is not None]
    if len(known) < _FEWEST_FOR_TREND:
        unknown = Figure.unknown("m", "m", "a trend needs two launches from one charge")
        return unknown, "A trend needs two launches from one charge."
    values = np.array([figure.value for figure in known], dtype=np.float64)
    halves = np.array([0.5 * ((f.high or 0.0) - (f.low or 0.0)) for f in known])
    x = np.arange(values.size) - 0.5 * (values.size - 1)
    weights = x / np.sum(x**2)
    slope = float(weights @ values)
    half = float(np.linalg.norm(weights * halves))
    figure = Figure(
        value=slope,
        low=slope - half,
        high=slope + half,
        unit="m",
        shown="m",
        grade="measured",
        because="least squares through the counted heights of this charge; air in the climb is in it",
    )
    word = "falls" if slope < 0.0 else "rises"
    size = median_text(figure.model_copy(update={"value": abs(slope)}))
    return figure, f"From launch to launch the height {word} by {size}."


def _next_figures(ahead: NextLaunches) -> tuple[NamedFigure, ...]:
    rows: tuple[tuple[str, str, Array, str], ...] = (
        ("next_height_m", "Height of the next launch, as the class counts it", ahead.counted_m[:, 0], "m"),
        ("next_climb_m_s", "Mean climb", ahead.climb_m_s[:, 0], "m/s"),
        ("next_lowest_cell_V", "Lowest cell voltage", ahead.lowest_cell_V[:, 0], "V"),
        ("charge_left_now", "Charge left before it", ahead.charge_left_now, "%"),
        ("next_charge_left", "Charge left after it", ahead.charge_left[:, 0], "%"),
    )
    units = {"m": "m", "m/s": "m/s", "V": "V", "%": "1"}
    because = "what the flights taught, the launches of this day, and what is new in every launch"
    return tuple(
        NamedFigure(
            name=name,
            title=title,
            figure=Figure.of_draws(draws, units[shown], shown, "typical", because),
        )
        for name, title, draws, shown in rows
    )


def _left(ahead: NextLaunches | None, why: str) -> Figure:
    if ahead is None:
        return Figure.unknown("1", "", why)
    return Figure.of_draws(ahead.useful, "1", "", "typical", "launched on from the state of the pack")


def _bound_words(ahead: NextLaunches) -> str:
    shares = Counter(int(place) for place in ahead.bound_by)
    total = ahead.bound_by.size
    return ", ".join(f"{CRITERIA[place]} ({chance_text(n / total)})" for place, n in shares.most_common(2))


def _advice(model: Model, launches: tuple[DayLaunch, ...], ahead: NextLaunches | None) -> str:
    said = []
    last = launches[-1] if launches else None
    sluggish = model.launch.sluggish.value
    if last is not None and last.climb_share is not None and last.number > 1 and last.climb_share < sluggish:
        said.append(
            f"The last launch climbed at {percent_text(last.climb_share)} of the first of this charge: "
            f"sluggish, below {percent_text(sluggish)}"
        )
    if ahead is None:
        return ". ".join([*said, "Count the charge that the charger puts back"]) + "."
    chance = float(np.mean(ahead.useful >= 1.0))
    left = Figure.of_draws(ahead.useful, "1", "", "typical", "")
    if chance >= _GOOD:
        said.append(f"Launch again: {number_text(left)} useful launches are left in this charge")
    elif chance >= _LIKELY:
        said.append("One more launch is more likely useful than not; then charge or change the pack")
    else:
        odds = f"the chance that the next launch is useful is {chance_text(chance)}"
        said.append(f"Charge or change the pack now: {odds}")
    return ". ".join(said) + "."


def _tone(ahead: NextLaunches | None) -> str:
    if ahead is None:
        return "plain"
    chance = float(np.mean(ahead.useful >= 1.0))
    return "good" if chance >= _GOOD else "warning"
