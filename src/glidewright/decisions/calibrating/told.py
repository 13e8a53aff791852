"""What was learned, in rows: figures before and after, inputs, meters, and which reading is worth most."""

from collections.abc import Mapping

import numpy as np

from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.base.wording import percent_text
from glidewright.calibration.next_reading import ranked
from glidewright.calibration.posterior import Posterior
from glidewright.calibration.season import meter_sigma
from glidewright.decisions.calibrating.nouns import BeforeAfter, LearnedRow, WorthRow
from glidewright.domain.correction import Correction
from glidewright.forecast.draws import sobol_column
from glidewright.forecast.predict import Forecast
from glidewright.forecast.spread import Input

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


def main_rows(before: Forecast, after: Forecast) -> tuple[BeforeAfter, ...]:
    """The main figures without and with what was learned, and how wide their bands still are."""
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


def learned_rows(before: Forecast, correction: Correction, ids: Mapping[str, str]) -> tuple[LearnedRow, ...]:
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


def meter_rows(posterior: Posterior) -> tuple[LearnedRow, ...]:
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


def still_unknown(found: Forecast) -> tuple[str, ...]:
    """What causes most of the spread that is left, over the figures that readings are ranked by."""
    worth: dict[str, float] = {}
    known = [draws for name in _RANKED_BY if (draws := found.prediction.draws(name)) is not None]
    for draws in known:
        for cause in found.causes.of(draws):
            worth[cause.entry.title] = worth.get(cause.entry.title, 0.0) + cause.share / len(known)
    told = sorted(worth.items(), key=lambda pair: -pair[1])[:TOLD_UNKNOWN]
    return tuple(f"{title} ({percent_text(share)} of the spread that is left)" for title, share in told)


def worth_titles(found: Forecast) -> tuple[str, ...]:
    """Titles of the figures that readings are ranked by, as far as they are known."""
    titles = {name: title for name, title, _ in _MAIN}
    return tuple(titles[name] for name in _RANKED_BY if found.prediction.draws(name) is not None)


def worth_rows(found: Forecast) -> tuple[WorthRow, ...]:
    """What a further reading would leave of the spread of each of these figures, the best one first."""
    rows = []
    for worth in ranked(found, _RANKED_BY)[:TOLD_WORTHS]:
        left = tuple(
            Figure.exact(worth.left.get(name, 1.0), "1", "%", "typical", "expected, whatever it will show")
            for name in _RANKED_BY
            if found.prediction.draws(name) is not None
        )
        rows.append(WorthRow(title=worth.candidate.title, left=left, mean_left=worth.mean_left))
    return tuple(rows)
