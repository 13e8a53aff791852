"""Spoiler setback: how far ahead of the trailing edge of the wing the spoiler ends."""

from glidewright.rules.measure import Measure, never_known

MEASURE = Measure(
    "spoiler_setback",
    "Spoiler ahead of the trailing edge",
    "m",
    "mm",
    "from the rear edge of the closed spoiler to the trailing edge of the wing",
    predicted=never_known("the model folder does not state it; measure it on the plan or the wing"),
)
