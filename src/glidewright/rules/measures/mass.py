"""Mass: ready to fly, with pack and ballast."""

from glidewright.rules.measure import of_result

MEASURE = of_result(
    "mass",
    "Mass",
    "kg",
    "g",
    "mass_kg",
    "ready to fly, with pack and ballast",
)
