"""The next reading and the next launches: what is expected before it is taken or flown."""

from dataclasses import replace
from types import ModuleType

import numpy as np
import pytest

from glidewright.base.figure import Given
from glidewright.calibration.flights import learn
from glidewright.calibration.learned import as_correction
from glidewright.calibration.next_launch import next_launches
from glidewright.calibration.next_reading import Candidate, _left, ranked
from glidewright.calibration.posterior import Posterior
from glidewright.calibration.season import season_of, with_next
from glidewright.domain.bench import BenchReading
from glidewright.domain.model import Model
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import prepare
from glidewright.models.launch.series import CRITERIA

FIGURES = ("mean_climb_m_s", "sink_least_m_s")


@pytest.fixture(scope="module")
def found(demo: Model) -> Forecast:
    return forecast(prepare(demo, None, 256), with_trace=False, with_many=False)


def left_of(found: Forecast, name: str) -> dict[str, float]:
    return next(dict(one.left) for one in ranked(found, FIGURES) if one.candidate.name == name)


def test_what_is_left_is_that_of_the_best_linear_estimate() -> None:
    # by hand: y = f + e with equal variances leaves half of the variance of f
    random = np.random.default_rng(3)
    f, e = random.standard_normal((2, 4096))
    assert _left(f, (f + e)[:, None]) == pytest.approx(np.sqrt(0.5), abs=0.02)
    assert _left(f, e[:, None]) == pytest.approx(1.0, abs=0.01)
    assert _left(f, f[:, None]) == pytest.approx(0.0, abs=0.03)
    both = np.stack([f + e, f - e], axis=1)  # together they know f exactly
    assert _left(f, both) == pytest.approx(0.0, abs=0.05)
    assert _left(np.ones(4096), f[:, None]) == 1.0


def test_a_bench_reading_is_worth_what_it_turns_out_to_narrow(demo: Model, found: Forecast) -> None:
    expected = left_of(found, "bench")["mean_climb_m_s"]
    at_rest = {
        name: float(np.median(found.prediction.values[name]))
        for name in ("static_pack_current_A", "static_revs_per_s", "static_thrust_N")
    }
    reading = BenchReading(
        charge=Given(value=1.0, grade="measured"),
        voltage_V=None,
        current_A=Given(value=at_rest["static_pack_current_A"], grade="measured"),
        revs_per_s=Given(value=at_rest["static_revs_per_s"], grade="measured"),
        thrust_N=Given(value=at_rest["static_thrust_N"], grade="measured"),
    )
    from glidewright.calibration.bench import learn_from_bench  # noqa: PLC0415 - one use

    correction = learn_from_bench(demo.model_copy(update={"bench": (reading,)}))
    after = forecast(prepare(demo, None, 256, correction), with_trace=False, with_many=False)
    widths = [np.std(one.prediction.values["mean_climb_m_s"]) for one in (found, after)]
    assert expected < 0.6
    assert expected == pytest.approx(widths[1] / widths[0], abs=0.2)


def test_readings_narrow_what_they_are_about(found: Forecast) -> None:
    glides = left_of(found, "glides")
    assert glides["sink_least_m_s"] < glides["mean_climb_m_s"]
    assert left_of(found, "log")["mean_climb_m_s"] < 0.5
    ranks = ranked(found, FIGURES)
    assert [one.mean_left for one in ranks] == sorted(one.mean_left for one in ranks)
    assert all(0.0 <= value <= 1.0 for one in ranks for value in one.left.values())


def test_a_reading_of_what_is_known_already_is_worth_little(demo: Model, found: Forecast) -> None:
    weighed = left_of(found, "weighing")["mean_climb_m_s"]
    assert 0.8 < weighed <= 1.0
    assert isinstance(ranked(found, FIGURES)[0].candidate, Candidate)
    del demo


def test_the_pack_goes_on_from_where_the_log_left_it(demo: Model, truths: ModuleType) -> None:
    outing = [truths.Outing("2025-05-24", 3)]
    _, flights = truths.fly(demo, None, outing, np.random.Generator(np.random.PCG64(8)))
    season = season_of(demo, None, flights)
    learned = learn(season, [0, 1, 2], Posterior.none())
    season = season.at(learned.centre())
    after = with_next(season, 2, learned.centre())
    used = sum(launch.charge.value or 0.0 for launch in flights[0].launches)
    # the launches as logged, and the radio between them
    assert used < after.start[0] < used + 3 * 600.0
    first = flights[0].launches[0].mean_climb.value
    assert first is not None
    ahead = next_launches(season, 2, learned, first)
    assert np.all(np.diff(ahead.charge_left[:, :2], axis=1) < 0.0)
    assert np.nanmedian(ahead.climb_m_s[:, 1]) < np.nanmedian(ahead.climb_m_s[:, 0])
    assert 0 <= np.median(ahead.useful) < 8
    assert set(ahead.bound_by) <= set(range(len(CRITERIA)))


def test_a_weaker_start_leaves_fewer_launches(demo: Model, truths: ModuleType) -> None:
    outing = [truths.Outing("2025-05-24", 2)]
    _, flights = truths.fly(demo, None, outing, np.random.Generator(np.random.PCG64(9)))
    season = season_of(demo, None, flights)
    learned = learn(season, [0, 1], Posterior.none())
    first = flights[0].launches[0].mean_climb.value
    assert first is not None
    full = next_launches(season, 0, learned, first)
    later = next_launches(season, 1, learned, first)
    assert later.useful.mean() < full.useful.mean()
    proud = next_launches(season, 1, learned, 1.6 * first)  # everything is sluggish against such a first one
    assert proud.useful.mean() < 0.5
    lasting = as_correction(learned, demo)
    assert lasting.names
    assert replace(season, flown=season.flown[:1]).flown[0] is season.flown[0]
