"""Full pack voltage: of the full pack at rest, 4.2 V a cell."""

from glidewright.rules.measure import of_result

MEASURE = of_result(
    "pack_voltage",
    "Full pack voltage",
    "V",
    "V",
    "pack_full_voltage_V",
    "of the full pack at rest, 4.2 V a cell",
)
