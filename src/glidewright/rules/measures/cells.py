"""Cells in series: lithium cells of the flight pack."""

from glidewright.rules.measure import of_result

MEASURE = of_result(
    "cells",
    "Cells in series",
    "1",
    "",
    "cells",
    "lithium cells of the flight pack",
)
