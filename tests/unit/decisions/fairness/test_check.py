"""What a check of the launch height can tell: against closed forms, scipy and loggers that are drawn."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from glidewright.base.figure import Given
from glidewright.decisions.fairness.check import (
    WINDOWS_s,
    climb_checks,
    climb_limit_m_s,
    devices_of,
    height_check,
)
from glidewright.decisions.fairness.field import Entry, Launches
from glidewright.decisions.fairness.spread import Flown
from glidewright.domain.class_limits import ClassLimits, HeightRule, Limit
from glidewright.domain.field import Field
from glidewright.domain.rule_options import CheckLogger
from glidewright.forecast.spread import Z90
from glidewright.models.launch.layout import CUT_BY_HEIGHT, CUT_BY_TIME
from glidewright.models.score.logger import expected_highest, least_allowance_m, readings_m

Array = np.ndarray
EXACT = CheckLogger(
    height_error_m=Given(value=1.5),
    scale_error=Given(value=0.0),
    noise_m=Given(value=0.0),
    step_m=Given(value=0.0),
    sample_time_s=Given(value=0.1),
)


def field_of(counted_m: Array, zoom_m: float = 2.0, reason: int = CUT_BY_HEIGHT) -> Flown:
    """One entry with these counted heights."""
    count = counted_m.size
    flat = np.full(count, 1.0)
    own = Launches(
        climb_speed_m_s=9.0, glide_speed_m_s=6.0, duty=1.0, run_s=30.0, cut_m=120.0, ballast_kg=0.0, held=(),
        top_m=counted_m, counted_m=counted_m, climb_m_s=4.0 * flat, run_flown_s=25.0 * flat,
        zoom_m=zoom_m * flat, reason=np.full(count, reason, dtype=np.int8),
    )  # fmt: skip
    entry = Entry(0, None, 0.6, 0.0, ((),), (own,))  # type: ignore[arg-type]  # no build is looked at
    return Flown(
        (entry,), (own,), counted_m[None], own.climb_m_s[None], np.array([float(np.median(counted_m))])
    )


def rule(count: str = "at_cut", tolerance: float = 0.0) -> ClassLimits:
    limit = Limit(measure="launch_height", at_most=120.0, tolerance=tolerance, unit="m", shown="m")
    return ClassLimits(
        id="t",
        title="T",
        motor_run_s=30.0,
        cut_height_m=120.0,
        height=HeightRule(count=count),  # type: ignore[arg-type]
        limits=(limit,),
    )


def test_a_stated_logger_goes_before_the_packaged_one() -> None:
    usual = devices_of(CheckLogger()).usual
    assert usual.step_m == 1.0
    stated = devices_of(EXACT)
    # half width that holds 8 of 10, 1.2816 standard deviations
    assert stated.usual.height_error_m == pytest.approx(1.5 / Z90)
    assert stated.good == stated.usual == stated.poor
    wide = CheckLogger(noise_m=Given(value=0.4, low=0.2, high=0.8))
    assert devices_of(wide).poor.noise_m == pytest.approx(0.8 / Z90)
    assert devices_of(wide).grade == "typical"  # what was not stated


@pytest.mark.parametrize("rate", [0.01, 0.05, 0.2])
def test_models_stopped_exactly_need_the_closed_form(rate: float) -> None:
    # all at the limit, one Gaussian error, no steps: a = z sigma, scipy.stats.norm.isf
    found = height_check(field_of(np.full(64, 120.0)), rule(), Field(), devices_of(EXACT), rate)
    assert found is not None
    expected = stats.norm.isf(rate) * 1.5 / Z90
    assert found.allowance.value == pytest.approx(expected, abs=0.1)  # to the next tenth of a metre
    assert found.allowance.value >= expected
    assert found.allowance_of_device.value == pytest.approx(found.allowance.value)
    row = next(row for row in found.rows if row.allowance_m == found.allowance.value)
    chance = stats.norm.sf(row.allowance_m / (1.5 / Z90))
    assert row.legal_found_over.value == pytest.approx(chance, rel=1e-9)
    assert row.excess_found.value == pytest.approx(row.allowance_m + expected, abs=0.01)


def test_whole_metres_give_the_stepped_closed_form() -> None:
    logger = EXACT.model_copy(update={"step_m": Given(value=1.0)})
    found = height_check(field_of(np.full(64, 120.0)), rule(), Field(), devices_of(logger), 0.05)
    assert found is not None
    assert found.allowance.value == least_allowance_m(0.05, 1.5 / Z90, step_m=1.0)


def test_spread_launches_are_found_over_as_often_as_drawn_ones() -> None:
    # launches and loggers drawn; the highest of the readings near the top lies above one by its mean
    rng = np.random.default_rng(5)
    shown = 121.0 + rng.standard_normal(400)
    devices = devices_of(CheckLogger())
    found = height_check(field_of(shown), rule("highest"), Field(), devices, 0.05)
    assert found is not None
    one, draws = devices.usual, 4000
    scale, offset, noise = (rng.standard_normal((draws, 1)) for _ in range(3))
    highest = one.noise_m * expected_highest(10)
    read = readings_m(
        shown[None] + highest, 1.0 + one.scale_error * scale, one.height_error_m * offset,
        one.noise_m * noise, one.step_m,
    )  # fmt: skip
    for row in found.rows:
        counted = np.mean(read > 120.0 + row.allowance_m)
        assert row.legal_found_over.value == pytest.approx(counted, abs=0.025)
    # one sigma of the launches and their mean of 1 m over the limit; no other wrong verdict is made
    alone = found.allowance_of_device.value
    assert alone is not None
    assert found.allowance.value is not None
    assert alone <= found.allowance.value + 1.0


def test_the_margin_is_what_tolerance_leaves() -> None:
    found = height_check(
        field_of(np.full(16, 121.5)), rule("highest", tolerance=2.0), Field(), devices_of(EXACT), 0.05
    )
    assert found is not None
    assert found.legal_over.value == pytest.approx(0.5)
    assert (found.tolerance_m, found.stop_keeps) == (2.0, True)


def test_a_warm_day_lies_higher() -> None:
    # hand calculation: indicated * T / 288.15 K at sea level: 113.8 m at 0 and 126.2 m at 30 degrees
    found = height_check(field_of(np.full(16, 120.0)), rule(), Field(), devices_of(CheckLogger()), 0.05)
    assert found is not None
    assert found.true_cold.value == pytest.approx(120.0 * 273.15 / 288.15, abs=1e-6)
    assert found.true_warm.value == pytest.approx(120.0 * 303.15 / 288.15, abs=1e-6)


def test_nothing_is_said_where_no_launch_is_stopped_by_height() -> None:
    alone = field_of(np.full(16, 90.0), reason=CUT_BY_TIME)
    assert height_check(alone, rule(), Field(), devices_of(CheckLogger()), 0.05) is None


def test_climb_checks_follow_the_seed_and_fall_with_the_window() -> None:
    devices = devices_of(CheckLogger())
    fine = replace(
        devices, **{name: replace(getattr(devices, name), step_m=0.0) for name in ("good", "usual", "poor")}
    )
    first = climb_checks(5.0, 30.0, fine, 0.05, seed=1)
    assert first == climb_checks(5.0, 30.0, fine, 0.05, seed=1)
    assert first != climb_checks(5.0, 30.0, fine, 0.05, seed=2)
    assert [one.window_s for one in first] == list(WINDOWS_s)
    values = [one.allowance.value or 0.0 for one in first]
    assert values == sorted(values, reverse=True)
    for one in first:
        # the steepest of many windows needs more than one window does: z sqrt(2) sigma / window
        alone = stats.norm.isf(0.05) * np.sqrt(2.0) * (0.3 / Z90) / one.window_s
        assert one.single_window.value == pytest.approx(alone)
        assert one.allowance.value is not None
        assert one.allowance.value > alone
    # a run shorter than the window leaves it out
    assert [one.window_s for one in climb_checks(5.0, 4.0, fine, 0.05, seed=1)] == [1.0, 2.0]


def test_the_first_limit_on_the_climb_is_checked(hill_class: ClassLimits) -> None:
    assert climb_limit_m_s((rule(), hill_class)) == (5.0, 30.0)
    assert climb_limit_m_s((rule(),)) is None
