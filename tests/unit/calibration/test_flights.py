"""What flights teach: coverage, errors halved, outliers, what is prior stays prior."""

from dataclasses import replace
from types import ModuleType

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.stats import binom

from glidewright.base.errors import InputError
from glidewright.calibration import flights as module
from glidewright.calibration.flights import learn
from glidewright.calibration.flown import COLUMN
from glidewright.calibration.posterior import Posterior
from glidewright.calibration.predicted import predicted
from glidewright.calibration.scores import Score
from glidewright.calibration.season import season_of
from glidewright.calibration.unknowns import Unknowns
from glidewright.domain.correction import Correction
from glidewright.domain.logbook import Flight, SetUp
from glidewright.domain.model import Model

PAIRS = 30


def test_nothing_to_learn_from_leaves_the_prior(demo: Model, three_flights: list[Flight]) -> None:
    season = season_of(demo, None, three_flights)
    prior = Posterior((Score("motor.kv", "m28-1020"),), np.array([0.5]), np.array([[0.2]]))
    assert learn(season, [], prior) is prior


def test_intervals_hold_the_truth_and_the_error_of_the_height_is_halved(
    demo: Model, coverage: ModuleType
) -> None:
    # A seeded part of studies/calibration_coverage.py, which runs 200: 80 % intervals of the height of a
    # fourth flight. The bounds are those of a count of 30 whose true share is 72 to 88 %: outside of them
    # with a chance of one in a hundred.
    pairs = [coverage.one_pair(demo, None, seed, learned_from=(0, 3)) for seed in range(1000, 1000 + PAIRS)]
    inside = sum(pair.height_in for pair in pairs)
    assert binom.ppf(0.005, PAIRS, 0.72) <= inside <= binom.ppf(0.995, PAIRS, 0.88)
    before, after = (
        np.median([getattr(p, name) for p in pairs]) for name in ("error_before_m", "error_after_m")
    )
    assert after <= 0.5 * before
    inputs = float(np.mean([pair.inputs_in for pair in pairs]))
    assert 0.65 <= inputs <= 0.92


def test_without_curvature_it_is_what_a_general_least_squares_solver_finds(
    demo: Model, three_flights: list[Flight], monkeypatch: pytest.MonkeyPatch
) -> None:
    # Outside reference: scipy.optimize.least_squares over the same residuals, shared and own scores together,
    # on a model made linear, with tails so long that every weight is one.
    season = season_of(demo, None, three_flights)
    places = list(range(len(season.flown)))
    unknowns = Unknowns(season, places, Posterior.none())
    sizes = [launch.own.shape[0] for launch in unknowns.launches]
    state = module._State(
        unknowns.prior_mean.copy(),
        np.eye(unknowns.basis.size),
        [np.zeros(n) for n in sizes],
        [np.ones(n) for n in sizes],
    )
    linear = module._linear(unknowns, state)
    real = module.practice
    monkeypatch.setattr(module, "practice", lambda name: 1e9 if name == "tails" else real(name))

    def made_linear(_: Unknowns, state: module._State) -> list[module._Linear]:
        return [
            replace(
                one,
                effect=np.full_like(one.effect, np.inf),
                miss=one.miss - one.shared @ state.shared - one.own @ own,
            )
            for one, own in zip(linear, state.owns, strict=True)
        ]

    monkeypatch.setattr(module, "_linear", made_linear)
    found = learn(season, places, Posterior.none())

    def residuals(all_scores: np.ndarray) -> np.ndarray:
        shared, rest = all_scores[: unknowns.basis.size], all_scores[unknowns.basis.size :]
        parts = [all_scores]
        for one, size in zip(linear, sizes, strict=True):
            own, rest = rest[:size], rest[size:]
            parts.append((one.miss - one.shared @ shared - one.own @ own) / one.sigma)
        return np.concatenate(parts)

    reference = least_squares(residuals, np.zeros(unknowns.basis.size + sum(sizes)), method="lm")
    size = unknowns.basis.size
    np.testing.assert_allclose(found.mean, reference.x[:size], atol=2e-3)
    covariance = np.linalg.inv(reference.jac.T @ reference.jac)[:size, :size]
    np.testing.assert_allclose(found.covariance, covariance, atol=1e-4)


def test_a_season_without_a_thermometer_starts_from_standard_air(
    demo: Model, three_flights: list[Flight]
) -> None:
    untold = demo.model_copy(update={"field": demo.field.model_copy(update={"temperature_K": None})})
    calm = three_flights[0].weather.model_copy(update={"temperature_K": None})
    season = season_of(
        untold, None, [flight.model_copy(update={"weather": calm}) for flight in three_flights]
    )
    warmer = [float(one.start[2]) for one in season.flown]  # motor over air before each launch
    assert warmer[:2] == [0.0, 0.0]
    assert warmer[2] > 0.0  # the second launch of its day


def test_a_thermal_in_one_climb_does_not_move_the_model(demo: Model, three_flights: list[Flight]) -> None:
    season = season_of(demo, None, three_flights)
    places = list(range(len(season.flown)))
    calm = learn(season, places, Posterior.none())
    lifted = list(season.flown)
    at = int(np.flatnonzero(lifted[1].observed == COLUMN["height_at_stop_m"])[0])
    read = lifted[1].read.copy()
    read[at] += 40.0  # 1.6 m/s of lift over the whole motor run
    lifted[1] = replace(lifted[1], read=read)
    moved = learn(replace(season, flown=tuple(lifted)), places, Posterior.none())
    last = len(season.flown) - 1
    column = COLUMN["height_at_stop_m"]
    heights = [float(np.median(predicted(season, last, p.lasting())[:, column])) for p in (calm, moved)]
    assert abs(heights[1] - heights[0]) < 0.25 * 40.0  # the mean of four would move by 10 m


def test_flights_narrow_and_a_second_season_narrows_more(demo: Model, three_flights: list[Flight]) -> None:
    season = season_of(demo, None, three_flights)
    last = len(season.flown) - 1
    column = COLUMN["height_at_stop_m"]
    widths = []
    for count in (0, 1, 3):
        posterior = learn(season, list(range(count)), Posterior.none())
        draws = predicted(season, last, posterior.lasting())[:, column]
        widths.append(float(np.ptp(np.quantile(draws, (0.1, 0.9)))))
    assert widths[1] < 0.5 * widths[0]
    assert widths[2] < widths[1]


def test_flights_teach_in_any_order_nearly_the_same(demo: Model, three_flights: list[Flight]) -> None:
    season = season_of(demo, None, three_flights)
    at_once = learn(season, [0, 1, 2, 3], Posterior.none())
    by_one = Posterior.none()
    for place in range(4):
        by_one = learn(season, [place], by_one)
    mean, covariance = by_one.over(at_once.scores)
    sigma = np.sqrt(np.diag(at_once.covariance))
    assert np.abs(mean - at_once.mean).max() < 0.6
    np.testing.assert_allclose(np.sqrt(np.diag(covariance)), sigma, atol=0.15)


def test_a_correction_and_its_scores_are_two_sides_of_one_thing() -> None:
    names = ("launch.climb_speed", "motor.kv")
    covariance = np.array([[0.8, 0.1], [0.1, 0.3]])
    own = Posterior.of_correction(Correction(names, np.array([0.2, -0.4]), covariance), {"motor": "m"})
    assert own.scores == (Score("launch.climb_speed"), Score("motor.kv", "m"))
    # half of the spread of the airspeed lasts (flying.toml): 0.2 / root 0.5, (0.8 - 0.5) / 0.5
    np.testing.assert_allclose(own.mean, [0.2 / np.sqrt(0.5), -0.4])
    np.testing.assert_allclose(own.covariance, [[0.6, 0.1 / np.sqrt(0.5)], [0.1 / np.sqrt(0.5), 0.3]])


def test_what_held_for_a_day_is_over_the_next_day() -> None:
    scores = (Score("motor.kv", "m"), Score("field.temperature", "", "2025-05-03"))
    posterior = Posterior(scores, np.array([0.1, 0.9]), np.array([[0.5, 0.1], [0.1, 0.4]]))
    lasting = posterior.lasting()
    assert lasting.scores == scores[:1]
    assert lasting.covariance.tolist() == [[0.5]]
    mean, covariance = posterior.over([scores[1], Score("pack.capacity", "p")])
    assert mean.tolist() == [0.9, 0.0]
    assert covariance.tolist() == [[0.4, 0.0], [0.0, 1.0]]


def test_a_part_that_the_drawer_does_not_hold_is_refused(demo: Model, three_flights: list[Flight]) -> None:
    strange = three_flights[0].model_copy(update={"set_up": SetUp(pack="p2-55")})
    with pytest.raises(InputError, match=r"pack of the drawer.*p2-550"):
        season_of(demo, None, [strange])


def test_another_pack_teaches_of_the_airframe_and_not_of_the_fitted_pack(
    demo: Model, three_flights: list[Flight]
) -> None:
    other = [flight.model_copy(update={"set_up": SetUp(pack="p2-800")}) for flight in three_flights]
    season = season_of(demo, None, other)
    found = learn(season, list(range(len(season.flown))), Posterior.none())
    names = {(score.name, score.of) for score in found.scores}
    assert ("pack.resistance", "p2-800") in names
    assert ("pack.resistance", "p2-550") not in names
    assert season.crafts[0].mass_shift_kg == pytest.approx(0.048 - 0.034)


def test_a_model_without_a_mass_is_refused(demo: Model, three_flights: list[Flight]) -> None:
    items = tuple(
        item.model_copy(update={"part": item.part.model_copy(update={"mass_kg": None})})
        if item.name == "pod"
        else item
        for item in demo.items
    )
    with pytest.raises(InputError, match="no mass is known of pod"):
        season_of(demo.model_copy(update={"items": items}), None, three_flights)
