"""Wing loading: mass by wing area; the tail is not counted."""

from glidewright.rules.measure import of_result

MEASURE = of_result(
    "wing_loading",
    "Wing loading",
    "kg/m2",
    "g/dm²",
    "wing_loading_kg_m2",
    "mass by wing area; the tail is not counted",
)
