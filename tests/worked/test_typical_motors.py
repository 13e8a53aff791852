"""Typical estimators against figures of data sheets and the trade."""

import math

import pytest
from outside import covers, within

from glidewright.models.power import typical

RPM = math.pi / 30.0

# Makers' data sheets as collected in symbench/uav-analysis, uav_analysis/data_21/Motor.csv (commit 9cf43371):
# Kv rpm/V, mass g, can mm, resistance ohm, no-load current A at 10 V. Five slim outrunners of glider size.
SHEETS = (
    (1450, 47, 28.8, 0.090, 0.80),
    (1150, 60, 28.8, 0.075, 0.85),
    (880, 79, 28.8, 0.082, 0.90),
    (950, 93, 28.8, 0.065, 1.20),
    (920, 65, 24.0, 0.142, 0.50),
)

SHEET = "makers' data sheets, collected in symbench/uav-analysis, Motor.csv"


@pytest.mark.parametrize(("kv", "grams", "can", "ohm", "amps"), SHEETS)
def test_data_sheets_lie_inside_the_band_of_resistance(kv, grams, can, ohm, amps):
    slim = typical.typical_motor_resistance(kv * RPM, grams / 1000.0)
    sized = typical.typical_motor_resistance(kv * RPM, grams / 1000.0, can / 1000.0)
    sheets = {"source": SHEET, "because": "10 % to 90 % of the packaged spread"}
    motor = f"typical resistance, {kv} rpm/V, {grams} g"
    covers(motor, slim.low, slim.high, ohm, unit="ohm", **sheets)
    covers(f"{motor}, can of {can:g} mm", sized.low, sized.high, ohm, unit="ohm", **sheets)
    idle = typical.typical_no_load_current(kv * RPM, grams / 1000.0)
    covers(f"typical no-load current, {kv} rpm/V, {grams} g", idle.low, idle.high, amps, unit="A", **sheets)


def test_a_glider_motor_of_1020_rpm_per_volt():
    # common practice: such a motor of the 28 mm class and about 50 g has 80 to 120 milliohm; sheets say 149
    found = typical.typical_motor_resistance(1020 * RPM, 0.050)
    covers(
        "typical resistance, 1020 rpm/V, 50 g",
        found.low,
        found.high,
        0.120,
        unit="ohm",
        source="common practice: 80 to 120 milliohm; sheets say more",
        because="10 % to 90 % of the packaged spread",
    )
    assert 0.13 < found.value < 0.17


@pytest.mark.parametrize(("ampere_hours", "low", "high"), [(0.45, 18, 30), (0.85, 10, 15), (1.0, 8, 13)])
def test_pack_resistance_covers_what_the_trade_reads(ampere_hours, low, high):
    # common practice: milliohm per cell of fresh small packs
    found = typical.typical_pack_resistance(ampere_hours * 3600.0, 1)
    assert found.low * 1000.0 <= low * 1.05
    assert found.high * 1000.0 >= high * 0.95
    within(
        f"resistance of a cell of {ampere_hours:g} Ah",
        found.value * 1000.0,
        low,
        high,
        unit="milliohm",
        source="common practice: readings of fresh small packs",
        because="range of the trade",
    )


def test_pack_surface_against_a_real_box():
    # geometry: a two-cell pack of 55 x 30 x 13 mm has 5510 mm2; at 10 W/(m2 K) that is 0.055 W/K
    found = typical.typical_pack_conductance(55 * 30 * 13 * 1e-9 * 2000.0)
    covers(
        "cooling of a pack of 55 x 30 x 13 mm",
        found.low,
        found.high,
        0.0551,
        unit="W/K",
        source="geometry by hand, 5510 mm2 at 10 W/(m2 K)",
        because="range of a box of usual proportions and of still to moving air",
    )
