"""Bench readings: exact where theory is exact, honest where it is not."""

import numpy as np
import pytest
from scipy.optimize import least_squares

from glidewright.base.errors import InputError
from glidewright.base.figure import Given
from glidewright.calibration import bench
from glidewright.calibration.bench import learn_from_bench
from glidewright.calibration.mode_and_moments import Costs
from glidewright.domain.bench import BenchReading
from glidewright.domain.model import Model
from glidewright.forecast.predict import forecast
from glidewright.forecast.setup import prepare


def given(value: float) -> Given:
    return Given(value=value, grade="measured")


def with_bench(model: Model, *readings: BenchReading) -> Model:
    return model.model_copy(update={"bench": readings})


FULL = BenchReading(
    voltage_V=given(7.3), current_A=given(13.5), revs_per_s=given(5900 / 60), thrust_N=given(7.4)
)
BARE = BenchReading(voltage_V=given(7.9), current_A=given(0.9), revs_per_s=given(7800 / 60), propeller="none")


def test_no_readings_teach_nothing(demo: Model) -> None:
    assert learn_from_bench(demo).names == ()


def test_the_mode_is_what_a_general_least_squares_solver_finds(
    demo: Model, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Outside reference: scipy.optimize.least_squares on the same residuals (prior and readings).
    model = with_bench(demo, FULL, BARE)
    sets = [bench._prepare(model, i, r) for i, r in enumerate(model.bench, start=1)]
    taught = [name for name in bench.TAUGHT if any(name in one.taught for one in sets)]
    names = (*taught, *(one.bench.volts_name for one in sets))

    def residuals(scores: np.ndarray) -> np.ndarray:
        parts = [scores]
        for one in sets:
            expected = np.log(bench.predicted(one.bench, names, scores[None]))[0]
            parts.append((one.log_read - expected) / one.sigma)
        return np.concatenate(parts)

    reference = least_squares(residuals, np.zeros(len(names)), xtol=1e-13, ftol=1e-13, gtol=1e-13)
    covariance = np.linalg.inv(reference.jac.T @ reference.jac)
    handed_over = []
    real = bench.moments

    def seen(costs: Costs, mode: np.ndarray, spread: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        handed_over.append((mode, spread))
        return real(costs, mode, spread)

    monkeypatch.setattr(bench, "moments", seen)
    learn_from_bench(model)
    mode, spread = handed_over[0]
    np.testing.assert_allclose(mode, reference.x, atol=1e-4)
    np.testing.assert_allclose(spread, covariance, atol=1e-3)


def test_moments_are_those_of_a_long_random_walk(demo: Model) -> None:
    # Outside reference: a plain Metropolis walk over the same posterior (Metropolis et al. 1953), 40 walkers.
    one = bench._prepare(with_bench(demo, FULL), 1, FULL)
    names = (*one.taught, one.bench.volts_name)
    found = learn_from_bench(with_bench(demo, FULL))
    kept = len(one.taught)
    rng = np.random.default_rng(5)
    walkers, steps, burn = 400, 3000, 600
    place = np.zeros((walkers, len(names)))
    cost = bench._costs([one], names, place)
    factor = np.linalg.cholesky(found.covariance + 1e-9 * np.eye(kept))
    total, square, count = np.zeros(kept), np.zeros(kept), 0
    for step in range(steps):
        move = 0.1 * rng.standard_normal((walkers, len(names)))
        move[:, :kept] = 0.7 * rng.standard_normal((walkers, kept)) @ factor.T
        asked = bench._costs([one], names, place + move)
        taken = np.log(rng.random(walkers)) < 0.5 * (cost - asked)
        place[taken] += move[taken]
        cost[taken] = asked[taken]
        if step >= burn:
            total += place[:, :kept].sum(axis=0)
            square += (place[:, :kept] ** 2).sum(axis=0)
            count += walkers
    mean = total / count
    sigma = np.sqrt(square / count - mean**2)
    # Bounds: the walk's own error of a mean is about 0.02 here, that of 4096 weighted draws about 0.03.
    np.testing.assert_allclose(found.mean, mean, atol=0.1)
    np.testing.assert_allclose(np.sqrt(np.diag(found.covariance)), sigma, atol=0.08)


def test_the_truth_lies_in_the_band_as_often_as_it_should(demo: Model) -> None:
    # 80 synthetic benches from the prior, read with the errors of the meters: the 80 % band of the
    # least known loss must hold the truth in 80 % of them, within 3 standard errors of a count of 80.
    base = bench._prepare(with_bench(demo, FULL), 1, FULL)
    names = (*base.taught, base.bench.volts_name)
    rng = np.random.default_rng(11)
    inside = 0
    trials = 80
    for _ in range(trials):
        truth = rng.standard_normal(len(names))
        exact = bench.predicted(base.bench, names, truth[None])[0]
        noisy = exact * np.exp(base.sigma * rng.standard_normal(base.sigma.size))
        values = dict(zip(base.bench.observed, noisy, strict=True))
        reading = BenchReading(voltage_V=given(7.3), **{name: given(float(v)) for name, v in values.items()})
        found = learn_from_bench(with_bench(demo, reading))
        place = found.names.index("motor.apparent_resistance")
        sigma = np.sqrt(found.covariance[place, place])
        inside += abs(truth[names.index("motor.apparent_resistance")] - found.mean[place]) < 1.2816 * sigma
    assert abs(inside / trials - 0.8) < 3 * np.sqrt(0.8 * 0.2 / trials)


def test_a_reading_narrows_current_height_and_speed(demo: Model) -> None:
    widths = {}
    for key, model in (("before", demo), ("after", with_bench(demo, FULL))):
        correction = learn_from_bench(model)
        found = forecast(prepare(model, None, 256, correction), with_trace=False, with_many=False)
        widths[key] = {
            name: np.ptp(np.quantile(found.prediction.values[name], (0.1, 0.9)))
            for name in ("static_pack_current_A", "static_revs_per_s", "static_thrust_N", "mean_climb_m_s")
        }
    for name, before in widths["before"].items():
        assert widths["after"][name] < 0.7 * before, name


def test_bare_shaft_teaches_idle_current_and_kv(demo: Model) -> None:
    found = learn_from_bench(with_bench(demo, BARE))
    sigma = dict(zip(found.names, np.sqrt(np.diag(found.covariance)), strict=True))
    assert sigma["motor.no_load_current"] < 0.4
    assert sigma["motor.kv"] < 0.4
    assert sigma["propeller.power"] > 0.99


def test_the_pack_is_learned_when_its_charge_is_known(demo: Model) -> None:
    reading = FULL.model_copy(update={"charge": given(1.0)})
    found = learn_from_bench(with_bench(demo, reading))
    sigma = dict(zip(found.names, np.sqrt(np.diag(found.covariance)), strict=True))
    assert sigma["pack.resistance"] < 0.9
    assert "read 7.30 V" in found.evidence[0]


def test_a_part_that_was_not_on_the_bench_is_not_taught(demo: Model) -> None:
    other = next(p.id for p in demo.drawer if p.kind == "propeller" and p.id != "f11x6" and p.folding)
    found = learn_from_bench(with_bench(demo, FULL.model_copy(update={"propeller": other})))
    assert "propeller.power" not in found.names
    assert "motor.kv" in found.names


@pytest.mark.parametrize(
    ("reading", "words"),
    [
        (BenchReading(voltage_V=given(7.4)), "must hold a current, a speed or a thrust"),
        (BenchReading(current_A=given(10.0)), "must hold volts, or the charge of the pack"),
        (FULL.model_copy(update={"motor": "zzz"}), "must name a motor; 'zzz' came"),
    ],
)
def test_a_reading_that_cannot_be_used_is_refused_in_one_sentence(
    demo: Model, reading: BenchReading, words: str
) -> None:
    with pytest.raises(InputError, match=words) as caught:
        learn_from_bench(with_bench(demo, reading))
    assert caught.value.problems[0].where.startswith("model.toml [[bench]] 1")
