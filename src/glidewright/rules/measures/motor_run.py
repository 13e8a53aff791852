"""Motor run: time with the motor driven, first launch."""

from glidewright.rules.measure import of_result

MEASURE = of_result(
    "motor_run",
    "Motor run",
    "s",
    "s",
    "motor_run_s",
    "time with the motor driven, first launch",
)
