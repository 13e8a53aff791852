"""Wrong verdicts of a check by a logger, against scipy's normal law and against loggers that are drawn."""

import math

import numpy as np
import pytest
from outside import held, within
from scipy import stats

from glidewright.models.air.indicated import true_height_m
from glidewright.models.score.logger import (
    climb_sigma_m_s,
    expected_highest,
    least_allowance_m,
    reading_sigma_m,
    readings_m,
    standard_normal,
    steepest_m_s,
    threshold_m,
)

DRAWS = 200_000
LIMIT_m, SIGMA_m = 120.0, 1.3


def found_over_chance(height_m: float, bound_m: float, sigma_m: float, step_m: float = 0.0) -> float:
    """Chance that a model which a perfect device shows at a height is read above a bound."""
    return standard_normal((height_m - threshold_m(bound_m, step_m)) / sigma_m)


@pytest.fixture(scope="module")
def rng() -> np.random.Generator:
    return np.random.default_rng(11)


@pytest.mark.parametrize("z", [-4.0, -1.6448536269514722, 0.0, 0.3, 2.5])
def test_standard_normal(z: float) -> None:
    # scipy.stats.norm.cdf
    expected = stats.norm.cdf(z)
    source = "scipy.stats.norm.cdf"
    held(f"normal law at {z:.3g}", standard_normal(z), expected, abs=1e-14, source=source, because="rounding")


@pytest.mark.parametrize("step_m", [0.0, 1.0, 2.0])
@pytest.mark.parametrize("excess_m", [-1.0, 0.0, 3.3])
def test_chance_of_drawn_readings(step_m: float, excess_m: float, rng: np.random.Generator) -> None:
    # loggers drawn with independent Gaussian errors and rounded to whole steps; scipy's binomial says how far
    # a count may lie off: one in ten thousand beyond
    scale, offset, noise = (rng.standard_normal(DRAWS) for _ in range(3))
    sigma = reading_sigma_m(LIMIT_m + excess_m, 1.0, 0.004, 0.25)
    shown = np.full(DRAWS, LIMIT_m + excess_m)
    read = readings_m(shown, 1.0 + 0.004 * scale, offset, 0.25 * noise, step_m)
    counted = np.count_nonzero(read > LIMIT_m + 2.0)
    chance = found_over_chance(LIMIT_m + excess_m, LIMIT_m + 2.0, sigma, step_m)
    low, high = stats.binom.ppf((5e-5, 1.0 - 5e-5), DRAWS, chance)
    within(
        f"drawn loggers found over, {excess_m:g} m over, steps of {step_m:g} m",
        counted,
        low,
        high,
        source="scipy.stats.binom.ppf of the stated chance",
        because="one in ten thousand beyond",
    )


@pytest.mark.parametrize("rate", [0.001, 0.05, 0.2, 0.49])
@pytest.mark.parametrize("bias_m", [0.0, 2.1])
def test_allowance_in_closed_form(rate: float, bias_m: float) -> None:
    # a = b + z sigma, z from scipy.stats.norm.isf (JCGM 106:2012, clause 8.3: guard band)
    z = stats.norm.isf(rate)
    allowance = least_allowance_m(rate, SIGMA_m, bias_m)
    held(
        f"least allowance for {rate:g} wrongly found, {bias_m:g} m off",
        allowance,
        bias_m + z * SIGMA_m,
        rel=1e-6,
        unit="m",
        source="guard band, JCGM 106:2012, clause 8.3, with scipy.stats.norm.isf",
        because="tolerance of the solver",
    )
    assert found_over_chance(LIMIT_m + bias_m, LIMIT_m + allowance, SIGMA_m) == pytest.approx(rate)


@pytest.mark.parametrize("rate", [0.01, 0.05, 0.3])
@pytest.mark.parametrize("step_m", [0.5, 1.0])
def test_a_stepped_allowance_is_the_least_that_keeps_the_rate(rate: float, step_m: float) -> None:
    allowance = least_allowance_m(rate, SIGMA_m, 1.0, step_m)
    assert allowance / step_m == pytest.approx(round(allowance / step_m))

    def chance(more_m: float) -> float:
        return found_over_chance(LIMIT_m + 1.0, LIMIT_m + allowance + more_m, SIGMA_m, step_m)

    assert chance(0.0) <= rate
    assert allowance == 0.0 or chance(-step_m) > rate


@pytest.mark.parametrize("rate", [-0.1, 0.0, 0.5, 0.7, math.nan])
def test_a_rate_outside_its_range_is_refused(rate: float) -> None:
    with pytest.raises(ValueError, match=r"above 0 and below 0\.5"):
        least_allowance_m(rate, SIGMA_m)


def test_a_perfect_logger_finds_exactly_what_is_over() -> None:
    shown = np.array([120.0, 120.01, 120.4])
    assert (readings_m(shown, 1.0, 0.0, 0.0, 0.0) > 120.0).tolist() == [False, True, True]
    # whole metres hide half a step: 120.4 m is read as 120
    assert (readings_m(shown, 1.0, 0.0, 0.0, 1.0) > 120.0).tolist() == [False, False, False]
    assert threshold_m(120.0, 1.0) == 120.5


@pytest.mark.parametrize(("count", "expected"), [(2, 0.56419), (5, 1.16296), (10, 1.53875), (20, 1.86748)])
def test_expected_highest_of_readings(count: int, expected: float) -> None:
    # tables of expected normal order statistics (Harter, Biometrika 48, 1961), to five decimals
    held(
        f"expected highest of {count} readings, in sigmas",
        expected_highest(count),
        expected,
        abs=0.5e-5,
        source="Harter, Biometrika 48 (1961), tables of normal order statistics",
        because="half of the last digit of the table",
    )
    # and by scipy: the mean of the highest of so many, integrated
    mean = stats.norm.expect(lambda x: x * count * stats.norm.cdf(x) ** (count - 1))
    assert mean == pytest.approx(expected, abs=1e-4)


@pytest.mark.parametrize("window_s", [1.0, 5.0])
def test_climb_of_one_window_spreads_as_the_closed_form_says(
    window_s: float, rng: np.random.Generator
) -> None:
    # 0.3 m of noise at both ends: sqrt(2) 0.3 / window, hand calculation; drawn with 4 sigma of doubt
    times = 0.1 * np.arange(round(window_s / 0.1) + 1)
    read = readings_m(5.0 * times, 1.0, 0.0, 0.3 * rng.standard_normal((20_000, times.size)), 0.0)
    climb = steepest_m_s(read, times.size - 1, 0.1)
    stated = climb_sigma_m_s(0.3, window_s)
    assert stated == pytest.approx(math.sqrt(2.0) * 0.3 / window_s)
    held(
        f"spread of the climb over {window_s:g} s, stated against drawn",
        stated,
        climb.std(),
        rel=4.0 / math.sqrt(2 * 20_000),
        unit="m/s",
        source="20 000 drawn climbs",
        because="four sigma of that many draws",
    )
    assert climb.mean() == pytest.approx(5.0, abs=4.0 * climb.std() / math.sqrt(20_000))


def test_whole_metres_cannot_tell_a_climb_over_one_second() -> None:
    # hand calculation: 4.6 m/s without any noise, samples of 0.1 s: 3.6 + 0.46 k reads 5 m in some second
    times = 0.1 * np.arange(301)
    read = readings_m((4.6 * times)[None], 1.0, 0.0, 0.0, 1.0)
    assert steepest_m_s(read, 10, 0.1)[0] == pytest.approx(5.0)
    # over ten seconds the step is a tenth of it: 46 m are read as 46, or 47 at the most
    assert steepest_m_s(read, 100, 0.1)[0] <= 4.7 + 1e-9


@pytest.mark.parametrize(
    ("indicated_m", "temperature_C", "true_m"), [(90, 0, 85.3), (90, 30, 94.7), (200, 30, 210.4)]
)
def test_a_warm_day_is_no_error_of_a_device(indicated_m: float, temperature_C: float, true_m: float) -> None:
    # hand calculation: true = indicated * T / 288.15 K, the same for every device
    found = true_height_m(indicated_m, temperature_C + 273.15)
    assert round(found, 1) == true_m
