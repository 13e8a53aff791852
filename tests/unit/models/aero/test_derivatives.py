"""Slopes, neutral point and trim of a lattice."""

import numpy as np
import pytest

from glidewright.base.errors import InputError, OutsideModelError
from glidewright.models.aero.derivatives import (
    COEFFICIENTS,
    Derivatives,
    coefficients,
    derivatives,
    linear_balance,
    neutral_point_m,
    trim,
)
from glidewright.models.aero.lattice import Flow, Lattice, build_lattice, forces
from glidewright.models.aero.shape import Hinge, Reference, Section, Surface, Twist

REFERENCE = Reference(0.36, 2.0, 0.18)
CENTRE = (0.06, 0.0, -0.01)


@pytest.fixture(scope="module")
def glider() -> Lattice:
    wing = tuple(
        Section(0.0, y, z, 0.18, 0.03, -0.04, -0.05) for y, z in ((0.0, 0.0), (0.5, 0.02), (1.0, 0.12))
    )
    tail = Section(0.8, 0.0, 0.05, 0.1), Section(0.8, 0.22, 0.05, 0.08)
    fin = Section(0.85, 0.0, 0.06, 0.14), Section(0.88, 0.0, 0.26, 0.1)
    return build_lattice(
        (
            Surface("wing", wing, (4, 4), chordwise=2, hinges=((Hinge("flap", 0.2),), ())),
            Surface("tail", tail, (4,), chordwise=2, hinges=((Hinge("elevator", 0.4),),)),
            Surface("fin", fin, (4,), chordwise=2, symmetric=False, hinges=((Hinge("rudder", 0.4),),)),
        ),
        (Twist("fin_off", "fin"),),
    )


def found_at(glider: Lattice, alpha: float = 0.05) -> Derivatives:
    return derivatives(glider, REFERENCE, Flow(alpha, 0.02, inputs={"elevator": -0.02}), CENTRE)


@pytest.mark.parametrize(
    ("variable", "field", "size"),
    [
        ("alpha", "alpha_rad", 1.0),
        ("beta", "beta_rad", 1.0),
        ("roll_rate", "roll_rad_per_m", 1.0),
        ("pitch_rate", "pitch_rad_per_m", 1.0 / 0.09),
        ("yaw_rate", "yaw_rad_per_m", 1.0),
        ("lag", "lag_rad_per_m", 1.0 / 0.09),
        ("rudder", "", 1.0),
    ],
)
def test_every_slope_against_differences(glider: Lattice, variable: str, field: str, size: float) -> None:
    def at(step: float) -> np.ndarray:
        state = {"alpha_rad": 0.05, "beta_rad": 0.02}
        inputs = {"elevator": -0.02, "rudder": 0.0}
        if field:
            state[field] = state.get(field, 0.0) + step * size
        else:
            inputs["rudder"] = step
        return coefficients(forces(glider, Flow(**state, inputs=inputs), CENTRE), REFERENCE)[0]

    expected = (at(1e-4) - at(-1e-4)) / 2e-4
    found = found_at(glider)
    column = found.slope[0, :, found.variables.index(variable)]
    np.testing.assert_allclose(column, expected, rtol=1e-6, atol=1e-8)


def test_the_neutral_point_is_where_pitching_stops(glider: Lattice) -> None:
    found = derivatives(glider, REFERENCE, Flow(0.05), CENTRE)
    place = float(neutral_point_m(found, REFERENCE, CENTRE)[0])
    again = derivatives(glider, REFERENCE, Flow(0.05), (place, 0.0, -0.01))
    # 0.2 mm: moving the balance point also moves it across the drag, which the formula leaves out
    assert float(neutral_point_m(again, REFERENCE, (place, 0.0, -0.01))[0]) == pytest.approx(place, abs=2e-4)
    assert float(again.of("pitch", "alpha")[0]) == pytest.approx(0.0, abs=5e-3)


def test_trim_holds_lift_without_moment(glider: Lattice) -> None:
    wanted = np.linspace(0.2, 1.0, 9)
    centres = np.array([[x, 0.0, -0.01] for x in np.linspace(0.04, 0.08, 9)])
    found = trim(glider, REFERENCE, wanted, centres, flow=Flow(inputs={"flap": 0.05}), extra_pitch=0.01)
    inputs = {"elevator": found.deflection_rad, "flap": 0.05}
    state = coefficients(forces(glider, Flow(found.alpha_rad, inputs=inputs), centres), REFERENCE)
    np.testing.assert_allclose(state[:, 0], wanted, atol=1e-9)
    np.testing.assert_allclose(state[:, 4], -0.01, atol=1e-9)


def test_more_lift_and_a_point_further_forward_need_more_up_elevator(glider: Lattice) -> None:
    slow, fast = trim(glider, REFERENCE, np.array([0.9, 0.3]), (0.05, 0.0, 0.0)).deflection_rad
    ahead = trim(glider, REFERENCE, 0.9, (0.03, 0.0, 0.0)).deflection_rad[0]
    assert ahead < slow < fast


def test_what_cannot_trim_is_said(glider: Lattice) -> None:
    with pytest.raises(OutsideModelError, match="hardly moves"):
        trim(glider, REFERENCE, 0.5, CENTRE, control="rudder")
    with pytest.raises(InputError, match="no control or twist"):
        trim(glider, REFERENCE, 0.5, CENTRE, control="brake")


def test_crooked_fin_is_held_by_rudder(glider: Lattice) -> None:
    held = trim(glider, REFERENCE, 0.6, CENTRE)
    flow = Flow(held.alpha_rad, inputs={"elevator": held.deflection_rad})
    found = derivatives(glider, REFERENCE, flow, CENTRE)
    moves = linear_balance(found, {"roll": 0.0, "yaw": 0.0}, ("beta", "rudder"), {"fin_off": 0.02})
    inputs = {"elevator": held.deflection_rad, "rudder": moves["rudder"], "fin_off": 0.02}
    state = forces(glider, Flow(held.alpha_rad, moves["beta"], inputs=inputs), CENTRE)
    values = coefficients(state, REFERENCE)[0]
    assert abs(values[COEFFICIENTS.index("roll")]) < 1e-5
    assert abs(values[COEFFICIENTS.index("yaw")]) < 1e-5
    assert -0.05 < moves["rudder"][0] < -0.02  # 0.02 over the flap's share of some 0.7, the other way


def test_balance_refuses_unequal_numbers_and_unknown_names(glider: Lattice) -> None:
    found = found_at(glider)
    with pytest.raises(InputError, match="2 coefficients need as many"):
        linear_balance(found, {"roll": 0.0, "yaw": 0.0}, ("beta",))
    with pytest.raises(InputError, match="nearest known: rudder"):
        linear_balance(found, {"yaw": 0.0}, ("ruder",))
    with pytest.raises(InputError, match="no coefficient or variable"):
        found.at("thrust")


def test_balance_gives_one_row_for_each_state(glider: Lattice) -> None:
    found = derivatives(glider, REFERENCE, Flow(np.linspace(0.0, 0.1, 5)), CENTRE)
    moves = linear_balance(found, {"yaw": 0.0}, ("rudder",), {"beta": 0.05})
    assert moves["rudder"].shape == (5,)
    assert np.all(moves["rudder"] < 0.0)
