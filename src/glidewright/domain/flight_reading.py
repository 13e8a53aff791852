"""Flight reading: what happened in one flight, as far as its record can tell, and how sure that is.

Times are seconds on the clock of the record. Heights stand over the ground baseline and are, like all
climb and sink, in metres as the instrument indicates them, because classes count those; times ``scale``
they are true metres. Sink is positive downwards.
"""

from datetime import date, datetime
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure

PhaseKind = Literal["ground", "motor", "zoom", "glide", "lift", "sink", "landing"]
MotorSign = Literal["throttle", "current", "motor speed", "voltage", "engine noise", "climb"]


def not_recorded(unit: str, shown: str) -> Figure:
    """A figure that the instrument could not tell."""
    return Figure.unknown(unit, shown, "not recorded")


class Phase(Noun):
    """A stretch of the flight, with how sure its ends are."""

    kind: PhaseKind = plain("Kind", help="what the model did")
    start: Figure = plain("Start", help="s")
    end: Figure = plain("End", help="s; of the last phase the end of the record")
    circling: bool | None = plain(
        "Circling", help="whether it turned; none when the record has no position", default=None
    )


class LaunchReading(Noun):
    """One motor run with its zoom, and the height as the class counts it."""

    number: int = plain("Number", help="in this flight, from 1")
    motor_sign: MotorSign = plain("Motor seen by", help="the channel that shows the motor run")
    motor_start: Figure = plain("Motor start", help="s")
    motor_stop: Figure = plain("Motor stop", help="s")
    motor_run: Figure = plain("Motor run", help="s")
    counted_height: Figure = plain("Counted height", help="m, by the rule that was asked for")
    highest_raw: Figure = plain(
        "Highest sample", help="m, in the same span, as the instrument alone would show it"
    )
    height_at_start: Figure = plain("Height at motor start", help="m")
    height_at_stop: Figure = plain("Height at motor stop", help="m")
    height_at_window_end: Figure = plain("Height at the end of the window", help="m")
    top_height: Figure = plain("Top of the zoom", help="m")
    top: Figure = plain("Time of the top", help="s")
    zoom_gain: Figure = plain("Zoom", help="m, top over the height at motor stop")
    slipstream_step: Figure = plain(
        "Step at motor stop", help="m, by which the indicated height jumps when the slipstream ends"
    )
    mean_climb: Figure = plain("Mean climb", help="m/s, height won over the motor run")
    best_climb: Figure = plain("Best climb", help="m/s, best mean over 5 s")
    is_restart: bool = plain(
        "Restart", help="true when the motor ran again before the model had landed", default=False
    )
    charge: Figure = plain("Charge", help="A s", default=not_recorded("A s", "mAh"))
    mean_current: Figure = plain("Mean current", help="A", default=not_recorded("A", "A"))
    highest_current: Figure = plain("Highest current", help="A", default=not_recorded("A", "A"))
    mean_voltage: Figure = plain("Mean volts", help="V, under load", default=not_recorded("V", "V"))
    lowest_voltage: Figure = plain("Lowest volts", help="V, under load", default=not_recorded("V", "V"))
    resting_voltage: Figure = plain(
        "Resting volts", help="V, before motor start", default=not_recorded("V", "V")
    )
    recovered_voltage: Figure = plain(
        "Recovered volts",
        help="V, after motor stop, as far as the record goes",
        default=not_recorded("V", "V"),
    )
    pack_resistance: Figure = plain(
        "Pack resistance",
        help="ohm, fall of the volts over the current at motor start and stop, leads included",
        default=not_recorded("ohm", "mΩ"),
    )
    mean_power: Figure = plain("Mean power", help="W, out of the pack", default=not_recorded("W", "W"))
    mean_motor_speed: Figure = plain("Mean motor speed", help="1/s", default=not_recorded("1/s", "rpm"))
    mean_airspeed: Figure = plain(
        "Mean airspeed", help="m/s, in the climb", default=not_recorded("m/s", "m/s")
    )


class GlideSegment(Noun):
    """A stretch of gliding without motor: how fast it went down."""

    start: Figure = plain("Start", help="s")
    end: Figure = plain("End", help="s")
    sink: Figure = plain("Sink", help="m/s, positive downwards; the motion of the air is in it")
    is_still: bool = plain("Still", help="true when nothing in the record speaks of moving air")
    because: str = plain("Because", help="why it looks still, or why not")
    airspeed: Figure = plain("Airspeed", help="m/s, mean", default=not_recorded("m/s", "m/s"))
    is_energy_compensated: bool = plain(
        "Energy compensated", help="true when changes of airspeed are taken out of the sink", default=False
    )


class LiftReading(Noun):
    """Lift that was found and used."""

    start: Figure = plain("Start", help="s")
    end: Figure = plain("End", help="s")
    duration: Figure = plain("Duration", help="s")
    gain: Figure = plain("Height gained", help="m")
    strength: Figure = plain("Strength", help="m/s, mean climb of the model")
    air_strength: Figure = plain("Rise of the air", help="m/s, mean climb plus the sink in still air")
    turns: Figure = plain("Turns", help="full circles", default=not_recorded("1", ""))
    is_energy_compensated: bool = plain(
        "Energy compensated", help="true when changes of airspeed are taken out of the climb", default=False
    )


class LandingReading(Noun):
    """Where the flight ended."""

    touch: Figure = plain("Touch", help="s")
    height: Figure = plain("Height of the landing place", help="m, over the ground baseline")


class FlightTrace(Noun):
    """Curves for a chart, each of shape (n,), on the times of the record."""

    time_s: NDArray[np.float64] = plain("Time", help="as in the record")
    height_m: NDArray[np.float64] = plain(
        "Height", help="over the ground baseline, spikes and drift taken out, smoothed"
    )
    raw_height_m: NDArray[np.float64] = plain("Raw height", help="over the ground baseline, as recorded")
    climb_m_s: NDArray[np.float64] = plain("Climb", help="slope of the smoothed height")
    energy_climb_m_s: NDArray[np.float64] | None = plain(
        "Climb of the energy height", help="none without airspeed", default=None
    )


class PooledSink(Noun):
    """Sink in still-looking air from many flights, in true metres."""

    sink: Figure = plain("Sink", help="m/s, true, positive downwards")
    between_flights: Figure = plain(
        "Spread between flights", help="m/s, standard deviation; air and flying, not the instrument"
    )
    segments: int = plain("Segments", help="still-looking stretches that entered")
    flights: int = plain("Flights", help="that have such a stretch")
    statement: str = plain("Statement", help="what this number can say and what it cannot")


class FlightReading(Noun):
    """All that one record tells of its flight."""

    source_name: str = plain("File", help="name of the log")
    source_sha256: str = plain("Hash", help="SHA-256 of its bytes")
    part: int = plain("Part", help="number of the flight in the file", default=1)
    format: str = plain("Format", help="reader that read it", default="")
    start_utc: datetime | None = plain(
        "Start", help="time of the first sample, UTC; none when not stated", default=None
    )
    day: date | None = plain("Day", help="as the log states it, by its own clock", default=None)
    duration: Figure = plain("Length of the record", help="s")
    sampling_rate: Figure = plain("Sampling rate", help="1/s, between gaps")
    longest_gap: Figure = plain("Longest gap", help="s without a sample of the height")

    ground_height: Figure = plain(
        "Ground", help="m, indicated height of the launch place before the launch: the baseline"
    )
    drift: Figure = plain(
        "Drift",
        help="m, movement of the indicated height of the ground over the record",
    )
    noise: Figure = plain("Noise", help="m, standard deviation from sample to sample")
    spikes: int = plain("Spikes", help="samples taken out", default=0)
    scale: Figure = plain("Scale", help="true metres for an indicated metre")
    airspeed_error: Figure = plain(
        "Pressure error",
        help="m of indicated height at 10 m/s, found from changes of airspeed",
        default=not_recorded("m", "m"),
    )

    phases: tuple[Phase, ...] = plain("Phases", help="in order, without holes")
    launches: tuple[LaunchReading, ...] = plain("Launches", help="motor runs", default=())
    glides: tuple[GlideSegment, ...] = plain("Glides", help="stretches without motor", default=())
    still_sink: Figure = plain(
        "Sink in still-looking air",
        help="m/s, of this flight alone",
        default=not_recorded("m/s", "m/s"),
    )
    lifts: tuple[LiftReading, ...] = plain("Lift", help="found and used", default=())
    landing: LandingReading | None = plain("Landing", help="none when the record ends before", default=None)
    flight_time: Figure = plain(
        "Flight time",
        help="s, from the first release or motor start to touch",
        default=not_recorded("s", "s"),
    )
    statements: tuple[str, ...] = plain(
        "Statements", help="what this record cannot tell, and what was repaired", default=()
    )
    trace: FlightTrace | None = Field(
        title="Curves",
        description="for charts; not part of what is kept",
        default=None,
        exclude=True,
        repr=False,
    )
