"""What a rest does to pack and motor, against the compiled launches that rest between."""

import numpy as np

from glidewright.calibration.pack_state import rested, resting_voltage_V
from glidewright.models.launch import layout as ll
from glidewright.models.launch.example import example_inputs
from glidewright.models.launch.flights import launch_outputs, repeated_launches
from glidewright.models.power import layout as pl


def test_two_launches_with_a_rest_between_are_those_of_the_kernel() -> None:
    inputs = example_inputs(rest_s=[60.0, 300.0, 1200.0])
    both = repeated_launches(inputs, 2, tolerance_m=1e-4)
    ends = both[:, 0, ll.END_CHARGE : ll.END_CHARGE + ll.START_SIZE]
    air = inputs.launch[:, ll.GROUND_TEMPERATURE_K]
    start = rested(inputs.power, ends, air, inputs.launch[:, ll.REST_S])
    second = launch_outputs(inputs._replace(start=start), tolerance_m=1e-4)
    for column in (ll.TOP_HEIGHT, ll.MEAN_PACK_CURRENT, ll.LOWEST_PACK_VOLTAGE, ll.HIGHEST_MOTOR_TEMPERATURE):
        np.testing.assert_allclose(second[:, column], both[:, 1, column], rtol=1e-5)


def test_a_rested_pack_shows_its_open_circuit_volts() -> None:
    inputs = example_inputs()
    power = inputs.power.copy()
    power[:, pl.SERVO_CURRENT_A] = 0.0
    half = inputs.start.copy()
    half[:, 0] = 0.5 * power[:, pl.PACK_CAPACITY_AS]
    # half full, two cells: 7.579 V (0.1C discharge of a published cell, coefficients/pack.toml)
    cells = power[0, pl.PACK_CELLS_IN_SERIES]
    np.testing.assert_allclose(resting_voltage_V(power, half) / cells, 7.579 / 2.0, atol=1e-3)
    full = inputs.start.copy()
    full[:, 0] = 0.0
    assert np.all(resting_voltage_V(power, full) > resting_voltage_V(power, half))
