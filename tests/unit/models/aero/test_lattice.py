"""Laws that a vortex lattice keeps, whatever the model."""

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from glidewright.base.errors import InputError
from glidewright.models.aero.derivatives import derivatives, neutral_point_m
from glidewright.models.aero.lattice import (
    MOTIONS,
    Flow,
    Lattice,
    build_lattice,
    downwash_slope,
    forces,
    numbers_of,
    strip_lift,
)
from glidewright.models.aero.lattice_flow import far_wake_flux, far_wake_normalwash, horseshoes
from glidewright.models.aero.lattice_mesh import evenly_split, lay_strips
from glidewright.models.aero.shape import Hinge, Reference, Section, Surface, Twist, tilted, whole

WING = Surface(
    "wing",
    (
        Section(0.0, 0.0, 0.0, 0.2, 0.03, -0.04, -0.05),
        Section(0.0, 0.5, 0.03, 0.2, 0.03, -0.04, -0.05),
        Section(0.04, 1.0, 0.12, 0.12, 0.01, -0.03, -0.04),
    ),
    (4, 4),
    chordwise=2,
    hinges=((), (Hinge("aileron", 0.25, 1.0, -1.0),)),
)
V_TAIL = Surface(
    "tail",
    (Section(0.8, 0.0, 0.02, 0.11), Section(0.84, 0.2, 0.16, 0.07)),
    (4,),
    chordwise=2,
    hinges=((Hinge("elevator", 0.35), Hinge("rudder", 0.35, 1.0, -1.0)),),
)
TWISTS = (Twist("tail_up", "tail"), Twist("left_tip", "wing", (1,), "left", 0.0, 1.0))
CENTRE = (0.07, 0.0, -0.01)
angles = st.floats(-0.2, 0.2)
rates = st.floats(-0.3, 0.3)


@pytest.fixture(scope="module")
def glider() -> Lattice:
    return build_lattice((WING, V_TAIL), TWISTS)


def lateral(lattice: Lattice, flow: Flow) -> np.ndarray:
    found = forces(lattice, flow, CENTRE)
    return np.array([found.side_m2, found.roll_m3, found.yaw_m3])


def straight(lattice: Lattice, flow: Flow) -> np.ndarray:
    found = forces(lattice, flow, CENTRE)
    return np.array([found.lift_m2, found.drag_m2, found.near_drag_m2, found.pitch_m3])


@given(alpha=angles, pitch=rates, elevator=angles)
@settings(max_examples=25, deadline=None)
def test_symmetric_flow_gives_no_side_force_roll_or_yaw(
    glider: Lattice, alpha: float, pitch: float, elevator: float
) -> None:
    flow = Flow(alpha, pitch_rad_per_m=pitch, inputs={"elevator": elevator, "tail_up": 0.02})
    np.testing.assert_allclose(lateral(glider, flow), 0.0, atol=1e-14)


@given(alpha=angles, beta=angles, roll=rates, yaw=rates, rudder=angles)
@settings(max_examples=25, deadline=None)
def test_a_mirrored_flow_gives_mirrored_forces(
    glider: Lattice, alpha: float, beta: float, roll: float, yaw: float, rudder: float
) -> None:
    one = Flow(alpha, beta, roll, 0.1, yaw, inputs={"rudder": rudder, "aileron": 0.5 * rudder})
    other = Flow(alpha, -beta, -roll, 0.1, -yaw, inputs={"rudder": -rudder, "aileron": -0.5 * rudder})
    np.testing.assert_allclose(lateral(glider, one), -lateral(glider, other), atol=1e-13)
    np.testing.assert_allclose(straight(glider, one), straight(glider, other), atol=1e-13)


@given(alpha=angles, beta=angles, roll=rates, yaw=rates, share=st.floats(0.0, 1.0))
@settings(max_examples=25, deadline=None)
def test_circulation_is_a_sum_and_drag_is_never_negative(
    glider: Lattice, alpha: float, beta: float, roll: float, yaw: float, share: float
) -> None:
    flow = Flow(alpha, beta, roll, 0.0, yaw, inputs={"elevator": share - 0.5, "left_tip": 0.1 * share})
    assert float(forces(glider, flow, CENTRE).drag_m2[0]) > -1e-12
    numbers = numbers_of(glider, flow, CENTRE)
    assert numbers.shape == (1, len(MOTIONS) + len(glider.inputs))
    lift = strip_lift(glider, flow, CENTRE)
    circulation = np.zeros(glider.strips.chord_m.size)
    np.add.at(circulation, glider.boxes.strip, glider.circulation_m @ numbers[0])
    np.testing.assert_allclose(lift[0], 2.0 * circulation / glider.strips.chord_m, atol=1e-14)


def test_the_flow_condition_holds_at_every_box() -> None:
    # The wall is tight: no air passes a control point, for a state that uses everything (far surfaces' cores
    # apart).
    flow = Flow(0.06, 0.05, 0.1, 0.05, -0.08, inputs={"elevator": -0.04, "aileron": 0.05})
    wing = build_lattice((WING,))
    numbers = numbers_of(wing, replace(flow, inputs={"aileron": 0.05}), CENTRE)[0]
    strips, boxes = wing.strips, wing.boxes
    normal, angle = strips.normal[boxes.strip], strips.angle_rad[boxes.strip]
    zero = np.zeros((boxes.strip.size, boxes.strip.size))
    _, side, up = horseshoes(boxes.control_m, boxes.left_m, boxes.right_m, zero)
    induced = (normal[:, 1, None] * side + normal[:, 2, None] * up) @ (wing.circulation_m @ numbers)
    roll, yaw, pitch = numbers[3], numbers[5], numbers[4]
    x, y, z = boxes.control_m.T
    wind = np.stack(
        [
            numbers[0] - pitch * z - yaw * y,
            numbers[1] - roll * z + yaw * x,
            numbers[2] + roll * y + pitch * x,
        ]
    )
    flap = numbers[len(MOTIONS)] * wing.input_angle[boxes.strip, 0]
    passing = induced + (normal.T * wind).sum(axis=0) + angle * wind[0] + flap
    np.testing.assert_allclose(passing, 0.0, atol=1e-13)


def test_moments_and_rates_move_with_the_centre() -> None:
    # The same motion told about two points: turning about one and flying on is turning about the other with
    # more wind.
    moved = np.array(CENTRE) + np.array([0.05, 0.02, 0.03])
    whole_shape = build_lattice(
        tuple(
            replace(
                whole(s), sections=tuple(_shifted(c, moved - np.array(CENTRE)) for c in whole(s).sections)
            )
            for s in (WING, V_TAIL)
        ),
    )
    flow = Flow(0.05, 0.03, 0.1, 0.2, -0.1, inputs={"elevator": 0.05, "rudder": -0.02})
    before = forces(build_lattice((whole(WING), whole(V_TAIL))), flow, CENTRE)
    after = forces(whole_shape, flow, moved)
    for field in fields(before):
        np.testing.assert_allclose(
            getattr(after, field.name), getattr(before, field.name), rtol=1e-9, atol=1e-12
        )


def _shifted(section: Section, by: np.ndarray) -> Section:
    x, y, z = by.tolist()
    return replace(section, x_m=section.x_m + x, y_m=section.y_m + y, z_m=section.z_m + z)


def test_writing_halves_out_changes_nothing(glider: Lattice) -> None:
    flow = Flow(0.05, 0.04, inputs={"aileron": 0.05, "rudder": -0.03})
    one = forces(glider, flow, CENTRE)
    other = forces(build_lattice((whole(WING), whole(V_TAIL))), flow, CENTRE)
    for field in fields(one):
        np.testing.assert_allclose(getattr(other, field.name), getattr(one, field.name), rtol=1e-3, atol=1e-6)


def test_surfaces_add_up(glider: Lattice) -> None:
    flow = Flow(np.linspace(-0.05, 0.1, 7), 0.03, inputs={"elevator": 0.02})
    total = forces(glider, flow, CENTRE)
    parts = [forces(glider, flow, CENTRE, surface=name) for name in ("wing", "tail")]
    for name in ("lift_m2", "side_m2", "roll_m3", "pitch_m3", "yaw_m3", "near_drag_m2"):
        np.testing.assert_allclose(getattr(parts[0], name) + getattr(parts[1], name), getattr(total, name))


def test_lift_of_strips_is_lift_of_the_wing() -> None:
    flat = build_lattice((Surface("wing", (Section(0, 0, 0, 0.2), Section(0, 1, 0, 0.2)), (10,)),))
    of_strips = strip_lift(flat, Flow(1e-3))
    area = flat.strips.chord_m * flat.strips.width_m
    lift = forces(flat, Flow(1e-3)).lift_m2[0]
    assert of_strips[0] @ area == pytest.approx(lift, rel=1e-4)
    assert np.all(of_strips[0] < 2.0 * np.pi * 1e-3)


def test_controls_turn_the_model_the_way_they_say(glider: Lattice) -> None:
    def change(name: str) -> np.ndarray:
        flow = Flow(0.05, inputs={name: 0.01})
        return np.concatenate([lateral(glider, flow) - lateral(glider, Flow(0.05)), straight(glider, flow)])

    assert change("elevator")[6] < straight(glider, Flow(0.05))[3]  # down: nose goes down
    assert change("rudder")[2] > 0.0  # to the right: nose goes right
    assert change("rudder")[0] < 0.0
    assert change("aileron")[1] < 0.0  # down on the right: right wing goes up
    assert change("left_tip")[1] > 0.0  # left tip nose up: right wing goes down


def test_a_crooked_tail_pushes_sideways() -> None:
    tail = Surface("tail", (Section(0.8, 0, 0.05, 0.1), Section(0.8, 0.2, 0.05, 0.1)), (4,), chordwise=2)
    square, crooked = (build_lattice((WING, one)) for one in (tail, tilted(tail, 0.05, about_z_m=0.05)))
    assert abs(forces(square, Flow(0.1), CENTRE).side_m2[0]) < 1e-12
    assert (
        forces(crooked, Flow(0.1), CENTRE).side_m2[0] > 1e-5
    )  # right side down: its lift leans to the right


def test_downwash_lies_between_none_and_twice_that_at_the_wing(glider: Lattice) -> None:
    assert 0.1 < downwash_slope(glider, "tail") < 0.6
    assert -0.1 < downwash_slope(glider, "wing") < 0.1


def test_fin_on_the_tail_pushes_more_than_fin_alone() -> None:
    # A tail at the fin's foot is a plate at its end; the joint is found by itself (measured and explained in
    # any text on tails, e.g. Nelson, section 2.5). Two lattices of the same model agree on it to a few per
    # cent.
    fin = Surface("fin", (Section(0.8, 0, 0, 0.14), Section(0.84, 0, 0.2, 0.1)), (6,), symmetric=False)
    tail = Surface("tail", (Section(0.8, 0, 0, 0.1), Section(0.8, 0.25, 0, 0.1)), (6,))
    models = ((fin,), (fin, tail), (replace(fin, spanwise=(12,)), replace(tail, spanwise=(12,))))
    sides = [-float(forces(build_lattice(one), Flow(0.0, 0.05)).side_m2[0]) for one in models]
    assert 1.1 < sides[1] / sides[0] < 1.5
    assert sides[2] == pytest.approx(sides[1], rel=0.05)


def test_unknown_names_are_answered_with_the_nearest(glider: Lattice) -> None:
    with pytest.raises(InputError, match="nearest known: elevator"):
        forces(glider, Flow(0.0, inputs={"elevater": 0.1}))
    with pytest.raises(InputError, match="no surface of this model"):
        downwash_slope(glider, "fin")
    with pytest.raises(InputError, match="nearest known: wing"):
        build_lattice((WING,), (Twist("fault", "wings"),))
    with pytest.raises(InputError, match="both, right or left"):
        build_lattice((WING,), (Twist("fault", "wing", side="port"),))


def test_twist_runs_from_inner_to_outer_end(glider: Lattice) -> None:
    strips, column = glider.strips, glider.input_angle[:, glider.input_index("left_tip")]
    chosen = (strips.surface == 0) & (strips.part == 1) & (strips.mirrored == 1)
    np.testing.assert_allclose(column[chosen], strips.share[chosen])
    assert np.all(column[~chosen] == 0.0)
    over_two = build_lattice((WING,), (Twist("wash", "wing", None, "right", 1.0, 0.0),))
    values = over_two.input_angle[over_two.strips.mirrored == 0, over_two.input_index("wash")]
    assert np.all(np.diff(values) < 0.0)
    assert 0.0 < values[-1] < values[0] < 1.0


def test_strips_cover_the_wing() -> None:
    for even in (False, True):
        strips = lay_strips((replace(WING, even=even),))
        assert strips.chord_m @ strips.width_m == pytest.approx(
            2 * (0.2 * _length(0, 1) + 0.16 * _length(1, 2))
        )


def _length(first: int, last: int) -> float:
    a, b = WING.sections[first], WING.sections[last]
    return float(np.hypot(b.y_m - a.y_m, b.z_m - a.z_m))


@given(st.tuples(*[st.floats(-1.0, 1.0)] * 3))
@settings(max_examples=20, deadline=None)
def test_horseshoe_against_the_law_of_biot_and_savart_by_quadrature(
    point: tuple[float, float, float],
) -> None:
    # General-purpose reference: scipy's quad of dl cross r / (4 pi r^3) over the bound vortex and both legs.
    left, right = np.array([0.1, -0.4, 0.05]), np.array([-0.2, 0.5, 0.3])
    place = np.array(point) + np.array([0.0, 0.0, 1.6])

    def part(start: np.ndarray, along: np.ndarray, end: float) -> np.ndarray:
        def pull(s: float, axis: int) -> float:
            r = place - start - s * along
            return float(np.cross(along, r)[axis] / (4.0 * np.pi * np.linalg.norm(r) ** 3))

        return np.array([quad(pull, 0.0, end, args=(axis,))[0] for axis in range(3)])

    x = np.array([1.0, 0.0, 0.0])
    expected = part(left, right - left, 1.0) + part(right, x, np.inf) - part(left, x, np.inf)
    found = horseshoes(place[None], left[None], right[None], np.zeros((1, 1)))
    np.testing.assert_allclose([float(axis[0, 0]) for axis in found], expected, atol=1e-7)


def test_points_on_a_vortex_stay_finite() -> None:
    left, right = np.array([[0.0, -0.5, 0.0]]), np.array([[0.0, 0.5, 0.0]])
    for point in ([0.0, 0.0, 0.0], [0.0, 0.5, 0.0], [1.0, 0.5, 0.0], [0.0, 0.9, 0.0]):
        found = np.array(horseshoes(np.array([point]), left, right, np.zeros((1, 1))))
        assert np.all(np.isfinite(found))
        assert np.all(np.abs(found[1:]) < 1e6)


def test_flow_across_a_strip_is_the_mean_wash_over_it() -> None:
    ends = np.array([[0.0, 0.7, 0.1]]), np.array([[0.0, 1.1, 0.3]])
    vortex = np.array([[0.0, -1.0, 0.0]]), np.array([[0.0, 0.6, -0.2]])
    across = ends[1] - ends[0]
    width = float(np.linalg.norm(across))
    normal = np.array([[0.0, -across[0, 2], across[0, 1]]]) / width
    zero = np.zeros((1, 1))

    def wash(share: float) -> float:
        return float(far_wake_normalwash(ends[0] + share * across, normal, *vortex, zero)[0, 0])

    expected = quad(wash, 0.0, 1.0)[0] * width
    assert far_wake_flux(*ends, *vortex, zero)[0, 0] == pytest.approx(expected, rel=1e-9)


def test_a_joint_of_the_wing_ahead_of_the_tail_leaves_the_neutral_point() -> None:
    # Wakes are sheets: where the strips of the wing end must not matter to what flies behind them. Before
    # wakes passed whole strips a narrow middle panel moved the neutral point by a quarter of the chord.
    reference, origin = Reference(0.34, 2.0, 0.17), (0.0, 0.0, 0.0)

    def place(joints: tuple[float, ...], strips: int) -> float:
        stations = (0.0, *joints, 1.0)
        plan = tuple(Section(0.02 * y, y, 0.05 * y, 0.2 - 0.06 * y) for y in stations)
        wing = evenly_split(Surface("wing", plan, (1,) * (len(stations) - 1)), strips)
        tail = Surface("tail", (Section(0.75, 0.0, 0.0, 0.1), Section(0.77, 0.22, 0.0, 0.08)), (6,))
        lattice = build_lattice((wing, tail))
        slopes = derivatives(lattice, reference, Flow(alpha_rad=0.05), origin)
        return float(neutral_point_m(slopes, reference, origin)[0] / 0.17)

    fine = place((), 56)
    for joints in ((), (0.05,), (0.1,), (0.1, 0.3), (0.21,), (0.5,)):
        assert place(joints, 14) == pytest.approx(fine, abs=0.01), joints
    # a panel much narrower than the strips beside it still puts a kink into the lift
    for joints in ((0.03, 0.2), (0.19, 0.215)):
        assert place(joints, 14) == pytest.approx(fine, abs=0.03), joints
