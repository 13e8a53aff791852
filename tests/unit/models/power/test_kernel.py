import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glidewright.models.power import layout as pl
from glidewright.models.power.example import example_cells, example_curves, example_power
from glidewright.models.power.kernel import operating_points
from glidewright.models.power.plain import plain_coefficient, plain_curves, plain_operating_point

CURVES, CELLS = example_curves(), example_cells()
LOSSES = slice(pl.COPPER_LOSS_W, pl.CHEMICAL_POWER_W)


def points(power: pl.Array, airspeed_m_s: object = 9.0, **conditions: object) -> pl.Array:
    known = {"density_kg_m3": 1.2} | conditions
    return operating_points(power, CURVES, CELLS, airspeed_m_s=airspeed_m_s, **known)  # type: ignore[arg-type]


CONDITIONS = st.fixed_dictionaries(
    {
        "airspeed_m_s": st.floats(-10.0, 40.0),
        "density_kg_m3": st.floats(0.7, 1.4),
        "duty": st.floats(0.0, 1.0),
        "charge_state": st.floats(0.0, 1.0),
        "slow_voltage_V": st.floats(0.0, 0.5),
        "motor_temperature_K": st.floats(260.0, 400.0),
        "pack_temperature_K": st.floats(265.0, 330.0),
    }
)
TRAINS = st.fixed_dictionaries(
    {
        "motor_kv_rad_per_Vs": st.floats(60.0, 300.0),
        "motor_resistance_ohm": st.floats(0.02, 0.5),
        "motor_no_load_current_A": st.floats(0.1, 3.0),
        "motor_no_load_linear_share": st.floats(0.0, 1.0),
        "controller_part_load_factor": st.floats(0.0, 0.2),
        "servo_current_A": st.floats(0.0, 1.0),
        "pack_cells_in_series": st.integers(1, 4),
        "pack_slow_resistance_ratio": st.just(0.0) | st.floats(1e-6, 1.0),
        "propeller_diameter_m": st.floats(0.12, 0.4),
        "propeller_thrust_factor": st.floats(0.8, 1.2),
        "propeller_power_factor": st.floats(0.8, 1.2),
    }
)


@settings(max_examples=150, deadline=None)
@given(TRAINS, CONDITIONS)
def test_kernel_equals_its_plain_twin(train: dict[str, float], conditions: dict[str, float]) -> None:
    power = example_power(**train)
    names = dict(zip(pl.POWER_FIELDS, map(float, power[0]), strict=True))
    plain = plain_operating_point(names, plain_curves(CURVES[0]), CELLS[0], conditions)
    found = dict(zip(pl.POINT_FIELDS, points(power, **conditions)[0, 0], strict=True))  # type: ignore[arg-type]
    assert found == pytest.approx(plain, rel=2e-7, abs=2e-7)


@settings(max_examples=150, deadline=None)
@given(TRAINS, CONDITIONS)
def test_power_of_the_pack_is_that_of_the_losses_and_the_shaft(
    train: dict[str, float], conditions: dict[str, float]
) -> None:
    point = points(example_power(**train), **conditions)[0, 0]  # type: ignore[arg-type]
    spent = point[LOSSES].sum() + point[pl.SHAFT_POWER_W]
    assert point[pl.CHEMICAL_POWER_W] == pytest.approx(spent, rel=1e-9, abs=1e-9)


def test_status_says_what_the_motor_does() -> None:
    duty = np.array([[0.0, 0.004, 1.0]])
    off, stuck, found = points(example_power(), np.full(3, 9.0), duty=duty)[0]
    assert (off[pl.STATUS], stuck[pl.STATUS], found[pl.STATUS]) == (
        pl.STATUS_OFF,
        pl.STATUS_CANNOT_TURN,
        pl.STATUS_FOUND,
    )
    assert off[pl.PACK_CURRENT_A] == pytest.approx(0.2)  # the servos
    assert stuck[pl.REVS_PER_S] == stuck[pl.THRUST_N] == 0.0
    assert 0.0 < stuck[pl.MOTOR_CURRENT_A] < 0.45  # less than its friction of 0.9 A x (1 - 0.5)


def test_a_propeller_far_too_big_stalls_the_motor() -> None:
    point = points(example_power(propeller_diameter_m=0.6), 0.0)[0, 0]
    assert point[pl.STATUS] == pl.STATUS_STALLED


def test_one_row_a_draw_and_one_column_a_speed() -> None:
    power = example_power(motor_resistance_ohm=[0.06, 0.08, 0.10])
    speeds = [0.0, 5.0, 10.0, 15.0]
    many = points(power, speeds, charge_state=np.array([[1.0], [0.8], [0.6]]))
    assert many.shape == (3, 4, len(pl.POINT_FIELDS))
    for draw, charge in enumerate((1.0, 0.8, 0.6)):
        for column, speed in enumerate(speeds):
            alone = points(power[draw : draw + 1], speed, charge_state=charge)[0, 0]
            np.testing.assert_allclose(many[draw, column], alone, rtol=1e-8, atol=1e-10)


def test_draws_shared_out_over_threads_are_the_same_draws() -> None:
    resistance = np.linspace(0.05, 0.2, 101)
    many = points(example_power(motor_resistance_ohm=resistance), [3.0, 9.0])
    one = points(example_power(motor_resistance_ohm=resistance[77]), [3.0, 9.0])
    np.testing.assert_array_equal(many[77], one[0])


def test_each_row_may_have_its_own_propeller_and_cell() -> None:
    curves = np.concatenate([CURVES, 1.1 * CURVES])
    cells = np.concatenate([CELLS, CELLS + np.array([0.05, 0.0, 0.0, 0.0])])
    power = example_power(propeller_curve=[0.0, 1.0, 0.0], pack_table=[0.0, 0.0, 1.0])
    found = operating_points(power, curves, cells, airspeed_m_s=9.0, density_kg_m3=1.2)[:, 0]
    factors = example_power(propeller_thrust_factor=1.1, propeller_power_factor=1.1)
    np.testing.assert_allclose(found[0], points(example_power())[0, 0])
    np.testing.assert_allclose(found[1], points(factors)[0, 0])
    assert found[2, pl.PACK_VOLTAGE_V] > found[0, pl.PACK_VOLTAGE_V]


@pytest.mark.parametrize("place", [0.0, 0.3, 4.0, 7.99, 23.5, 24.0, 31.0])
def test_curve_table_is_the_hermite_curve(place: float) -> None:
    rng = np.random.default_rng(7)
    nodes = rng.normal(size=25)
    table = pl.curve_table(nodes, nodes, nodes, nodes)
    row = min(int(place), 24)
    u = place - row
    assert np.polyval(table[row, 3::-1], u) == pytest.approx(plain_coefficient(list(nodes), place))


@pytest.mark.parametrize(
    ("build", "sentence"),
    [
        (lambda: example_power(motor_mass_kg=1.0), "unknown: \\['motor_mass_kg'\\]"),
        (lambda: pl.curve_table([1.0, 2.0], [0.0] * 2, [1.0] * 2, [0.0] * 2), "at least three finite"),
        (
            lambda: pl.curve_table([1.0, np.nan, 2.0], [0.0] * 3, [1.0] * 3, [0.0] * 3),
            "at least three finite",
        ),
        (lambda: points(example_power(propeller_diameter_m=0.0)), "propeller_diameter_m must be above zero"),
        (lambda: points(example_power(propeller_curve=1.0)), "propeller_curve must be one of the 1 given"),
        (lambda: points(example_power(lead_resistance_ohm=np.nan)), "must be finite"),
        (lambda: pl.cell_table([3.0, 4.0], [1.0]), "rows of equal length"),
        (lambda: example_power(motor_resistance_ohm=[1.0, 2.0], lead_resistance_ohm=[1.0] * 3), "broadcast"),
    ],
)
def test_what_does_not_fit_the_layout_is_refused(build: object, sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        build()  # type: ignore[operator]


def test_every_field_has_the_place_of_its_name() -> None:
    for fields in (pl.POWER_FIELDS, pl.CONDITION_FIELDS, pl.POINT_FIELDS):
        assert [getattr(pl, name.upper()) for name in fields] == list(range(len(fields)))
