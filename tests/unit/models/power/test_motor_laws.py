"""Laws of motor, controller and pack."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.base.compiled import compiled
from glidewright.models.power import controller, motor, pack, thermal

KV = st.floats(20.0, 400.0)
OHM = st.floats(0.005, 0.5)
VOLTS = st.floats(5.0, 25.0)
DUTY = st.floats(0.05, 1.0)


@given(kv=KV, volts=VOLTS, ohm=OHM)
def test_no_current_at_the_speed_of_the_voltage(kv, volts, ohm):
    assert motor.motor_current_A(volts, volts * kv, kv, ohm) == pytest.approx(0.0, abs=1e-9)


@given(kv=KV, volts=VOLTS, ohm=OHM, slower=st.floats(0.1, 0.99))
def test_electric_power_is_shaft_power_and_heat(kv, volts, ohm, slower):
    speed = slower * volts * kv
    amps = motor.motor_current_A(volts, speed, kv, ohm)
    idle = 0.1 * amps
    parts = motor.shaft_power_W(amps, idle, speed, kv) + motor.motor_heat_W(amps, idle, speed, kv, ohm)
    assert parts == pytest.approx(volts * amps, rel=1e-9)
    whole = motor.shaft_power_W(amps, idle, speed, kv) / (volts * amps)
    assert motor.motor_efficiency(amps, idle, speed, kv, ohm) == pytest.approx(whole, rel=1e-9)


@given(kv=KV, volts=VOLTS, ohm=OHM, slower=st.floats(0.1, 0.99))
def test_speed_undoes_current(kv, volts, ohm, slower):
    speed = slower * volts * kv
    amps = motor.motor_current_A(volts, speed, kv, ohm)
    assert motor.motor_speed_rad_s(volts, amps, kv, ohm) == pytest.approx(speed, rel=1e-9)


@given(share=st.floats(0.0, 1.0), speed=st.floats(10.0, 3000.0))
def test_no_load_current_is_the_measured_one_at_its_own_speed(share, speed):
    assert motor.no_load_current_A(speed, 0.7, speed, share) == pytest.approx(0.7, rel=1e-12)


@given(duty=DUTY, volts=VOLTS, amps=st.floats(0.1, 60.0), ohm=OHM, factor=st.floats(0.0, 0.3))
def test_pack_power_is_motor_power_and_controller_heat(duty, volts, amps, ohm, factor):
    from_pack = volts * controller.pack_current_A(duty, amps, 0.0, factor)
    to_motor = amps * controller.terminal_voltage_V(duty, volts, amps, ohm)
    heat = controller.controller_heat_W(duty, volts, amps, ohm, factor)
    assert from_pack == pytest.approx(to_motor + heat, rel=1e-9)


@given(load=st.floats(0.01, 2.0), volts=st.floats(6.0, 17.0))
def test_linear_supply_turns_the_rest_into_heat(load, volts):
    drawn = controller.linear_supply_current_A(load) * volts
    assert drawn == pytest.approx(5.0 * load + controller.linear_supply_heat_W(load, 5.0, volts), rel=1e-12)
    assert controller.switching_supply_current_A(load, 5.0, volts) < drawn / volts or volts < 5.0 / 0.85


@given(low=st.floats(0.0, 0.99), more=st.floats(0.001, 0.5))
def test_a_fuller_pack_has_more_volts_and_less_resistance(low, more):
    high = min(1.0, low + more)
    assert pack.open_circuit_voltage_V(high, 2) >= pack.open_circuit_voltage_V(low, 2)
    assert pack.charge_factor(high) <= pack.charge_factor(low)


@given(kelvin=st.floats(263.0, 332.0), warmer=st.floats(0.1, 20.0))
def test_a_warmer_pack_has_less_resistance(kelvin, warmer):
    assert pack.temperature_factor(kelvin + warmer) < pack.temperature_factor(kelvin)


@given(first=st.floats(0.1, 60.0), second=st.floats(0.1, 60.0), heat=st.floats(0.0, 50.0))
def test_two_thermal_steps_are_one_long_step(first, second, heat):
    halfway = thermal.node_temperature_K(300.0, 290.0, heat, 22.0, 0.15, first)
    both = thermal.node_temperature_K(halfway, 290.0, heat, 22.0, 0.15, second)
    assert both == pytest.approx(thermal.node_temperature_K(300.0, 290.0, heat, 22.0, 0.15, first + second))


@given(first=st.floats(0.1, 60.0), second=st.floats(0.1, 60.0))
def test_two_slow_steps_are_one_long_step(first, second):
    halfway = pack.slow_voltage_V(0.02, 15.0, 0.04, first)
    assert pack.slow_voltage_V(halfway, 15.0, 0.04, second) == pytest.approx(
        pack.slow_voltage_V(0.02, 15.0, 0.04, first + second)
    )


def test_charge_is_conserved():
    assert pack.charge_left(pack.charge_left(1.0, 10.0, 20.0, 1980.0), 5.0, 10.0, 1980.0) == pytest.approx(
        1.0 - 250.0 / 1980.0
    )


def test_the_plain_functions_may_be_compiled_as_they_are():
    kernel = compiled(motor.motor_current_A)
    assert kernel(10.0, 800.0, 100.0, 0.1) == motor.motor_current_A(10.0, 800.0, 100.0, 0.1)
    warm = compiled(pack.temperature_factor)
    assert warm(280.0, 2400.0) == pytest.approx(pack.temperature_factor(280.0, 2400.0), rel=1e-14)
