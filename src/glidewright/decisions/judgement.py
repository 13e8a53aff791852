"""All findings on one forecast: class, parts, field and balance."""

from glidewright.base.figure import Figure
from glidewright.decisions.mass_answer import balance_range
from glidewright.forecast.predict import Forecast
from glidewright.rules.class_rules import judge_class
from glidewright.rules.drive import judge_drive
from glidewright.rules.field_limits import judge_field
from glidewright.rules.finding import Finding, judged
from glidewright.rules.part_limits import judge_parts
from glidewright.rules.words import bounds_words


def judge(forecast: Forecast) -> tuple[Finding, ...]:
    """Class limits first, then balance, parts and field."""
    prediction = forecast.prediction
    return (
        *judge_class(prediction),
        _balance(forecast),
        *judge_drive(prediction),
        *judge_parts(prediction),
        *judge_field(prediction),
    )


def _balance(forecast: Forecast) -> Finding:
    """Centre of gravity inside the designer's range."""
    front, rear, chance, source = balance_range(forecast)
    value: Figure = forecast.prediction.figure("cg_x_m", "mm")
    limit = "no range is stated"
    because = front.because
    if front.value is not None and rear.value is not None:
        limit = f"{bounds_words(front.value, rear.value, value.shown)} aft of the datum"
        because = value.because
    return judged(
        "balance",
        "Centre of gravity",
        value,
        chance,
        limit=limit,
        at_least=front.value,
        at_most=rear.value,
        because=because,
        consequence="too far forward: dead weight and a heavy elevator; too far aft: it cannot be flown",
        source=source,
    )
