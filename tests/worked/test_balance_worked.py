"""Balance against worked figures from outside."""

import numpy as np
from outside import held, held_all

from glidewright.models.mass.balance import balance, condition_on_sum

BEER = "Beer and Johnston, Vector Mechanics for Engineers, table of mass moments of inertia"


def test_tail_dragger_on_two_scales() -> None:
    # Trade shorthand d = D1 * W2 / (W1 + W2), worked as 90 in with 30 and 5 lb -> 12.86 in
    # (eglinflyers.freeforums.org/cg-t82 and rcuniverse 11829477): the same statics as a sum of moments.
    found = balance(np.array([[30.0, 5.0]]), np.array([[0.0, 0, 0], [90.0, 0, 0]]), np.zeros((2, 3)))
    held(
        "balance point behind the main wheels, 90 in with 30 and 5 lb",
        found.centre_m[0, 0],
        12.86,
        abs=0.005,
        unit="in",
        source="trade shorthand d = D W2 / (W1 + W2), worked in two forum threads",
        because="half of the last printed digit",
    )


def test_slender_rod_about_its_centre() -> None:
    # Textbook (Beer and Johnston, Vector Mechanics, table of mass moments): slender rod m L^2 / 12.
    found = balance(np.array([[0.2]]), np.zeros((1, 3)), np.array([[0.0, 2.0, 0.0]]))
    held(
        "slender rod about its centre",
        found.inertia_kg_m2[0, 0, 0],
        0.2 * 2.0**2 / 12,
        rel=1e-12,
        unit="kg m2",
        source=BEER,
        because="rounding",
    )
    assert found.inertia_kg_m2[0, 1, 1] == 0.0


def test_box_about_a_corner_axis_by_parallel_axis() -> None:
    # Same table: rectangular prism, m (a^2 + b^2) / 12 about its centre; two halves must give the whole.
    whole = balance(np.array([[3.0]]), np.zeros((1, 3)), np.array([[0.6, 0.4, 0.2]]))
    halves = balance(
        np.array([[1.5, 1.5]]),
        np.array([[-0.15, 0, 0], [0.15, 0, 0]]),
        np.array([[0.3, 0.4, 0.2], [0.3, 0.4, 0.2]]),
    )
    np.testing.assert_allclose(halves.inertia_kg_m2, whole.inertia_kg_m2, atol=1e-15)
    held(
        "box about its centre",
        whole.inertia_kg_m2[0, 2, 2],
        3.0 * (0.6**2 + 0.4**2) / 12,
        rel=1e-6,
        unit="kg m2",
        source=BEER,
        because="rounding, and far more",
    )


def test_one_gram_in_the_nose_moves_the_point() -> None:
    # Arithmetic of the trade: 1 g at 300 mm ahead of the balance point moves a 500 g model 0.6 mm.
    before = balance(np.array([[0.5]]), np.zeros((1, 3)), np.zeros((1, 3)))
    after = balance(np.array([[0.5, 0.001]]), np.array([[0.0, 0, 0], [-0.3, 0, 0]]), np.zeros((2, 3)))
    held(
        "way of the balance point for 1 g 300 mm ahead of it, model of 500 g",
        (before.centre_m - after.centre_m)[0, 0],
        0.0006,
        abs=2e-6,
        unit="m",
        source="arithmetic of the trade",
        because="the trade leaves the gram out of the whole mass",
    )


def test_conditioning_agrees_with_the_normal_equations() -> None:
    # General-purpose reference: the conditional mean and covariance of a multivariate normal, by numpy.
    rng = np.random.default_rng(3)
    mean, spread, noise = np.array([100.0, 50.0, 20.0]), np.array([7.0, 5.0, 1.0]), 0.5
    parts = mean + spread * rng.standard_normal((200_000, 3))
    reading = 181.0 + noise * rng.standard_normal(200_000)
    variance = np.diag(spread**2)
    ones = np.ones(3)
    found, left_over = condition_on_sum(parts, variance, ones, reading, noise**2)
    gain = variance @ ones / (ones @ variance @ ones)
    expected_mean = mean + gain * (181.0 - mean.sum())
    normal = "conditional mean and covariance of a multivariate normal, by numpy"
    # standard errors: of a mean sigma / root n, a spread sigma / root 2n, a variance sigma^2 root (2 / n)
    count = found.shape[0]
    draws = {"source": normal, "because": "99 % of means and spreads of 200 000 draws"}
    off = 2.576 * np.sqrt(np.diag(left_over).max() / count)
    mean_found = found.mean(axis=0)
    held_all("masses after a weighing", mean_found, expected_mean, abs=off, unit="g", **draws)
    left = found.sum(axis=1).std()
    held("spread of the sum after a weighing", left, noise, rel=2.576 / np.sqrt(2 * count), unit="g", **draws)
    off = 2.576 * np.diag(left_over).max() * np.sqrt(2.0 / count)
    held_all("covariance after a weighing", left_over, np.cov(found.T), abs=off, unit="g2", **draws)


def test_one_weighing_after_the_other_is_both_at_once() -> None:
    # Joint conditioning on both readings by numpy: x + C H' (H C H')^-1 (y - H x), scales without an error.
    rng = np.random.default_rng(5)
    variance, parts = np.diag([49.0, 25.0, 1.0]), rng.normal([100.0, 50.0, 20.0], [7.0, 5.0, 1.0], (64, 3))
    both = np.array([[1.0, 0.0, 0.0], [1.0, 1.0, 1.0]])
    readings = np.array([104.0, 181.0])
    alone, left = condition_on_sum(parts, variance, both[0], np.full(64, readings[0]), 0.0)
    found, _ = condition_on_sum(alone, left, both[1], np.full(64, readings[1]), 0.0)
    gain = variance @ both.T @ np.linalg.inv(both @ variance @ both.T)
    held_all(
        "masses after a part and then the whole were weighed",
        found.ravel(),
        (parts + (readings - parts @ both.T) @ gain.T).ravel(),
        rel=1e-9,
        source="conditional mean of a multivariate normal on both readings, by numpy.linalg",
        because="rounding",
    )
