"""Capacity: of the flight pack, by its label."""

from glidewright.rules.measure import of_result

MEASURE = of_result(
    "capacity",
    "Capacity",
    "A s",
    "mAh",
    "capacity_As",
    "of the flight pack, by its label",
)
