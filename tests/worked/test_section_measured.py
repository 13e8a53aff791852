"""Computed section polars against published wind-tunnel readings.

Sources, quoted beside their run: UIUC Low-Speed Airfoil Tests, volumes 1, 3 and 4 (Selig and others);
SoarTech 8 (Selig, Donovan, Fraser 1989), read from public copies. The drag factor was found from these and
their neighbours by studies/section_bias.py, so these checks show how well one factor does for all sections,
not that it would do for another. What is allowed is the spread that a forecast takes, the 10 % and 90 %
points of all runs (section_bias.toml). Two tunnels that measured the same section, the Clark-Y of this list,
differ by 17 % at Reynolds 60 000, 19 % at 100 000 and 6 % at 200 000.
"""

import math

import numpy as np
import pytest
from outside import covers, held, held_all, missed, within
from scipy.optimize import brentq
from scipy.stats import binom

from glidewright.data import coefficients as packaged
from glidewright.models.aero.section import (
    cd_of_cl,
    coefficients,
    drag_factor,
    highest_lift,
    highest_lift_factor,
    lift_slope,
    names,
    section,
    zero_lift_angle,
)

# run, section, Reynolds number, three readings (lift, drag) near the lift coefficients 0.4, 0.6 and 0.8
# (0.2, 0.4 and 0.6 for the symmetric one)
RUNS = (
    ("UIUC 1 SD7037B", "sd7037", 60_500, ((0.486, 0.0216), (0.659, 0.0258), (0.800, 0.0257))),
    ("UIUC 1 SD7037B", "sd7037", 101_400, ((0.494, 0.0166), (0.638, 0.0165), (0.801, 0.0174))),
    ("UIUC 1 SD7037B", "sd7037", 201_900, ((0.327, 0.0097), (0.678, 0.0109), (0.831, 0.0126))),
    ("UIUC 1 RG15B", "rg15", 61_100, ((0.444, 0.0176), (0.595, 0.0186), (0.830, 0.0251))),
    ("UIUC 1 RG15B", "rg15", 101_200, ((0.408, 0.0143), (0.659, 0.0170), (0.802, 0.0223))),
    ("UIUC 1 RG15B", "rg15", 202_500, ((0.334, 0.0089), (0.647, 0.0107), (0.789, 0.0136))),
    ("UIUC 1 SD7003", "sd7003", 61_100, ((0.368, 0.0130), (0.652, 0.0168), (0.786, 0.0192))),
    ("UIUC 1 SD7003", "sd7003", 101_600, ((0.322, 0.0113), (0.617, 0.0148), (0.789, 0.0182))),
    ("UIUC 1 SD7003", "sd7003", 202_200, ((0.476, 0.0101), (0.644, 0.0122), (0.775, 0.0145))),
    ("UIUC 1 SD8020", "sd8020", 61_400, ((0.105, 0.0195), (0.360, 0.0132), (0.632, 0.0191))),
    ("UIUC 1 SD8020", "sd8020", 101_500, ((0.142, 0.0122), (0.419, 0.0153), (0.558, 0.0171))),
    ("UIUC 1 SD8020", "sd8020", 203_300, ((0.145, 0.0077), (0.442, 0.0117), (0.572, 0.0143))),
    ("UIUC 3 CLARKYB", "clarky", 60_700, ((0.389, 0.0333), (0.604, 0.0339), (0.744, 0.0357))),
    ("UIUC 3 CLARKYB", "clarky", 100_000, ((0.436, 0.0240), (0.605, 0.0225), (0.759, 0.0206))),
    ("UIUC 3 CLARKYB", "clarky", 200_000, ((0.338, 0.0105), (0.654, 0.0115), (0.810, 0.0125))),
    ("UIUC 4 E387 (C)", "e387", 100_029, ((0.435, 0.0229), (0.623, 0.0290), (0.825, 0.0278))),
    ("UIUC 4 E387 (C)", "e387", 199_879, ((0.381, 0.0104), (0.593, 0.0118), (0.806, 0.0134))),
    ("UIUC 4 SD2030 (C)", "sd2030", 100_002, ((0.403, 0.0188), (0.574, 0.0171), (0.784, 0.0147))),
    ("UIUC 4 SD2030 (C)", "sd2030", 199_829, ((0.391, 0.0111), (0.593, 0.0099), (0.784, 0.0113))),
    ("SoarTech 8 Clark-Y", "clarky", 61_300, ((0.365, 0.0313), (0.646, 0.0303), (0.836, 0.0271))),
    ("SoarTech 8 Clark-Y", "clarky", 102_600, ((0.399, 0.0192), (0.595, 0.0184), (0.782, 0.0186))),
    ("SoarTech 8 Clark-Y", "clarky", 203_800, ((0.399, 0.0098), (0.596, 0.0104), (0.788, 0.0124))),
    ("SoarTech 8 E205A", "e205", 99_500, ((0.380, 0.0177), (0.557, 0.0210), (0.821, 0.0226))),
    ("SoarTech 8 E205A", "e205", 202_100, ((0.357, 0.0106), (0.551, 0.0119), (0.838, 0.0135))),
    ("SoarTech 8 S3010", "s3010", 60_900, ((0.468, 0.0236), (0.594, 0.0268), (0.844, 0.0280))),
    ("SoarTech 8 S3010", "s3010", 100_500, ((0.421, 0.0150), (0.618, 0.0161), (0.801, 0.0178))),
    ("SoarTech 8 S3010", "s3010", 203_900, ((0.356, 0.0094), (0.664, 0.0124), (0.811, 0.0139))),
)
# Outside of the spread, and left so: how far the mean of the three readings lies above the computation.
MISSED = {
    ("UIUC 4 E387 (C)", 100_029): "36 % more drag than computed: the bubble of this run is far longer",
}
SPREAD = "10 to 90 % of all runs at this Reynolds number, section_bias.toml"
CASES = [
    pytest.param(
        *run,
        id=f"{run[0]} {run[2]}",
        marks=[pytest.mark.xfail(reason=MISSED[run[0], run[2]])] if (run[0], run[2]) in MISSED else [],
    )
    for run in RUNS
]


def spaced(reynolds):
    return f"{reynolds:,}".replace(",", " ")


def measured_over_computed(name, reynolds, readings):
    lift, drag = np.array(readings).T
    computed, beyond = cd_of_cl(section(name), lift, reynolds)
    assert not beyond.any()
    return drag / (computed * drag_factor(reynolds).value)


@pytest.mark.parametrize(("run", "name", "reynolds", "readings"), CASES)
def test_drag_of_a_run_within_the_spread_of_runs(run, name, reynolds, readings):
    ratio = float(np.mean(measured_over_computed(name, reynolds, readings)))
    what = f"measured drag over computed, {run} at Reynolds {spaced(reynolds)}"
    factor = drag_factor(reynolds)
    low, high = float(factor.low / factor.value), float(factor.high / factor.value)
    if (run, reynolds) in MISSED:
        missed(what, ratio, 1.0, abs=high - 1.0, source=run, because=SPREAD, why=MISSED[run, reynolds])
    else:
        covers(what, low, high, ratio, source=run, because=SPREAD)


def test_the_stated_spread_holds_about_eight_readings_of_ten():
    # 10 % and 90 % points: of the 81 readings above, 80 % expected inside; the three of a run go together, so
    # they count as 27
    inside = []
    for _, name, reynolds, readings in RUNS:
        factor = drag_factor(reynolds)
        raw = measured_over_computed(name, reynolds, readings) * factor.value
        inside.extend((raw >= factor.low) & (raw <= factor.high))
    low, high = binom.ppf([0.005, 0.995], len(RUNS), 0.8) / len(RUNS)
    within(
        "share of readings inside the stated spread",
        np.mean(inside),
        float(low),
        float(high),
        source="the 81 readings of these runs",
        because="80 % expected; 99 % of the shares of 27 runs, as the three readings of one go together",
    )


def test_computed_drag_is_too_low_as_a_rule():
    # known of such polars: below the tunnels at Reynolds 100 000 and above
    assert np.all(drag_factor(np.array([1e5, 1.5e5, 2e5, 3e5])).value > 1.05)


# UIUC Low-Speed Airfoil Tests, volume 1, SD7037B.LFT: angle of attack in degrees and lift, sweep upwards
SD7037B_LIFT = {
    202_900: ((-2.76, 0.013), (-0.97, 0.212), (1.78, 0.489), (3.48, 0.668), (5.00, 0.821), (7.95, 1.082)),
    101_700: ((-2.91, -0.102), (0.30, 0.316), (3.29, 0.642), (6.33, 0.916), (9.38, 1.149), (12.50, 1.244)),
}


@pytest.mark.parametrize("reynolds", SD7037B_LIFT)
def test_lift_of_the_sd7037_at_given_angles(reynolds):
    # 2 pi a radian on the stated spread of the angle of zero lift, and the stated spread of the slope on a
    # lift of 1, independent of each other
    zero, slope = (spread_of(key, reynolds) for key in ("zero_lift_shift", "slope_over_thin"))
    by_zero = 2.0 * math.pi * math.radians(max(abs(zero["low"]), abs(zero["high"])))
    by_slope = max(slope["high"] / slope["value"] - 1.0, 1.0 - slope["low"] / slope["value"])
    angle_deg, lift = np.array(SD7037B_LIFT[reynolds]).T
    computed = coefficients(section("sd7037"), np.radians(angle_deg), reynolds)[0]
    held_all(
        f"lift coefficient of the SD7037 at Reynolds {spaced(reynolds)}",
        computed,
        lift,
        abs=math.hypot(by_zero, by_slope),
        source="UIUC Low-Speed Airfoil Tests, volume 1, SD7037B",
        because="stated spreads of zero lift, and of the slope at a lift of 1, section_bias.toml",
    )


# Slope of the line through the readings from 0 to 7 degrees, per degree, and the angle of zero lift between
# the two readings beside it; drag runs of the same sources
SLOPES = (
    ("sd7037", 201_900, 0.1037, -2.81),
    ("sd7037", 302_200, 0.1028, -2.96),
    ("rg15", 202_500, 0.0979, -1.69),
    ("rg15", 302_700, 0.0991, -1.98),
    ("sd7003", 202_200, 0.1035, -1.39),
    ("sd7003", 302_800, 0.1067, -1.46),
    ("clarky", 200_000, 0.0978, -3.22),
    ("clarky", 299_800, 0.0990, -3.33),
    ("e387", 199_879, 0.1031, -4.01),
    ("e387", 300_289, 0.1042, -3.88),
    ("e205", 202_100, 0.0938, -2.15),
    ("s3010", 203_900, 0.0971, -2.91),
    ("sd2030", 199_829, 0.0952, -1.92),
)


SLOPE_MISSED = ("s3010", 203_900)


def spread_of(key, reynolds):
    """The row of the table of biases at a Reynolds number: value, low and high."""
    rows = packaged("section_bias")[key]
    return min(rows, key=lambda row: abs(row["reynolds"] - reynolds))


@pytest.mark.parametrize(
    ("name", "reynolds", "slope_per_deg"),
    [
        pytest.param(
            *one[:3], marks=[pytest.mark.xfail(reason="9 % above")] if one[:2] == SLOPE_MISSED else []
        )
        for one in SLOPES
    ],
)
def test_lift_slope_of_measured_runs(name, reynolds, slope_per_deg):
    row = spread_of("slope_over_thin", reynolds)
    told = {
        "rel": max(row["high"] / row["value"] - 1.0, 1.0 - row["low"] / row["value"]),
        "unit": "1/rad",
        "source": "UIUC Low-Speed Airfoil Tests, SoarTech 8",
        "because": f"10 to 90 % of {row['runs']} runs at this Reynolds number, section_bias.toml",
    }
    what = f"lift slope, {name} at Reynolds {spaced(reynolds)}"
    found, expected = float(lift_slope(section(name), reynolds)), math.degrees(slope_per_deg)
    if (name, reynolds) == SLOPE_MISSED:
        missed(what, found, expected, why="computed 9 % steeper than this tunnel found", **told)
    else:
        held(what, found, expected, **told)


@pytest.mark.parametrize(
    ("name", "reynolds", "zero_deg"), [(name, reynolds, zero) for name, reynolds, _, zero in SLOPES]
)
def test_zero_lift_angle_of_measured_runs(name, reynolds, zero_deg):
    row = spread_of("zero_lift_shift", reynolds)
    held(
        f"angle of zero lift, {name} at Reynolds {spaced(reynolds)}",
        math.degrees(float(zero_lift_angle(section(name), reynolds))),
        zero_deg,
        abs=max(abs(row["low"]), abs(row["high"])),
        unit="deg",
        source="UIUC Low-Speed Airfoil Tests, SoarTech 8",
        because=f"10 to 90 % of {row['runs']} runs, section_bias.toml",
    )


@pytest.mark.xfail(
    reason="computed lift of symmetric sections is 39 % too high at 3.5 degrees, transition free"
)
def test_lift_of_a_symmetric_section_at_a_small_angle():
    # UIUC Low-Speed Airfoil Tests, volume 1, SD8020 at Reynolds 203 300: 0.352 at 3.5 degrees by the line
    lift = float(coefficients(section("sd8020"), math.radians(3.5), 203_300)[0])
    missed(
        "lift coefficient of the symmetric SD8020 at 3.5 degrees, Reynolds 203 300",
        lift,
        0.352,
        rel=0.15,
        source="UIUC Low-Speed Airfoil Tests, volume 1, SD8020",
        because="10 % between tunnels and half a reading",
        why="computed lift of symmetric sections is too high at small angles, transition free",
    )


def test_highest_lift_lies_in_the_spread():
    name, reynolds, highest = "sd7037", 101_700, 1.244  # UIUC 1 SD7037B.LFT
    factor, computed = highest_lift_factor(reynolds), float(highest_lift(section(name), reynolds)[0])
    covers(
        f"highest lift coefficient, {name} at Reynolds {spaced(reynolds)}",
        computed * float(factor.low),
        computed * float(factor.high),
        highest,
        source="UIUC Low-Speed Airfoil Tests, volume 1, SD7037B",
        because="10 to 90 % of 19 runs, section_bias.toml",
    )


@pytest.mark.xfail(reason="5 % more lift than computed")
def test_highest_lift_of_the_other_run():
    name, reynolds, highest = "sd7037", 202_900, 1.286  # UIUC 1 SD7037B.LFT
    factor = highest_lift_factor(reynolds)
    missed(
        f"highest lift coefficient, {name} at Reynolds {spaced(reynolds)}",
        float(highest_lift(section(name), reynolds)[0] * factor.value),
        highest,
        rel=float(factor.high / factor.value) - 1.0,
        source="UIUC Low-Speed Airfoil Tests, volume 1, SD7037B",
        because="10 to 90 % of 19 runs, section_bias.toml",
        why="5 % more lift than computed, at the edge of what 19 runs show",
    )


def slope_of_joukowski(thickness: float) -> float:
    """Lift slope of a symmetric section of Joukowski, 1/rad: 8 pi times its circle's radius over its chord.

    A circle through 1 with the middle at -e, mapped by z + 1 / z; the lift of it is that of the circle.
    """
    turn = np.exp(1j * np.linspace(0.0, math.pi, 2001))

    def plan(shift: float) -> tuple[float, float]:
        circle = -shift + (1.0 + shift) * turn
        mapped = circle + 1.0 / circle
        chord = float(np.ptp(mapped.real))
        return 2.0 * float(mapped.imag.max()) / chord, chord

    shift = brentq(lambda e: plan(e)[0] - thickness, 1e-4, 0.5)
    return 8.0 * math.pi * (1.0 + shift) / plan(shift)[1]


@pytest.mark.parametrize("name", ["naca0006", "naca0007", "naca0008", "ht05", "ht08"])
def test_thin_turbulent_sections_have_the_slope_of_thin_aerofoil_theory(name):
    # 2 pi a radian: Anderson, Fundamentals of Aerodynamics, equation 4.33; thickness adds to it without
    # friction, here by the map of Joukowski; friction takes away: the lowest tenth of the runs of tunnels at
    # Reynolds 200 000 lies at 0.839 of 2 pi (section_bias.toml)
    one, row = section(name), spread_of("slope_over_thin", 2e5)
    slope = lift_slope(one, np.array([1e5, 2e5, 5e5]), 1.0, math.radians(-4.0), math.radians(4.0))
    for side, found in (("lowest", slope.min()), ("highest", slope.max())):
        within(
            f"{side} lift slope of {name} with turbulent flow, Reynolds 100 000 to 500 000",
            float(found),
            2.0 * math.pi * row["low"],
            slope_of_joukowski(one.thickness),
            unit="1/rad",
            source="thin-aerofoil theory, Anderson, Fundamentals of Aerodynamics, equation 4.33",
            because="from the lowest tenth of measured runs to a frictionless Joukowski section as thick",
        )


def test_zero_lift_angle_of_a_cambered_section_against_thin_aerofoil_theory():
    # a parabolic camber line of height f has -2 f radian (Houghton and Carpenter, Aerodynamics for
    # Engineering Students, section 4.5): 2 % camber, -2.29 degrees; these camber lines are nearly parabolic
    row = spread_of("zero_lift_shift", 3e5)
    for name in ("hq208", "hq209"):
        found = math.degrees(float(zero_lift_angle(section(name), 3e5)))
        held(
            f"angle of zero lift of {name}",
            found,
            -math.degrees(2.0 * section(name).camber),
            abs=max(abs(row["low"]), abs(row["high"])),
            unit="deg",
            source="thin-aerofoil theory of a parabola, Houghton and Carpenter, section 4.5",
            because="10 to 90 % of 28 runs about what is computed, section_bias.toml",
        )


def test_no_section_drags_less_than_a_laminar_plate():
    # Blasius 1908: 1.328 / sqrt(Re) a side (Schlichting, Boundary-Layer Theory, equation 7.34)
    for reynolds in (4e4, 1e5, 2e5):
        floor = 2.0 * 1.328 / math.sqrt(reynolds)
        for name in names():
            drag = coefficients(section(name), np.radians(np.arange(-4.0, 8.0, 0.5)), reynolds)[1]
            assert drag.min() > floor, name
    thin = coefficients(section("ht05"), 0.0, 1e5)[1]
    plate = 2.0 * 1.328 / math.sqrt(1e5)
    within(
        "drag coefficient of the thin ht05 at Reynolds 100 000",
        float(thin),
        plate,
        2.0 * 0.455 / math.log10(1e5) ** 2.58,
        source="plate of Blasius, Schlichting, equation 7.34, and of Prandtl and Schlichting, equation 21.16",
        because="from a laminar plate to one with turbulent flow from its edge on",
    )
