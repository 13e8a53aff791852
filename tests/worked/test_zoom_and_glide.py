"""Zoom and glide of the launch kernel against closed forms.

Zoom without drag: h = (v1^2 - v2^2) / 2g, common practice in the trade; 10 to 7 m/s 2.6 m, 12 to 7 m/s 4.8 m,
15 to 7 m/s 9.0 m. Glide: lift and drag balance the weight, tan g = -C_D / C_L and
V = sqrt(2 W cos g / (rho S C_L)) (J. D. Anderson, Introduction to Flight, 3rd ed., section 6.9).
"""

import math

import numpy as np
import pytest
from outside import covers, held, held_all

from glidewright.models.launch import layout as ll
from glidewright.models.launch.example import example_inputs
from glidewright.models.launch.flights import launch_outputs, launch_trace

GLIDE = {
    "run_limit_s": 0.0,
    "throw_height_m": 100.0,
    "wind_speed_m_s": 0.0,
    "throw_angle_rad": 0.0,
    "lapse_rate_K_m": 9.80665 / 287.05287,  # density is the same at every height
}


@pytest.mark.parametrize(("fast", "slow", "zoom"), [(10.0, 7.0, 2.6), (12.0, 7.0, 4.8), (15.0, 7.0, 9.0)])
def test_zoom_without_drag_is_the_height_of_the_speed_lost(fast: float, slow: float, zoom: float) -> None:
    no_drag = {"least_drag_coefficient": 0.0, "drag_rise": 0.0, "folded_drag_area_m2": 0.0}
    inputs = example_inputs(throw_speed_m_s=fast, glide_speed_m_s=slow, **GLIDE, **no_drag)
    rows, _ = launch_trace(inputs, duration_s=40.0)
    gained = rows[0, -1, 1] - 100.0
    held(
        f"zoom without drag, {fast:g} to {slow:g} m/s",
        gained,
        zoom,
        abs=0.05,
        unit="m",
        source="common practice: worked cases of (v1^2 - v2^2) / 2g",
        because="the printed case has one decimal",
    )
    held(
        f"the same, {fast:g} to {slow:g} m/s, by closed form",
        gained,
        (fast**2 - slow**2) / (2.0 * 9.80665),
        rel=2e-3,
        unit="m",
        source="energy, (v1^2 - v2^2) / 2g",
        because="steps of the kernel, and the path that is not quite level at the end",
    )
    assert rows[0, -1, 2] == pytest.approx(slow, rel=1e-3)


@pytest.mark.parametrize(("fast", "zoom"), [(10.0, 2.6), (12.0, 4.8), (15.0, 9.0)])
def test_share_of_the_ideal_zoom_in_the_trade_lies_between_a_quick_and_a_slow_pilot(
    fast: float, zoom: float
) -> None:
    """Common practice: about 0.7 of the ideal zoom. The share depends on how quickly the pilot pulls."""
    inputs = example_inputs(
        throw_speed_m_s=fast, glide_speed_m_s=7.0, speed_time_constant_s=[0.5, 1.5], **GLIDE
    )
    quick, slow = (launch_outputs(inputs)[:, ll.TOP_HEIGHT] - 100.0) / zoom
    assert 0.0 < slow < quick < 1.0
    covers(
        f"share of the ideal zoom from {fast:g} m/s",
        slow,
        quick,
        0.7,
        source="common practice: about 0.7",
        because="from a slow pull (1.5 s) to a quick one (0.5 s)",
    )


@pytest.mark.parametrize("lift", [0.4, 0.6, 0.9])
def test_glide_settles_at_speed_and_sink_of_the_closed_form(lift: float) -> None:
    drag = 0.022 + 0.04 * (lift - 0.2) ** 2
    path = -math.atan2(drag, lift)
    weight = 0.59 * 9.80665
    speed = math.sqrt(2.0 * weight * math.cos(path) / (1.2 * 0.36 * lift))
    inputs = example_inputs(throw_speed_m_s=speed, glide_speed_m_s=speed, folded_drag_area_m2=0.0, **GLIDE)
    rows, _ = launch_trace(inputs, duration_s=40.0, tolerance_m=1e-4)
    time, height = rows[0, -81:, 0], rows[0, -81:, 1]
    sink = -np.polyfit(time, height, 1)[0]
    anderson = {
        "source": "Anderson, Introduction to Flight, section 6.9",
        "because": "steps of the kernel",
        "rel": 1e-4,
        "unit": "m/s",
    }
    held(f"airspeed of a glide at lift coefficient {lift:g}", rows[0, -1, 2], speed, **anderson)
    held(f"sink of a glide at lift coefficient {lift:g}", sink, -speed * math.sin(path), **anderson)


def test_density_of_the_launch_is_that_of_the_standard_atmosphere() -> None:
    """ISO 2533:1975, table: 1.22500 kg/m3 at sea level, 1.21328 at 100 m, 1.20165, 1.16727 at 500 m."""
    from glidewright.models.launch.rates import (  # noqa: PLC0415 - only this test looks inside
        WORK_SHAPE,
        air_density_kg_m3,
        prepare,
    )

    inputs = example_inputs(ground_density_kg_m3=1.2250, ground_temperature_K=288.15)
    work = np.zeros(WORK_SHAPE)
    prepare.py_func(inputs.power[0], inputs.launch[0], work)  # type: ignore[attr-defined]
    at = {h: air_density_kg_m3.py_func(inputs.launch[0], work, h) for h in (0.0, 100.0, 200.0, 500.0)}  # type: ignore[attr-defined]
    table = {0.0: 1.22500, 100.0: 1.21328, 200.0: 1.20165, 500.0: 1.16727}
    held_all(
        "density of the air at 0 to 500 m",
        [at[height] for height in table],
        table.values(),
        abs=1e-5,
        unit="kg/m3",
        source="ISO 2533:1975, table 5",
        because="the last printed digit",
    )
