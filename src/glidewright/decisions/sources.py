"""What the numbers of a forecast rest on."""

from glidewright.forecast.aero_sources import aero_sources
from glidewright.forecast.predict import Forecast


def sources_of(found: Forecast) -> tuple[str, ...]:
    """Published sources of the numbers that entered, each once."""
    power = found.setup.power
    rule = found.setup.rule
    named = () if isinstance(power, str) else power.sources
    model = found.setup.model
    of_polar = aero_sources(model.airframe, model.field)
    return tuple(dict.fromkeys([*named, *of_polar, *([rule.source] if rule and rule.source else [])]))
