"""Launch height, as the class counts it and an altimeter reads it."""

from glidewright.rules.measure import Measure, read

MEASURE = Measure(
    "launch_height",
    "Launch height",
    "m",
    "m",
    "height above the launch point as the class counts it, read by an altimeter",
    predicted=read("height_counted_m"),
    result="height_counted_m",
    by_altimeter=True,
)
