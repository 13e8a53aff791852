"""Number of controls: moving surfaces that the pilot steers; the motor is not counted."""

from glidewright.rules.measure import of_result

MEASURE = of_result(
    "controls",
    "Number of controls",
    "1",
    "",
    "controls",
    "moving surfaces that the pilot steers; the motor is not counted",
)
