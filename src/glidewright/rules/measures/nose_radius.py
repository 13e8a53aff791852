"""Nose radius: what a collision would meet first."""

from glidewright.rules.measure import Measure, NeverKnown

MEASURE = Measure(
    "nose_radius",
    "Nose radius",
    "m",
    "mm",
    "smallest radius of the nose or spinner tip, measured with a gauge",
    predicted=NeverKnown("the model folder does not state it; hold a radius gauge to the nose"),
)
