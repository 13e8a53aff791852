"""Laws of motor, controller and pack."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.models.power import controller, motor, pack

OHM = st.floats(0.005, 0.5)
VOLTS = st.floats(5.0, 25.0)
DUTY = st.floats(0.05, 1.0)


@given(share=st.floats(0.0, 1.0), speed=st.floats(10.0, 3000.0))
def test_no_load_current_is_the_measured_one_at_its_own_speed(share, speed):
    assert motor.no_load_current_A(speed, 0.7, speed, share) == pytest.approx(0.7, rel=1e-12)


@given(duty=DUTY, volts=VOLTS, amps=st.floats(0.1, 60.0), ohm=OHM, factor=st.floats(0.0, 0.3))
def test_pack_power_is_motor_power_and_controller_heat(duty, volts, amps, ohm, factor):
    from_pack = volts * controller.pack_current_A(duty, amps, 0.0, factor)
    to_motor = amps * controller.terminal_voltage_V(duty, volts, amps, ohm)
    heat = ohm * amps**2 + controller.part_load_loss_W(duty, volts, amps, factor)
    assert from_pack == pytest.approx(to_motor + heat, rel=1e-9)


@given(load=st.floats(0.01, 2.0), volts=st.floats(6.0, 17.0))
def test_a_switching_supply_takes_less_than_a_linear_one_where_there_are_volts_to_spare(load, volts):
    linear = controller.linear_supply_current_A(load)
    assert controller.switching_supply_current_A(load, 5.0, volts) < linear or volts < 5.0 / 0.85


@given(low=st.floats(0.0, 0.99), more=st.floats(0.001, 0.5))
def test_a_fuller_pack_has_more_volts_and_less_resistance(low, more):
    high = min(1.0, low + more)
    assert pack.open_circuit_voltage_V(high, 2) >= pack.open_circuit_voltage_V(low, 2)
    assert pack.charge_factor(high) <= pack.charge_factor(low)


@given(kelvin=st.floats(263.0, 332.0), warmer=st.floats(0.1, 20.0))
def test_a_warmer_pack_has_less_resistance(kelvin, warmer):
    assert pack.temperature_factor(kelvin + warmer) < pack.temperature_factor(kelvin)
