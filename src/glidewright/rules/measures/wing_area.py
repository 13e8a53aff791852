"""Wing area: projected, with the part inside the body; without the tail."""

from glidewright.rules.measure import of_result

MEASURE = of_result(
    "wing_area",
    "Wing area",
    "m2",
    "dm²",
    "wing_area_m2",
    "projected, with the part inside the body; without the tail",
)
