"""Propeller curves: evaluation, laws, origins, refusals."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import CubicHermiteSpline

from glidewright.data import coefficients
from glidewright.models.power.propeller import (
    interpolate,
    power_coefficient,
    propeller_curve,
    thrust_coefficient,
)
from glidewright.models.power.propeller_family import blade_families, numbers

INCH_M = 0.0254
NODES = np.array([1.0, 0.9, 0.7, 0.75, 0.2, -0.3])


def test_interpolation_is_the_hermite_spline_of_scipy_with_central_slopes() -> None:
    slopes = (
        np.concatenate([[NODES[1] - NODES[0]], (NODES[2:] - NODES[:-2]) / 2, [NODES[-1] - NODES[-2]]]) / 0.1
    )
    place = np.linspace(0.0, 0.5, 101)
    theirs = CubicHermiteSpline(np.arange(6) * 0.1, NODES, slopes)(place)
    assert np.allclose(interpolate(NODES, 0.1, place), theirs, rtol=0, atol=1e-14)


def test_interpolation_is_straight_beyond_the_last_node_and_flat_below_zero() -> None:
    assert interpolate(NODES, 0.1, 0.7) == pytest.approx(-0.3 - 0.5 * 2)
    assert interpolate(NODES, 0.1, -1.0) == NODES[0]
    assert interpolate(np.stack([NODES, 2 * NODES]), 0.1, np.zeros((3, 4))).shape == (2, 3, 4)


SIZES = coefficients("propeller_sizes")["size"]


@pytest.mark.parametrize("size", SIZES, ids=lambda size: size["key"])
def test_every_measured_size_comes_back_measured_and_behaves(size: dict) -> None:
    curve = propeller_curve(size["diameter_m"], size["pitch_m"], size["folding"], size["family"])
    assert curve.origin == "measured size"
    assert np.array_equal(curve.thrust_base, numbers(size["thrust_base"]))
    assert (
        len({len(t) for t in (curve.thrust_base, curve.thrust_slope, curve.power_base, curve.power_slope)})
        == 1
    )
    assert curve.revs_low_per_s < curve.revs_ref_per_s < curve.revs_high_per_s
    zero = curve.zero_thrust_advance_ratio
    assert abs(thrust_coefficient(curve, zero, curve.revs_ref_per_s)) < 1e-4
    useful = np.linspace(0.35, 1.0, 60) * zero
    for revs_per_s in (curve.revs_low_per_s, curve.revs_high_per_s):
        thrust = thrust_coefficient(curve, useful, revs_per_s)
        # falls; steep blades are flat where stalled: 12x13 at 5004 rpm rises 0.3 % from J 0.30 to 0.47
        assert np.all(thrust - np.minimum.accumulate(thrust) < 0.01 * thrust[0])
        pulling = thrust > 0.1 * thrust[0]
        efficiency = (useful * thrust / power_coefficient(curve, useful, revs_per_s))[pulling]
        assert np.all((efficiency > 0.0) & (efficiency < 0.85))


@given(
    advance_ratio=st.floats(-0.5, 3.0),
    revs_per_s=st.floats(0.1, 1000.0),
    size=st.sampled_from(SIZES),
)
def test_revs_outside_the_measured_range_count_as_its_end(
    advance_ratio: float, revs_per_s: float, size: dict
) -> None:
    curve = propeller_curve(size["diameter_m"], size["pitch_m"], size["folding"], size["family"])
    held = min(max(revs_per_s, curve.revs_low_per_s), curve.revs_high_per_s)
    for coefficient in (thrust_coefficient, power_coefficient):
        here = coefficient(curve, advance_ratio, revs_per_s)
        assert here == coefficient(curve, max(advance_ratio, 0.0), held)


@given(
    diameter_in=st.floats(4.0, 20.0),
    pitch_ratio=st.floats(0.2, 1.5),
    folding=st.booleans(),
)
def test_the_family_model_is_physical_everywhere_it_answers(
    diameter_in: float, pitch_ratio: float, folding: bool
) -> None:
    diameter_m = diameter_in * INCH_M
    curve = propeller_curve(diameter_m, pitch_ratio * diameter_m, folding)
    advance_ratio = np.linspace(0.0, 0.95, 30) * curve.zero_thrust_advance_ratio
    assert np.all(thrust_coefficient(curve, advance_ratio, curve.revs_ref_per_s) > 0.0)
    assert np.all(power_coefficient(curve, advance_ratio, curve.revs_ref_per_s) > 0.0)
    assert curve.thrust_sigma >= (0.07 if folding else 0.15)
    assert (curve.origin == "family model, outside the measured sizes") == ("outside" in curve.because)


def test_the_band_grows_with_the_distance_from_the_measured_sizes() -> None:
    inside, near, far = (propeller_curve(d * INCH_M, 0.6 * d * INCH_M, True) for d in (13.5, 17.0, 20.0))
    assert inside.origin == "family model"
    assert near.origin == far.origin == "family model, outside the measured sizes"
    assert inside.thrust_sigma < near.thrust_sigma < far.thrust_sigma
    # 3 widths of ln(16 / 9): the packaged judgement
    growth = 1 + 3.0 * math.log(20 / 16) / math.log(16 / 9)
    assert far.power_sigma / inside.power_sigma == pytest.approx(growth, rel=1e-4)


def test_a_folding_size_of_unknown_make_keeps_the_curve_and_widens_the_band() -> None:
    known = propeller_curve(12 * INCH_M, 6 * INCH_M, True, "ancf")
    unknown = propeller_curve(12 * INCH_M, 6 * INCH_M, True)
    assert unknown.origin == known.origin == "measured size"
    assert np.array_equal(unknown.thrust_base, known.thrust_base)
    within = coefficients("propeller_folding")["band"]["known_family"]
    assert unknown.thrust_sigma == pytest.approx(math.hypot(known.thrust_sigma, within["thrust_sigma"]))
    assert "another make" in unknown.because


def test_fixed_blades_of_unknown_make_are_not_taken_for_a_measured_one() -> None:
    assert propeller_curve(10 * INCH_M, 7 * INCH_M, False).origin == "family model"
    assert propeller_curve(10 * INCH_M, 7 * INCH_M, False, "mae").origin == "measured size"
    slow, thin = (propeller_curve(10 * INCH_M, 5 * INCH_M, False, key) for key in ("apcsf", "grcp"))
    assert slow.origin == thin.origin == "family model"
    assert slow.thrust_base[0] > 1.2 * thin.thrust_base[0]


def test_one_percent_is_the_same_size_and_two_percent_is_not() -> None:
    assert propeller_curve(1.009 * 0.2794, 0.1524, True, "ancf").origin == "measured size"
    assert propeller_curve(1.02 * 0.2794, 0.1524, True, "ancf").origin == "family model"


@pytest.mark.parametrize(
    ("size_in", "more", "sentence"),
    [
        ((3, 2), {}, "the diameter must lie between 4 and 20 in, but is 3 in"),
        ((24, 12), {}, "the diameter must lie between 4 and 20 in, but is 24 in"),
        ((6, 12), {}, "pitch/diameter must lie between 0.2 and 1.5, but is 2 for 6x12 in"),
        ((12, 2), {}, "pitch/diameter must lie between 0.2 and 1.5, but is 0.167"),
        ((math.nan, 6), {}, "the diameter must lie between"),
        ((11, 6), {"blades": 3}, "the propeller must have 2 blades, but has 3"),
        ((11, 6), {"blade_family": "apce"}, "must be one of ancf, but is apce"),
    ],
)
def test_absurd_propellers_are_refused_in_a_sentence(size_in: tuple, more: dict, sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        propeller_curve(size_in[0] * INCH_M, size_in[1] * INCH_M, True, **more)


def test_a_curve_may_be_scaled_by_replacing_a_field() -> None:
    curve = propeller_curve(0.2794, 0.1524, True, "ancf")
    doubled = replace(curve, thrust_base=2 * curve.thrust_base, thrust_slope=2 * curve.thrust_slope)
    assert thrust_coefficient(doubled, 0.3, 90.0) == pytest.approx(2 * thrust_coefficient(curve, 0.3, 90.0))


def test_blade_families_are_those_of_the_measured_sizes() -> None:
    for folding in (True, False):
        assert set(blade_families(folding)) == {s["family"] for s in SIZES if s["folding"] == folding}
