"""From recordings as a format states them to flight records: clock, ranges, height."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import timedelta

import numpy as np

from glidewright.base.errors import InputError, Problem
from glidewright.data.standard_air import pressure_height_m
from glidewright.domain.flight_record import FlightRecord, Samples
from glidewright.domain.raw_log import RawLog

from .clock import FEWEST_SAMPLES, Stretch, counted, stretches
from .log_format import Recording

# what an instrument of a model glider or a full-size one can show; anything else is no value
RANGES: Mapping[str, tuple[float, float]] = {
    "height_m": (-1000.0, 20_000.0),
    "pressure_Pa": (5_000.0, 120_000.0),
    "gnss_height_m": (-1000.0, 20_000.0),
    "vertical_speed_m_s": (-200.0, 200.0),
    "airspeed_m_s": (0.0, 400.0),
    "ground_speed_m_s": (0.0, 400.0),
    "course_rad": (-2.0 * np.pi, 2.0 * np.pi),
    "latitude_rad": (-np.pi / 2.0, np.pi / 2.0),
    "longitude_rad": (-2.0 * np.pi, 2.0 * np.pi),
    "voltage_V": (0.0, 200.0),
    "current_A": (-500.0, 1000.0),
    "charge_As": (-1e6, 1e6),
    "revs_per_s": (0.0, 5000.0),
    "throttle": (-1.5, 1.5),
    "temperature_K": (173.15, 473.15),
    "engine_noise": (0.0, 1.0),
}
_HEIGHTS = ("height_m", "pressure_Pa", "gnss_height_m")


def records_of(raw: RawLog, format_name: str, recordings: Sequence[Recording]) -> tuple[FlightRecord, ...]:
    """The flight records of a log, in order; InputError when none has a clock and a channel."""
    drafts: list[tuple[Recording, Stretch]] = []
    refused: list[InputError] = []
    for recording in recordings:
        try:
            found = stretches(recording.clock_s, recording.is_time_of_day, raw.name)
        except InputError as error:
            refused.append(error)
        else:
            drafts += [(recording, one) for one in found]
    made = [_record(raw, format_name, *draft) for draft in drafts]
    whole = [record for record in made if record is not None]
    if not whole:
        raise refused[0] if refused else _too_short(raw.name)
    return tuple(_numbered(record, number, len(whole)) for number, record in enumerate(whole, 1))


def _too_short(name: str) -> InputError:
    return InputError(
        Problem(
            name,
            f"must hold at least {FEWEST_SAMPLES} samples with a time and a value of a known channel; "
            "it has fewer; give a whole log, or map its columns",
        )
    )


def _record(raw: RawLog, format_name: str, recording: Recording, own: Stretch) -> FlightRecord | None:
    """One record; None when it is too short to say anything."""
    if own.time_s.size < FEWEST_SAMPLES:
        return None
    notes = [*recording.notes, *own.notes]
    channels: dict[str, Samples] = {}
    for name, samples in recording.channels.items():
        kept, outside = _in_range(name, samples[own.places])
        if outside:
            notes.append(f"{counted(outside, 'value')} of {name} that no instrument shows left out.")
        if np.any(np.isfinite(kept)):
            channels[name] = kept
    if not channels:
        return None
    height_from = _give_height(channels, notes)
    start = recording.start_utc
    first = None if start is None else start + timedelta(seconds=own.begin_s)
    return FlightRecord(
        source_name=raw.name,
        source_sha256=raw.sha256,
        format=format_name,
        time_s=own.time_s,
        channels=channels,
        height_from=height_from,
        start_utc=first,
        day=recording.day if first is None else first.date(),
        notes=tuple(notes),
    )


def _in_range(name: str, samples: Samples) -> tuple[Samples, int]:
    """The samples with NaN for what lies outside of the range, and how many those were."""
    low, high = RANGES[name]
    known = np.isfinite(samples)
    inside = (samples >= low) & (samples <= high)  # a NaN is not
    kept = np.where(inside, samples, np.nan)
    return kept, int(np.count_nonzero(known & ~inside))


def _give_height(channels: dict[str, Samples], notes: list[str]) -> str:
    """Put ``height_m`` there when the record has any height, and say what it was made of."""
    source = next((name for name in _HEIGHTS if name in channels), "")
    if source == "pressure_Pa":
        channels["height_m"] = pressure_height_m(channels["pressure_Pa"])
        notes.append("The height is the pressure by the standard atmosphere.")
    elif source == "gnss_height_m":
        channels["height_m"] = channels["gnss_height_m"]
        notes.append(
            "The record has no pressure and no barometric height; the height is that of the satellites, "
            "too coarse for launch heights and sink."
        )
    return source


def _numbered(record: FlightRecord, part: int, parts: int) -> FlightRecord:
    return record if parts == 1 else replace(record, part=part, parts=parts)
