"""Spoiler setback: how far ahead of the trailing edge of the wing the spoiler ends."""

from glidewright.rules.measure import of_result

MEASURE = of_result(
    "spoiler_setback",
    "Spoiler ahead of the trailing edge",
    "m",
    "mm",
    "spoiler_setback_m",
    "from the rear edge of the closed spoiler to the trailing edge of the wing",
)
