"""Flights of the launch model as an instrument would have recorded them: the truth is known.

A part of what ``studies/segmentation.py`` measures on 500 flights.
"""

import runpy
from pathlib import Path

import numpy as np
import pytest

from glidewright.logs.pooled import pool_sink
from glidewright.logs.read_flight import read_flight

MAKER = runpy.run_path(str(Path(__file__).parents[2] / "studies" / "synthetic_flights.py"))
COUNT = 60
DRIVE = ("current_A", "voltage_V")


@pytest.fixture(scope="module")
def flights():
    return MAKER["flights"](COUNT, 7)


def read(flights, **case):
    made = MAKER["instruments"](COUNT, 8, **case)
    pairs = []
    for number, (flight, instrument) in enumerate(zip(flights, made, strict=True)):
        reading = read_flight(
            MAKER["recorded"](flight, instrument, number),
            temperature_K=flight.temperature_K,
            ground_pressure_Pa=flight.pressure_Pa,
        )
        pairs.append((reading, MAKER["errors_of"](flight, instrument, reading)))
    return pairs


def column(pairs, name):
    return np.array([getattr(errors, name) for _, errors in pairs])


@pytest.fixture(scope="module")
def with_amps(flights):
    return read(flights, channels=DRIVE)


@pytest.fixture(scope="module")
def height_alone(flights):
    return read(flights)


@pytest.mark.parametrize("which", ["with_amps", "height_alone"])
def test_at_ten_samples_a_second_stop_and_height_are_right(which, request):
    pairs = request.getfixturevalue(which)
    # missing launches are NaN and count as wrong
    assert np.mean(np.abs(column(pairs, "stop_s")) <= 0.5) >= 0.95
    assert np.mean(np.abs(column(pairs, "height_m")) <= 0.5) >= 0.95
    assert column(pairs, "launches").tolist() == [1] * COUNT


def test_at_one_sample_a_second_they_are_as_good_as_the_clock(flights):
    pairs = read(flights, samples_per_s=1.0)
    assert np.mean(np.abs(column(pairs, "stop_s")) <= 0.5) >= 0.85
    assert np.mean(np.abs(column(pairs, "stop_s")) <= 1.0) >= 0.95
    assert np.mean(np.abs(column(pairs, "height_m")) <= 0.5) >= 0.9


def test_the_band_of_the_height_holds_eight_of_ten(with_amps):
    held = np.mean(column(with_amps, "covered"))
    assert 0.65 <= held <= 0.95


def test_touch_and_lift_are_found(with_amps):
    touch = np.abs(column(with_amps, "landing_s"))
    assert np.mean(touch <= 1.0) >= 0.9
    assert column(with_amps, "lifts_found").sum() == column(with_amps, "lifts").sum() > 20


def test_lift_that_is_read_was_there(flights, with_amps):
    for flight, (reading, _) in zip(flights, with_amps, strict=True):
        for lift in reading.lifts:
            inside = (flight.time_s > lift.start.value) & (flight.time_s < lift.end.value)
            assert flight.air_m_s[inside].mean() > -0.1
            truly = flight.height_m[inside]
            assert truly[-1] - truly[0] == pytest.approx(lift.gain.value * flight.scale, abs=1.5)


def test_phases_have_no_holes_and_rising_times(with_amps, height_alone):
    for reading, _ in with_amps + height_alone:
        kinds = [phase.kind for phase in reading.phases]
        assert kinds[:3] == ["ground", "motor", "zoom"]
        assert kinds[-2:] == ["landing", "ground"]
        for before, after in zip(reading.phases, reading.phases[1:], strict=False):
            assert before.end == after.start
            assert before.start.value < before.end.value
        for phase in reading.phases[1:]:
            assert phase.start.low < phase.start.value < phase.start.high


def test_sink_of_one_flight_and_of_many(flights, with_amps):
    errors = column(with_amps, "sink_m_s")
    assert np.nanmedian(np.abs(errors)) < 0.1
    mean_truth = np.median([flight.still_sink_m_s for flight in flights])
    pooled = pool_sink([reading for reading, _ in with_amps])
    assert pooled.flights > 50
    assert pooled.sink.value == pytest.approx(mean_truth, abs=0.04)
    assert pooled.sink.low <= mean_truth <= pooled.sink.high
    assert pooled.sink.high - pooled.sink.low < 0.1


def test_charge_and_volts(flights, with_amps):
    for flight, (reading, _) in zip(flights, with_amps, strict=True):
        [launch] = reading.launches
        runs = flight.throttle > 0.5
        truth_As = float(np.sum(flight.current_A[runs]) * 0.05)
        assert launch.charge.value == pytest.approx(truth_As, rel=0.03)
        assert launch.lowest_voltage.value == pytest.approx(flight.voltage_V[runs].min(), abs=0.1)
        assert launch.resting_voltage.value == pytest.approx(flight.voltage_V[0], abs=0.02)
        assert launch.mean_climb.low <= launch.mean_climb.value <= launch.mean_climb.high


@pytest.mark.parametrize("pascal", [-6.0, 6.0])
def test_the_slipstream_shows_as_a_step_and_does_not_move_the_stop(flights, pascal):
    pairs = read(flights[:COUNT], channels=DRIVE, slipstream_Pa=pascal)
    step = np.array([reading.launches[0].slipstream_step.value for reading, _ in pairs])
    assert np.median(step) * np.sign(pascal) == pytest.approx(0.5, abs=0.15)
    assert np.mean(np.abs(column(pairs, "stop_s")) <= 0.5) == 1.0


@pytest.mark.parametrize("channels", [("voltage_V",), ("throttle",), ("revs_per_s",)])
def test_any_channel_of_the_drive_shows_the_run(flights, channels):
    few = flights[:12]
    for number, flight in enumerate(few):
        record = MAKER["recorded"](flight, MAKER["Instrument"](channels=channels), number)
        [launch] = read_flight(record).launches
        assert launch.motor_stop.value == pytest.approx(flight.motor_stop_s, abs=0.25)
        assert launch.motor_start.value == pytest.approx(flight.motor_start_s, abs=0.5)
        assert launch.motor_sign in {"voltage", "throttle", "motor speed"}


def test_energy_height_takes_out_what_speed_makes(flights):
    record = MAKER["recorded"](flights[0], MAKER["Instrument"](channels=("throttle", "airspeed_m_s")), 1)
    reading = read_flight(record)
    assert all(segment.is_energy_compensated for segment in reading.glides)
    assert all(segment.airspeed.value == pytest.approx(7.0, abs=1.5) for segment in reading.glides)
    assert reading.trace is not None
    assert reading.trace.energy_climb_m_s is not None
