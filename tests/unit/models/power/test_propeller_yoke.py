"""Folding blades on another yoke: by hand, laws, refusals, the carried curve."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.models.power.propeller import power_coefficient, propeller_curve, thrust_coefficient
from glidewright.models.power.propeller_yoke import curve_on_yoke, folding_geometry


def test_a_wider_yoke_by_hand() -> None:
    # 12x6 in, yoke 8 mm wider: r = 0.75 * 152.4 = 114.3 mm, tan b = 152.4 / (2 pi 114.3) = 0.212207,
    # p' = 2 pi * 118.3 * 0.212207 = 157.733 mm, D' = 304.8 + 8 = 312.8 mm, doubt (157.733/152.4 - 1) / 2
    changed = folding_geometry(0.3048, 0.1524, 0.050, 0.042)
    assert changed.diameter_m == pytest.approx(0.3128, abs=1e-9)
    assert changed.pitch_m == pytest.approx(0.157733, abs=1e-6)
    assert changed.added_sigma == pytest.approx(0.01750, abs=1e-5)
    assert "geometry" in changed.because


def test_turned_blades_by_hand() -> None:
    # 2 degrees coarser on the marked yoke: b = 11.981 deg, tan 13.981 deg = 0.248977,
    # p' = 2 pi * 114.3 * 0.248977 = 178.807 mm
    changed = folding_geometry(0.3048, 0.1524, 0.042, 0.042, math.radians(2.0))
    assert changed.diameter_m == 0.3048
    assert changed.pitch_m == pytest.approx(0.178807, abs=2e-5)


@given(st.floats(0.2, 0.4), st.floats(0.3, 1.2), st.floats(0.0, 0.06))
def test_the_yoke_of_the_mark_changes_nothing(diameter_m: float, ratio: float, yoke_m: float) -> None:
    same = folding_geometry(diameter_m, ratio * diameter_m, yoke_m, yoke_m)
    assert same.diameter_m == diameter_m
    assert same.pitch_m == pytest.approx(ratio * diameter_m, rel=1e-12)
    assert same.added_sigma == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ((0.3, -0.1, 0.04, 0.04), "must be above 0"),
        ((0.3, 0.15, 0.2, 0.04), "at most a quarter of the diameter"),
        ((0.3, 0.15, 0.04, 0.04, 0.5), "at most 15 degrees, but the angle is 28.6 degrees"),
    ],
)
def test_absurd_yokes_are_refused(arguments: tuple, sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        folding_geometry(*arguments)


def test_the_marked_yoke_keeps_the_marked_curve() -> None:
    same = curve_on_yoke(0.3048, 0.1524, folding_geometry(0.3048, 0.1524, 0.042, 0.042), "ancf")
    marked = propeller_curve(0.3048, 0.1524, True, "ancf")
    place = np.linspace(0.0, 0.7, 20)
    assert np.allclose(
        thrust_coefficient(same, place, 90.0), thrust_coefficient(marked, place, 90.0), atol=1e-12
    )


def test_a_wider_yoke_pulls_harder_for_more_power_and_is_less_sure() -> None:
    marked = propeller_curve(0.3048, 0.1524, True, "ancf")
    wide = curve_on_yoke(0.3048, 0.1524, folding_geometry(0.3048, 0.1524, 0.050, 0.042), "ancf")
    pull, wide_pull = (float(thrust_coefficient(c, 0.0, 90.0)) * c.diameter_m**4 for c in (marked, wide))
    take, wide_take = (float(power_coefficient(c, 0.0, 90.0)) * c.diameter_m**5 for c in (marked, wide))
    assert 1.05 < wide_pull / pull < 1.25
    assert 1.05 < wide_take / take < 1.35
    assert wide.thrust_sigma == pytest.approx(math.hypot(marked.thrust_sigma, 0.0175), abs=1e-5)
    assert abs(thrust_coefficient(wide, wide.zero_thrust_advance_ratio, wide.revs_ref_per_s)) < 1e-3
    assert "geometry" in wide.because
    assert "measured in the wind tunnel" in wide.because


def test_a_size_of_the_family_model_is_carried_to_the_family_model_of_the_new_size() -> None:
    mark = (0.2921, 0.1651)  # 11.5x6.5 in, not measured
    geometry = folding_geometry(*mark, 0.046, 0.042)
    carried = curve_on_yoke(*mark, geometry)
    direct = propeller_curve(geometry.diameter_m, geometry.pitch_m, True)
    assert direct.origin == "family model"
    assert carried.thrust_base == pytest.approx(direct.thrust_base, abs=1e-12)
    assert carried.power_slope == pytest.approx(direct.power_slope, abs=1e-12)
    assert carried.advance_ratio_step == pytest.approx(direct.advance_ratio_step, rel=1e-12)


@pytest.mark.parametrize("wider_m", [0.0, 1e-5])
def test_a_yoke_that_changes_nothing_is_not_spoken_of(wider_m: float) -> None:
    same = folding_geometry(0.2794, 0.1524, 0.042 + wider_m, 0.042)  # 11x6 in
    assert same.because == ""
    assert "yoke" not in curve_on_yoke(0.2794, 0.1524, same, "ancf").because


def test_a_yoke_that_changes_the_size_is_spoken_of() -> None:
    wider = folding_geometry(0.2794, 0.1524, 0.052, 0.042)
    assert wider.because.startswith("the yoke makes")
    assert "the yoke makes" in curve_on_yoke(0.2794, 0.1524, wider, "ancf").because
