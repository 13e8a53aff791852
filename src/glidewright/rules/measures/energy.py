"""Energy of the motor run: drawn from the pack in one motor run (1 Wh is 60 W min)."""

from glidewright.rules.measure import of_result

MEASURE = of_result(
    "energy",
    "Energy of the motor run",
    "J",
    "Wh",
    "energy_J",
    "drawn from the pack in one motor run (1 Wh is 60 W min)",
)
