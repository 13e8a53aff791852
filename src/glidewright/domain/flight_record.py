"""Flight record: what an instrument wrote down in one flight, in SI, with what had to be repaired."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float64]

# every channel that a record may have, with its meaning; what an instrument did not record is not there
CHANNELS: Mapping[str, str] = {
    "height_m": "height that the instrument shows, over its own zero, not corrected for temperature",
    "pressure_Pa": "static pressure",
    "gnss_height_m": "height from satellites, over the receiver's own reference",
    "vertical_speed_m_s": "vertical speed that the instrument shows, upwards positive",
    "airspeed_m_s": "speed through the air",
    "ground_speed_m_s": "speed over ground",
    "course_rad": "direction of the way over ground, from true north clockwise",
    "latitude_rad": "latitude, north positive",
    "longitude_rad": "longitude, east positive",
    "voltage_V": "volts of the pack",
    "current_A": "current out of the pack",
    "charge_As": "charge taken, as the instrument counted it",
    "revs_per_s": "revolutions of the motor's shaft",
    "throttle": "throttle, 0 to 1",
    "temperature_K": "temperature at the instrument",
    "engine_noise": "noise at the recorder, 0 quiet to 1 loudest",
}


@dataclass(frozen=True, eq=False)
class FlightRecord:
    """One flight as recorded: times, channels, and where they came from.

    time_s: shape (n,), n at least 2, strictly rising, 0 at the first sample; gaps are left as they were.
    channels: by a name of ``CHANNELS``, each of shape (n,), SI, NaN where the instrument has no value;
    a channel without any value is not there. All arrays are read-only. ``height_m`` is there whenever the
    record has any height; ``height_from`` says what it was made of.

    source_name: name of the file, without its folder; source_sha256: of its bytes; format: name of the
    reader; part: number of this flight in the file, from 1; parts: how many the file holds; start_utc: of
    the first sample, None when the file does not state it; day: of the first sample as the file states it, on
    the clock of the file, None when it does not; notes: one sentence for everything that was repaired or left
    out.
    """

    source_name: str
    source_sha256: str
    format: str
    time_s: Samples
    channels: Mapping[str, Samples]
    height_from: str = ""
    start_utc: datetime | None = None
    day: date | None = None
    part: int = 1
    parts: int = 1
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        time_s = _frozen(self.time_s)
        if time_s.ndim != 1 or time_s.size < 2 or not np.all(np.diff(time_s) > 0.0):
            raise ValueError("time_s must have at least two samples and rise strictly")
        for name, samples in self.channels.items():
            if name not in CHANNELS:
                raise ValueError(f"{name} is no channel")
            if samples.shape != time_s.shape:
                raise ValueError(f"{name} must have shape {time_s.shape}, but has {samples.shape}")
        object.__setattr__(self, "time_s", time_s)
        object.__setattr__(self, "channels", {name: _frozen(own) for name, own in self.channels.items()})

    def channel(self, name: str) -> Samples | None:
        """The samples of a channel, or None when it was not recorded."""
        return self.channels.get(name)

    @property
    def duration_s(self) -> float:
        """From the first sample to the last one."""
        return float(self.time_s[-1] - self.time_s[0])

    @property
    def samples_per_s(self) -> float:
        """Rate between gaps: one over the median step."""
        return float(1.0 / np.median(np.diff(self.time_s)))


def _frozen(samples: Samples) -> Samples:
    """The samples as a read-only array of floats; the caller's own array is left as it is."""
    own = np.array(samples, dtype=np.float64)
    own.setflags(write=False)
    return own
