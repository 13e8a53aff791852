"""Public recordings of full-size gliders and paragliders: what can be read off them by hand."""

import numpy as np
import pytest

from glidewright.base.errors import InputError
from glidewright.logs.read_flight import read_flight


def kinds(reading):
    return [phase.kind for phase in reading.phases]


def test_a_flight_down_a_hill(recorded):
    record = recorded("aerofiles_2019-04-15.igc")
    reading = read_flight(record)
    # by its fixes: 650 m for the first 17 s, 113 to 115 m for the last minute, the way down between
    height = record.channels["height_m"]
    assert (height[:10].max(), height[-30:].max()) == (650.0, 115.0)
    assert kinds(reading)[0] == "ground"
    assert kinds(reading)[-2:] == ["landing", "ground"]
    assert reading.landing is not None
    assert reading.landing.height.value == pytest.approx(-535.0, abs=3.0)
    assert reading.landing.touch.value == pytest.approx(478.0, abs=6.0)
    assert reading.launches == ()
    assert reading.drift.value is None
    assert "No motor run is seen." in reading.statements


def test_a_long_flight_with_thermals(recorded):
    reading = read_flight(recorded("igc_lib_napret.igc"))
    circling = [phase for phase in reading.phases if phase.kind == "lift" and phase.circling]
    assert len(circling) >= 3
    assert reading.lifts
    for lift in reading.lifts:
        assert lift.gain.value > 0.0
        assert lift.strength.value == pytest.approx(lift.gain.value / lift.duration.value, rel=0.1)
    longest = max(reading.lifts, key=lambda lift: lift.gain.value)
    assert longest.turns.value > 2.0
    assert longest.air_strength.value > longest.strength.value


def test_repeated_times_and_a_launch(recorded):
    reading = read_flight(recorded("igc_lib_no_time_increment.igc"))
    assert all(np.isfinite(phase.end.value) for phase in reading.phases)
    assert kinds(reading)[:3] == ["ground", "motor", "zoom"]
    [lift] = reading.lifts
    assert lift.turns.value > 5.0


@pytest.mark.parametrize(
    "name",
    ["aerofiles_example", "aerofiles_2020-09-04", "igc_lib_new_date_format"],
)
def test_every_recording_has_a_reading(recorded, name):
    record = recorded(f"{name}.igc")
    reading = read_flight(record)
    assert reading.phases[0].start.value == pytest.approx(0.0, abs=1.0)
    assert reading.phases[-1].end.value == pytest.approx(record.duration_s, abs=31.0)
    assert set(record.notes) <= set(reading.statements)
    assert reading.source_sha256 == record.source_sha256


def test_a_record_that_is_too_coarse_is_refused_in_a_sentence(recorded):
    with pytest.raises(InputError, match="must have a height every 10 s at least; it has one every 30 s"):
        read_flight(recorded("igc_lib_new_zealand_every_tenth.igc"))
