"""Span: tip to tip, projected flat."""

from glidewright.rules.measure import of_result

MEASURE = of_result(
    "span",
    "Span",
    "m",
    "mm",
    "span_m",
    "tip to tip, projected flat",
)
