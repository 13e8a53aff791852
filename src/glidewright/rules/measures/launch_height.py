"""Launch height, as the class counts it and an altimeter with its error reads it."""

from glidewright.rules.measure import of_result, read_from

MEASURE = of_result(
    "launch_height",
    "Launch height",
    "m",
    "m",
    "height_counted_m",
    "height above the launch point as the class counts it, read by an altimeter, whose error is in the draws",
    read_from("counted_height"),
)
