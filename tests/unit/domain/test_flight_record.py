"""A flight record keeps its arrays and its clock in order; a reading goes to text and back."""

import numpy as np
import pytest

from glidewright.base.figure import Figure
from glidewright.domain.flight_reading import FlightReading, FlightTrace
from glidewright.domain.flight_record import CHANNELS, FlightRecord


def record(time_s: list[float], **channels: list[float]) -> FlightRecord:
    return FlightRecord(
        source_name="a.csv",
        source_sha256="0" * 64,
        format="delimited",
        time_s=np.array(time_s),
        channels={name: np.array(own) for name, own in channels.items()},
    )


def test_arrays_are_read_only_and_the_callers_own_stays_writable() -> None:
    own = np.array([1.0, 2.0, 3.0])
    made = FlightRecord("a", "0", "delimited", np.array([0.0, 1.0, 2.0]), {"height_m": own})
    with pytest.raises(ValueError, match="read-only"):
        made.channels["height_m"][0] = 5.0
    with pytest.raises(ValueError, match="read-only"):
        made.time_s[0] = 5.0
    own[0] = 5.0
    assert made.channels["height_m"][0] == 1.0


@pytest.mark.parametrize("time_s", [[0.0, 1.0, 1.0], [0.0, 2.0, 1.0], [0.0], [0.0, float("nan"), 2.0]])
def test_a_clock_that_does_not_rise_is_refused(time_s: list[float]) -> None:
    with pytest.raises(ValueError, match="rise strictly"):
        record(time_s)


def test_an_unknown_channel_and_a_wrong_length_are_refused() -> None:
    with pytest.raises(ValueError, match="no channel"):
        record([0.0, 1.0], altitude=[0.0, 1.0])
    with pytest.raises(ValueError, match="must have shape"):
        record([0.0, 1.0], height_m=[0.0, 1.0, 2.0])


def test_rate_is_taken_between_gaps() -> None:
    made = record([0.0, 0.1, 0.2, 0.3, 5.0, 5.1], voltage_V=[11.0] * 6)
    assert made.samples_per_s == pytest.approx(10.0)
    assert made.duration_s == 5.1
    assert made.channel("height_m") is None
    assert made.channel("voltage_V") is not None
    assert "voltage_V" in CHANNELS


def test_a_reading_goes_to_text_and_back_without_its_curves() -> None:
    unknown = Figure.unknown("m", "m", "test")
    grid = np.array([0.0, 1.0])
    made = FlightReading(
        source_name="a.csv",
        source_sha256="0" * 64,
        duration=unknown,
        sampling_rate=unknown,
        longest_gap=unknown,
        ground_height=unknown,
        drift=unknown,
        noise=unknown,
        scale=unknown,
        phases=(),
        trace=FlightTrace(time_s=grid, height_m=grid, raw_height_m=grid, climb_m_s=grid),
    )
    back = FlightReading.model_validate_json(made.model_dump_json())
    assert back == made.model_copy(update={"trace": None})
