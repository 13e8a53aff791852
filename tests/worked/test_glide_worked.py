"""Glide on a quadratic polar against the closed form of the textbooks."""

import math

import numpy as np
from outside import held

from glidewright.models.aero.glide import drag_rise, glide_speeds
from glidewright.models.launch.layout import polar_matrix


def parabola(least: float, rise: float) -> np.ndarray:
    return polar_matrix(
        least_drag_coefficient=least,
        drag_rise=rise,
        least_drag_lift_coefficient=0.0,
        highest_lift_coefficient=1.6,
        lowest_lift_coefficient=-0.5,
    )


def test_best_glide_and_least_sink_in_closed_form() -> None:
    # Anderson, Introduction to Flight, 6.9 and 6.7: best glide at CL = sqrt(CD0/k), ratio 1/(2 sqrt(CD0 k));
    # least sink at CL = sqrt(3 CD0/k), for a polar symmetric about CL = 0.
    least, rise, mass, area, density, gravity = 0.02, 0.04, 0.5, 0.36, 1.225, 9.80665
    polar = parabola(least, rise)
    ones = np.ones(1)
    slow, sink, flat, ratio = glide_speeds(polar, mass * ones, area * ones, density * ones, gravity)
    lift_slow, lift_flat = math.sqrt(3 * least / rise), math.sqrt(least / rise)
    loading = mass * gravity / area
    source = "Anderson, Introduction to Flight, 6.7 and 6.9, closed form of a parabola"
    # found on 48 lift coefficients from 0.05 to 0.9 of 1.6, and in 12 steps between the two beside the best:
    # the best may lie half a step off; speeds go with its root, what is best by the curve there, 1/2 of
    # (step / CL)^2 of D / L and 3/8 of the sink
    half_step = 0.5 * 2.0 * (0.9 * 1.6 - 0.05) / 47 / 12
    at = {"source": source, "unit": "m/s", "because": "half a step of the lift coefficients tried"}
    best = {"source": source, "because": "the curve over half a step of the lift coefficients tried"}
    speed = math.sqrt(2 * loading / (density * lift_slow))
    held("speed of least sink", slow[0], speed, rel=0.5 * half_step / lift_slow, **at)
    speed = math.sqrt(2 * loading / (density * lift_flat))
    held("speed of best glide", flat[0], speed, rel=0.5 * half_step / lift_flat, **at)
    closed = 1 / (2 * math.sqrt(least * rise))
    held("best glide ratio", ratio[0], closed, rel=0.5 * (half_step / lift_flat) ** 2, **best)
    drag = least + rise * lift_slow**2
    expected = math.sqrt(2 * loading / density) * drag / lift_slow**1.5
    held("least sink", sink[0], expected, rel=0.375 * (half_step / lift_slow) ** 2, unit="m/s", **best)


def test_trade_speeds_at_half_a_kilogram() -> None:
    # Common practice table: 0.50 kg on 0.36 m2 at sea level flies 4.3 m/s at CL 1.2 and 6.1 m/s at CL 0.6.
    loading = 0.50 * 9.80665 / 0.36
    assert abs(math.sqrt(2 * loading / (1.225 * 1.2)) - 4.3) < 0.05
    polar = parabola(0.6**2 * 0.04, 0.04)  # best glide at CL 0.6 by construction
    flat = glide_speeds(polar, np.array([0.5]), np.array([0.36]), np.array([1.225]), 9.80665)[2]
    held(
        "speed at lift coefficient 0.6, 0.50 kg on 0.36 m2",
        flat[0],
        6.1,
        abs=0.05,
        unit="m/s",
        source="common practice: table of the trade",
        because="half of the last printed digit",
    )


def test_induced_drag_of_a_finite_wing() -> None:
    # Anderson, Introduction to Flight, equation 5.62: CDi = CL^2 / (pi e AR); AR 8, e 0.9, CL 0.5 -> 0.01105.
    rise = drag_rise(np.array([8.0]), np.array([0.9]))
    held(
        "induced drag coefficient, aspect ratio 8, efficiency 0.9, lift coefficient 0.5",
        0.25 * rise[0],
        0.01105,
        abs=5e-6,
        source="closed form CL^2 / (pi e A) by hand",
        because="half of the last printed digit",
    )


def test_ballast_makes_everything_faster_by_the_root_of_the_mass_and_the_glide_no_worse() -> None:
    # Anderson, Introduction to Flight, equations 6.85 and 6.87: at equal lift coefficient speed and sink go
    # with the root of the wing loading, and the glide ratio does not know it. 0.5 to 0.72 kg: 1.2 times.
    polar = np.repeat(parabola(0.02, 0.04), 2, axis=0)
    mass, ones = np.array([0.5, 0.72]), np.ones(2)
    found = glide_speeds(polar, mass, 0.36 * ones, 1.225 * ones, 9.80665)
    for number, ratio in enumerate((1.2, 1.2, 1.2, 1.0)):
        name = ("speed of least sink", "least sink", "speed of best glide", "best glide ratio")[number]
        held(
            f"{name} at 0.72 kg over that at 0.5 kg",
            found[number][1] / found[number][0],
            ratio,
            rel=1e-9,
            source="Anderson, Introduction to Flight, equations 6.85 and 6.87",
            because="rounding",
        )
