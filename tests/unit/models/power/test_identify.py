"""Identification of a motor: what was put in comes out, and poor readings are named."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.models.power.identify import identify_motor

VOLTS = np.array([11.0, 10.6, 10.2, 9.8])
AMPS = np.array([4.0, 9.0, 14.0, 20.0])


def revs(kv, ohm, volts=VOLTS, amps=AMPS):
    return kv * (volts - ohm * amps) / (2.0 * math.pi)


@given(kv=st.floats(50.0, 300.0), ohm=st.floats(0.01, 0.2))
def test_exact_readings_give_the_motor_back(kv, ohm):
    found = identify_motor(VOLTS, AMPS, revs(kv, ohm), torque_Nm=(AMPS - 0.6) / kv)
    assert found.kv_rad_per_Vs == pytest.approx(kv, rel=1e-9)
    assert found.resistance_ohm == pytest.approx(ohm, rel=1e-7)
    assert found.no_load_current_A == pytest.approx(0.6, rel=1e-6)
    assert found.warnings == ()


def test_the_stated_sigma_is_the_scatter_of_repeated_benches():
    generator = np.random.default_rng(7)
    fits = [
        identify_motor(VOLTS, AMPS, revs(100.0, 0.08) * (1.0 + 0.004 * generator.standard_normal(4)))
        for _ in range(600)
    ]
    scatter = np.std([fit.resistance_ohm for fit in fits])
    stated = np.sqrt(np.mean([fit.resistance_sigma_ohm**2 for fit in fits]))
    assert stated == pytest.approx(scatter, rel=0.1)
    pull = np.corrcoef([fit.kv_rad_per_Vs for fit in fits], [fit.resistance_ohm for fit in fits])[0, 1]
    assert pull > 0.8  # a higher Kv is paid with a higher R, as the covariance says
    assert all(fit.covariance[0][1] > 0.0 for fit in fits)


@pytest.mark.parametrize(
    ("volts", "amps", "turns", "label", "sentence"),
    [
        ((10.0, 10.0), (5.0, 10.0), (150.0, 140.0), None, "Two readings fit any motor"),
        ((10.0, 10.0, 10.0), (5.0, 10.0, 15.0), (140.0, 150.0, 160.0), None, "which cannot be"),
        ((10.0, 10.0, 10.0), (5.0, 10.0, 15.0), (150.0, 120.0, 135.0), None, "miss the motor model"),
        ((10.0, 10.0, 10.0), (2.0, 10.0, 20.0), (156.0, 143.2, 127.3), 150.0, "the label 1432"),
        ((10.0, 10.0, 10.0), (9.8, 10.0, 10.3), (144.0, 143.2, 143.0), None, "loads are nearly the same"),
    ],
)
def test_poor_readings_are_named(volts, amps, turns, label, sentence):
    found = identify_motor(volts, amps, turns, label_kv_rad_per_Vs=label)
    assert any(sentence in warning for warning in found.warnings)


@pytest.mark.parametrize(
    ("volts", "amps", "turns", "sentence"),
    [
        ((10.0,), (5.0,), (150.0,), "at least two readings"),
        ((10.0, 10.0), (5.0,), (150.0, 140.0), "the same length"),
        (
            (10.0, math.nan),
            (5.0, 6.0),
            (150.0, 140.0),
            "voltage_V must be a list of finite numbers",
        ),
        ((10.0, 10.0), (5.0, -6.0), (150.0, 140.0), "current_A must be"),
    ],
)
def test_unusable_readings_are_refused(volts, amps, turns, sentence):
    with pytest.raises(ValueError, match=sentence):
        identify_motor(volts, amps, turns)


def test_torque_must_have_one_reading_for_each_current():
    with pytest.raises(ValueError, match="one reading for each current: 4, came 2"):
        identify_motor(VOLTS, AMPS, revs(100.0, 0.1), torque_Nm=[0.1, 0.2])
