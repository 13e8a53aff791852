import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from glidewright.base.errors import OutsideModelError
from glidewright.domain.geometry_section import plain_name
from glidewright.models.aero import section_table
from glidewright.models.aero.section import (
    alpha_of_cl,
    cd_of_cl,
    coefficients,
    confidence,
    drag_factor,
    highest_lift,
    highest_lift_factor,
    lift_slope,
    lowest_lift,
    names,
    outside,
    section,
    slope_over_thin,
    zero_lift_angle,
    zero_lift_shift_rad,
)
from glidewright.models.aero.section_table import CD, CL, CM, FORCED, FREE, grid

WINGS = ("ag35", "ag24", "sd7037", "e387", "hq209", "clarky", "s3021", "mh32")
TAILS = ("naca0006", "naca0009", "ht13", "ht14", "sd8020", "plate33")
reynolds_numbers = st.floats(4.0e4, 5.0e5)
measured_reynolds_numbers = st.floats(6.0e4, 3.0e5)
roughs = st.floats(0.0, 1.0)


def test_forty_sections_and_more_are_there_with_sound_facts():
    assert len(names()) >= 40
    for name in names():
        one = section(name)
        assert one.name == name
        assert 0.015 < one.thickness < 0.15
        assert -0.01 < one.camber < 0.06
        assert 0.0 <= one.datum_tilt_rad < np.radians(3.5)
        assert one.table.shape == grid().shape
        assert np.all(one.table[..., CD] > 0.0)
        assert np.all(np.isfinite(one.table))


def test_every_value_stays_inside_the_stored_whole_numbers():
    # a value that did not fit would have turned round to the other end and stand out against its neighbours
    for name in names():
        table = section(name).table[..., :3]
        steps = np.abs(np.diff(table, axis=2)).max(axis=(0, 1, 2))
        assert np.all(steps < (0.6, 0.15, 0.15)), name


def test_an_unknown_name_is_told_with_the_nearest_names():
    with pytest.raises(OutsideModelError, match=r"not in the tables; nearest known: .*sd7037"):
        section("SD7O37")


@pytest.mark.parametrize("name", ["", "../ag35", "\N{SNOWMAN}"])
def test_odd_names_are_told_or_read_plainly(name):
    if plain_name(name) in names():
        assert section(name).name == "ag35"
    else:
        with pytest.raises(OutsideModelError, match="known: "):
            section(name)


def test_also_called_names_lead_to_a_section():
    assert section("flat plate").name == "plate33"
    assert section("HQ 2/9") == section("hq209")


@pytest.mark.parametrize("name", [*WINGS, *TAILS])
def test_nodes_give_the_table_itself(name):
    one, nodes = section(name), grid()
    for rough, state in ((0.0, FREE), (1.0, FORCED)):
        found = coefficients(one, nodes.alpha_rad[None, :], nodes.reynolds[:, None], rough)
        for value, column in zip(found, (CL, CD, CM), strict=True):
            np.testing.assert_allclose(value, one.table[state, ..., column], atol=1e-9)


def test_between_nodes_as_by_hand():
    one, nodes = section("sd7037"), grid()
    t = one.table
    alpha = 0.25 * nodes.alpha_rad[30] + 0.75 * nodes.alpha_rad[31]
    reynolds = float(np.sqrt(nodes.reynolds[5] * nodes.reynolds[6]))
    by_hand = 0.0
    for state, share in ((FREE, 0.6), (FORCED, 0.4)):
        low = 0.25 * t[state, 5, 30, CD] + 0.75 * t[state, 5, 31, CD]
        high = 0.25 * t[state, 6, 30, CD] + 0.75 * t[state, 6, 31, CD]
        by_hand += share * 0.5 * (low + high)
    assert coefficients(one, alpha, reynolds, 0.4)[1] == pytest.approx(by_hand, rel=1e-9)


def test_shapes_broadcast():
    one = section("ag36")
    alpha, reynolds = np.full((3, 1), 0.05), np.linspace(6e4, 2e5, 5)
    assert coefficients(one, alpha, reynolds)[0].shape == (3, 5)
    assert cd_of_cl(one, alpha * 10.0, reynolds, np.full((2, 1, 1), 0.5))[0].shape == (2, 3, 5)
    assert highest_lift(one, reynolds)[0].shape == (5,)
    assert zero_lift_angle(one, 1e5).shape == ()


def test_outside_the_nodes_the_nearest_holds_and_is_flagged():
    one, nodes = section("ag36"), grid()
    held = coefficients(one, 1.0, 5.0)
    np.testing.assert_allclose(held, one.table[FREE, 0, -1, :3])
    assert outside(one, 1.0, 1e5)
    # the lowest runs of the tunnels behind the factors are those at 60 000, the highest at 300 000
    assert outside(one, 0.0, 59_000.0)
    assert outside(one, 0.0, 3.1e5)
    assert not outside(one, nodes.alpha_rad[[0, -1]], 1e5).any()


@given(st.sampled_from([*WINGS, *TAILS]), reynolds_numbers, roughs, st.floats(-1.0, 2.0))
def test_angle_of_lift_and_lift_of_angle_are_inverse(name, reynolds, rough, lift):
    one = section(name)
    angle, beyond = alpha_of_cl(one, lift, reynolds, rough)
    given_lift = float(coefficients(one, angle, reynolds, rough)[0])
    top, bottom = float(highest_lift(one, reynolds, rough)[0]), float(lowest_lift(one, reynolds, rough)[0])
    assert bool(beyond) == (lift > top or lift < bottom)
    assert given_lift == pytest.approx(min(max(lift, bottom), top), abs=1e-9)


@given(st.sampled_from([*WINGS, *TAILS]), measured_reynolds_numbers, roughs, st.floats(0.0, 1.0))
@example("plate33", 101_639.0, 0.0, 1.0)  # its lift grows up to the last node
def test_drag_of_lift_is_the_drag_at_that_angle(name, reynolds, rough, share):
    one = section(name)
    top = float(highest_lift(one, reynolds, rough)[0])
    drag, beyond = cd_of_cl(one, share * top, reynolds, rough)
    angle, _ = alpha_of_cl(one, share * top, reynolds, rough)
    assert not beyond
    assert float(drag) == pytest.approx(float(coefficients(one, angle, reynolds, rough)[1]), abs=1e-12)


def test_lift_beyond_the_ceiling_gets_the_drag_of_the_ceiling_and_a_flag():
    one = section("ag35")
    top, angle = highest_lift(one, 1e5)
    drag, beyond = cd_of_cl(one, top + 0.5, 1e5)
    assert beyond
    assert drag == pytest.approx(float(coefficients(one, angle, 1e5)[1]))
    assert cd_of_cl(one, 0.5, 3e4)[1]


def test_many_points_at_once_are_the_points_one_by_one():
    one = section("e387")
    rng = np.random.default_rng(1)
    lift, reynolds, rough = rng.uniform(-1, 2, 60), rng.uniform(3e4, 4e5, 60), rng.uniform(0, 1, 60)
    drag, beyond = cd_of_cl(one, lift, reynolds, rough)
    singles = [cd_of_cl(one, *point) for point in zip(lift, reynolds, rough, strict=True)]
    np.testing.assert_allclose(drag, [float(single[0]) for single in singles])
    np.testing.assert_array_equal(beyond, [bool(single[1]) for single in singles])


@pytest.mark.parametrize(
    "name", ["naca0006", "naca0007", "naca0008", "naca0010", "sd8020", "s9033", "plate33"]
)
def test_symmetric_sections_are_symmetric(name):
    one = section(name)
    alpha = np.radians(np.linspace(0.0, 10.0, 21))
    for reynolds in (6e4, 1.5e5):
        up, down = coefficients(one, alpha, reynolds), coefficients(one, -alpha, reynolds)
        np.testing.assert_allclose(up[0], -down[0], atol=0.02)
        np.testing.assert_allclose(up[1], down[1], rtol=0.03)
        np.testing.assert_allclose(up[2], -down[2], atol=0.005)
        assert abs(float(zero_lift_angle(one, reynolds))) < np.radians(0.15)


@pytest.mark.parametrize("name", WINGS)
def test_cambered_sections_lift_at_zero_and_pitch_nose_down(name):
    lift, _, moment = coefficients(section(name), 0.0, 1.5e5)
    assert lift > 0.1
    assert moment < -0.02


@pytest.mark.parametrize("name", names())
def test_ceiling_lies_above_the_useful_lift(name):
    one, nodes = section(name), grid()
    reynolds = nodes.reynolds[nodes.reynolds >= 4e4]
    top, angle = highest_lift(one, reynolds)
    bottom, _ = lowest_lift(one, reynolds)
    assert np.all(top > 0.45)
    assert np.all(bottom < -0.05)
    assert np.all(angle > np.radians(3.0))


def test_a_later_rise_behind_the_stall_does_not_count():
    one = section("ag35")
    table = one.table.copy()
    fallen = grid().alpha_rad > np.radians(6.0)
    table[:, :, fallen, CL] = 0.2
    table[:, :, -3:, CL] = 2.0
    other = section_table.Section("other", "", 0.1, 0.0, 0.0, "", 4e4, 5e5, table)
    top, angle = highest_lift(other, 1e5)
    assert float(np.degrees(angle)) == pytest.approx(6.0)
    assert top < 1.2
    assert alpha_of_cl(other, 1.5, 1e5)[1]


def test_slope_is_that_of_a_straight_line():
    table = np.zeros(grid().shape)
    table[..., CL] = 5.5 * (grid().alpha_rad + 0.05)
    table[..., CD] = 0.01
    straight = section_table.Section("straight", "", 0.1, 0.0, 0.0, "", 4e4, 5e5, table)
    assert lift_slope(straight, 1e5) == pytest.approx(5.5)
    assert zero_lift_angle(straight, 1e5, 0.3) == pytest.approx(-0.05)


def test_factors_keep_their_order_and_hold_outside():
    for factor in (drag_factor, highest_lift_factor, slope_over_thin, zero_lift_shift_rad):
        found = factor(np.array([1e4, 6e4, 9e4, 1.7e5, 3e5, 1e6]))
        assert np.all(found.low <= found.value)
        assert np.all(found.value <= found.high)
        assert found.value[0] == found.value[1]
        assert found.value[-1] == found.value[-2]


def test_confidence_is_a_share():
    found = confidence(section("plate33"), grid().alpha_rad, 1e5)
    assert np.all((found >= 0.0) & (found <= 1.0))


def test_datum_tilts_of_flat_bottomed_sections():
    # chord line against the flat bottom of the drawings in the published archive: AG35 to AG38
    tilts = [
        round(float(np.degrees(section(f"ag{number}").datum_tilt_rad)), 2) for number in (35, 36, 37, 38)
    ]
    assert tilts == [1.56, 1.43, 1.22, 1.0]
    assert section("naca0009").datum_tilt_rad == 0.0
    assert section("sd7037").chord_angle_rad(0.03) == 0.03
