"""Flights of the launch model as an instrument would have recorded them, with the truth beside.

The launch is that of the compiled kernel; the glide goes on through air that moves, and ends on the ground.
The instrument is a barometric one with the noise of a data sheet:

- noise: TE Connectivity, MS5611-01BA03 data sheet, resolution RMS 1.2, 1.8 and 2.7 Pa at oversampling 4096,
  2048 and 1024 (0.012, 0.018, 0.027 mbar);
- warming: Bosch Sensortec, BMP280 data sheet rev. 1.14, temperature coefficient of the offset 1.5 Pa/K; the
  instrument warms by up to 5 K with a time constant of two minutes, from memory;
- weather: 0.1 to 1 hPa an hour, common practice;
- readings in steps of 0.1 m, common practice; gaps of up to 0.6 s as a public set of a quadcopter's barometer
  has them (20 Hz nominal, 18 Hz delivered).
"""

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.data.standard_air import pressure_height_m
from glidewright.domain.flight_reading import FlightReading, LiftReading
from glidewright.domain.flight_record import FlightRecord
from glidewright.models.air.atmosphere import field_air, pressure_above_field_Pa
from glidewright.models.air.indicated import scale_temperature_K
from glidewright.models.launch.example import example_inputs
from glidewright.models.launch.flights import launch_trace
from glidewright.models.launch.layout import CUT_TIME, MOTOR_START_S, TRACE_FIELDS

Array = NDArray[np.float64]
FINE_s = 0.05
WINDOW_s = 10.0
_LONGEST_s = 600.0
_COLUMN = {name: place for place, name in enumerate(TRACE_FIELDS)}


@dataclass(frozen=True, eq=False)
class Flight:
    """The truth: curves on a fine clock from power-on, and what happened when.

    height_m: true, over the launch place; air_m_s: vertical motion of the air; lifts: start, end and mean
    climb of what the model used.
    """

    time_s: Array
    height_m: Array
    air_m_s: Array
    airspeed_m_s: Array
    current_A: Array
    voltage_V: Array
    revs_per_s: Array
    throttle: Array
    motor_start_s: float
    motor_stop_s: float
    landing_s: float
    temperature_K: float
    pressure_Pa: float
    lifts: tuple[tuple[float, float, float], ...]
    still_sink_m_s: float

    @property
    def indicated_m(self) -> Array:
        """Height by the standard atmosphere over the launch place, without any error."""
        pressure = pressure_above_field_Pa(self.height_m, self.temperature_K, self.pressure_Pa)
        return pressure_height_m(pressure) - pressure_height_m(self.pressure_Pa)

    @property
    def launch_height_m(self) -> float:
        """Highest indicated height from motor start to the end of the window."""
        inside = (self.time_s >= self.motor_start_s) & (self.time_s <= self.motor_stop_s + WINDOW_s)
        return float(self.indicated_m[inside].max())

    @property
    def scale(self) -> float:
        """True metres for an indicated metre."""
        return self.temperature_K / scale_temperature_K(self.pressure_Pa, "difference")


@dataclass(frozen=True)
class Instrument:
    """How the flight is recorded.

    speed_error: share of the dynamic pressure that the static port sees; slipstream_Pa: pressure at the port
    while the motor runs.
    """

    samples_per_s: float = 10.0
    noise_Pa: float = 1.2
    step_m: float = 0.1
    warming_Pa: float = 7.5
    drift_Pa_s: float = 0.0
    dropouts: float = 0.01
    speed_error: float = 0.0
    slipstream_Pa: float = 0.0
    channels: tuple[str, ...] = field(default=())


def flights(count: int, seed: int) -> list[Flight]:
    """Flights of models, pilots and days that differ; the same for the same seed."""
    rng = np.random.default_rng(seed)

    def draw(low: float, high: float) -> Array:
        return rng.uniform(low, high, count)

    inputs = example_inputs(
        mass_kg=draw(0.45, 0.8),
        climb_speed_m_s=draw(8.0, 13.0),
        glide_speed_m_s=draw(6.0, 7.5),
        throw_speed_m_s=draw(6.0, 10.0),
        throw_height_m=draw(1.5, 2.0),
        motor_start_s=draw(-0.3, 0.8),
        full_duty=draw(0.7, 1.0),
        wind_speed_m_s=draw(0.0, 5.0),
        run_limit_s=draw(8.0, 30.0),
        path_time_constant_s=draw(0.3, 0.8),
        speed_time_constant_s=draw(1.0, 2.5),
    )
    traces, outputs = launch_trace(inputs, duration_s=_LONGEST_s)
    return [
        _flight(traces[number], outputs[number], float(inputs.launch[number, MOTOR_START_S]), rng)
        for number in range(count)
    ]


def _flight(trace: Array, output: Array, motor_start: float, rng: np.random.Generator) -> Flight:
    trace = trace[~np.isnan(trace[:, 1])]
    ground_s, hand_s = float(rng.uniform(25.0, 120.0)), float(rng.uniform(3.0, 8.0))
    release = ground_s + hand_s
    stop = float(output[CUT_TIME])
    flown = np.arange(0.0, trace[-1, 0], FINE_s)
    columns = {name: np.interp(flown, trace[:, 0], trace[:, place]) for name, place in _COLUMN.items()}
    height, air, lifts = _through_air(flown, columns["height_m"], stop, rng)
    landed = int(np.argmax(height <= 0.0)) if np.any(height <= 0.0) else height.size - 1
    tail_s = float(rng.uniform(20.0, 60.0))
    before, behind = int(release / FINE_s), int(tail_s / FINE_s)
    in_hand = np.clip((np.arange(before) * FINE_s - ground_s) / 1.0, 0.0, 1.0) * height[0]

    def whole(flying: Array, first: float, last: float) -> Array:
        return np.concatenate([np.full(before, first), flying[: landed + 1], np.full(behind, last)])

    runs = (flown >= motor_start) & (flown < stop)
    volts = np.where(runs, columns["pack_voltage_V"], 0.0)
    rest = _resting(columns["pack_voltage_V"], runs, flown, stop)
    heights = whole(np.maximum(height, 0.0), 0.0, 0.0)
    heights[:before] = in_hand
    glide = (flown > stop + WINDOW_s + 5.0) & (np.abs(air) < 0.05)
    sinks = -np.gradient(columns["height_m"], flown)[glide & (flown < flown[-1] - 20.0)]
    air_fine = field_air(float(rng.uniform(0.0, 800.0)), float(rng.uniform(275.0, 305.0)))
    pressure = air_fine.pressure_Pa * float(rng.uniform(0.985, 1.015))
    time = FINE_s * np.arange(heights.size, dtype=np.float64)
    return Flight(
        time_s=time,
        height_m=heights,
        air_m_s=whole(air, 0.0, 0.0),
        airspeed_m_s=whole(columns["airspeed_m_s"], 0.0, 0.0),
        current_A=whole(np.where(runs, columns["pack_current_A"], 0.25), 0.25, 0.25),
        voltage_V=whole(np.where(runs, volts, rest), float(rest[0]), float(rest[min(landed, rest.size - 1)])),
        revs_per_s=whole(np.where(runs, columns["revs_per_s"], 0.0), 0.0, 0.0),
        throttle=whole(np.where(runs, 1.0, 0.0), 0.0, 0.0),
        motor_start_s=before * FINE_s + motor_start,
        motor_stop_s=before * FINE_s + stop,
        landing_s=(before + landed) * FINE_s,
        temperature_K=air_fine.temperature_K,
        pressure_Pa=pressure,
        lifts=tuple((start + before * FINE_s, end + before * FINE_s, mean) for start, end, mean in lifts),
        still_sink_m_s=float(np.median(sinks)) if sinks.size else float("nan"),
    )


def _resting(loaded: Array, runs: NDArray[np.bool_], flown: Array, stop: float) -> Array:
    """Volts without the motor: those of the first and last loaded moments and the sag, recovering."""
    sag = 0.9
    first = float(loaded[runs][0]) + sag
    last = float(loaded[runs][-1]) + sag
    recovering = last - 0.15 * np.exp(-np.maximum(flown - stop, 0.0) / 15.0)
    return np.where(flown < stop, first, recovering)


def _through_air(
    flown: Array, height: Array, stop: float, rng: np.random.Generator
) -> tuple[Array, Array, list[tuple[float, float, float]]]:
    """Height through moving air, its vertical motion, and the lift that was used."""
    air = np.zeros(flown.size)
    at = stop + WINDOW_s + 5.0 + float(rng.uniform(5.0, 40.0))
    spans: list[tuple[float, float]] = []
    end = float(rng.uniform(150.0, 450.0)) if rng.random() < 0.4 else np.inf  # brakes, to be down in time
    while at < min(end, 450.0):
        is_lift = rng.random() < 0.5
        length = float(rng.uniform(30.0, 100.0)) if is_lift else float(rng.uniform(10.0, 30.0))
        strength = float(rng.uniform(1.2, 3.0)) if is_lift else -float(rng.uniform(0.6, 1.5))
        ramp = np.clip(np.minimum(flown - at, at + length - flown) / 3.0, 0.0, 1.0)
        air += strength * ramp
        if is_lift:
            spans.append((at, at + length))
        at += length + float(rng.uniform(20.0, 60.0))
    air += np.where(flown > end, -1.2 * np.clip((flown - end) / 3.0, 0.0, 1.0), 0.0)
    moved = height + np.concatenate([[0.0], np.cumsum(0.5 * (air[1:] + air[:-1]) * FINE_s)])
    moved += _turbulence(flown, stop, rng)
    if moved.min() > 0.0:
        moved = moved - np.maximum(0.0, flown - flown[-1] + 60.0) * (moved[-1] / 60.0 + 0.1)
    landed = float(flown[int(np.argmax(moved <= 0.0))]) if np.any(moved <= 0.0) else float(flown[-1])
    lifts = []
    for start, stop_of in spans:
        inside = (flown >= start) & (flown <= stop_of)
        climb = np.gradient(moved, FINE_s)[inside]
        if stop_of < landed and climb.size and climb.mean() > 0.3:
            lifts.append((start, stop_of, float(climb.mean())))
    return moved, air, lifts


def _turbulence(flown: Array, stop: float, rng: np.random.Generator) -> Array:
    """Displacement by small motions of the air, 0.15 m/s over 5 s, from the end of the launch on."""
    memory = np.exp(-FINE_s / 5.0)
    kicks = rng.normal(0.0, 0.15 * np.sqrt(1.0 - memory**2), flown.size)
    motion = np.empty(flown.size)
    state = 0.0
    for place, kick in enumerate(kicks):
        state = memory * state + kick
        motion[place] = state
    motion *= np.clip((flown - stop - WINDOW_s) / 5.0, 0.0, 1.0)
    displaced: Array = np.cumsum(motion) * FINE_s
    return displaced


def instruments(count: int, seed: int, **own: Any) -> list[Instrument]:
    """Instruments that differ as data sheets let them."""
    rng = np.random.default_rng(seed)
    return [
        Instrument(
            **{
                "noise_Pa": float(rng.choice([1.2, 1.8, 2.7])),
                "warming_Pa": float(rng.uniform(-7.5, 7.5)),
                "drift_Pa_s": float(rng.choice([-1.0, 1.0]) * rng.uniform(10.0, 100.0) / 3600.0),
                **own,
            }
        )
        for _ in range(count)
    ]


def recorded(flight: Flight, instrument: Instrument, seed: int) -> FlightRecord:
    """The record that an instrument would have made of a flight."""
    rng = np.random.default_rng(seed)
    step = 1.0 / instrument.samples_per_s
    time = np.arange(0.0, flight.time_s[-1], step) + float(rng.uniform(0.0, step))
    time = time[(time < flight.time_s[-1]) & (rng.random(time.size) >= instrument.dropouts)]
    height = np.interp(time, flight.time_s, flight.height_m)
    pressure = pressure_above_field_Pa(height, flight.temperature_K, flight.pressure_Pa)
    speed = np.interp(time, flight.time_s, flight.airspeed_m_s)
    runs = (time >= flight.motor_start_s) & (time < flight.motor_stop_s)
    pressure = pressure + rng.normal(0.0, instrument.noise_Pa, time.size)
    pressure += instrument.drift_Pa_s * time
    pressure += instrument.warming_Pa * (1.0 - np.exp(-(time + 60.0) / 120.0))
    pressure += instrument.speed_error * 0.5 * 1.2 * speed**2 + instrument.slipstream_Pa * runs
    shown = pressure_height_m(pressure)
    shown = shown - float(np.mean(shown[time < time[0] + 5.0]))
    channels = {"height_m": np.round(shown / instrument.step_m) * instrument.step_m}
    noises = {"current_A": 0.3, "voltage_V": 0.02, "revs_per_s": 1.0, "throttle": 0.0, "airspeed_m_s": 0.3}
    for name in instrument.channels:
        clean = getattr(flight, name)
        places = np.clip((time / FINE_s).astype(int), 0, clean.size - 1)
        channels[name] = np.maximum(clean[places] + rng.normal(0.0, noises[name], time.size), 0.0)
    return FlightRecord("synthetic.csv", "0" * 64, "delimited", time, channels, height_from="height_m")


@dataclass(frozen=True)
class Errors:
    """What a reading says less the truth, one number a flight; NaN where the reading says nothing.

    launches: how many launches were read of one; stop_s, start_s, height_m, landing_s, sink_m_s, step_m: read
    less true; covered: whether the band of the height holds the truth; lifts: of the truth, and found.
    """

    launches: int
    start_s: float
    stop_s: float
    height_m: float
    covered: bool
    landing_s: float
    sink_m_s: float
    step_m: float
    lifts_found: int
    lifts: int


def errors_of(flight: Flight, instrument: Instrument, reading: FlightReading) -> Errors:
    """The reading of a recorded flight against its truth."""
    found = [lift for lift in flight.lifts if any(_overlap(lift, one) for one in reading.lifts)]
    nan = float("nan")
    if len(reading.launches) != 1:
        return Errors(
            len(reading.launches), nan, nan, nan, False, nan, nan, nan, len(found), len(flight.lifts)
        )
    launch = reading.launches[0]
    height = launch.counted_height
    has_band = height.low is not None and height.high is not None
    covered = has_band and (height.low or 0.0) <= flight.launch_height_m <= (height.high or 0.0)
    landing = nan if reading.landing is None else _value(reading.landing.touch)
    # 12 Pa a metre near sea level: the step that the slipstream makes in the indicated height
    step_m = instrument.slipstream_Pa / (flight.pressure_Pa / flight.temperature_K / 287.05287 * 9.80665)
    return Errors(
        launches=1,
        start_s=_value(launch.motor_start) - flight.motor_start_s,
        stop_s=_value(launch.motor_stop) - flight.motor_stop_s,
        height_m=_value(height) - flight.launch_height_m,
        covered=covered,
        landing_s=landing - flight.landing_s,
        sink_m_s=_value(reading.still_sink) * flight.scale - flight.still_sink_m_s,
        step_m=_value(launch.slipstream_step) - step_m,
        lifts_found=len(found),
        lifts=len(flight.lifts),
    )


def _value(figure: Figure) -> float:
    return float("nan") if figure.value is None else figure.value


def _overlap(lift: tuple[float, float, float], found: LiftReading) -> bool:
    return _value(found.start) < lift[1] - 5.0 and _value(found.end) > lift[0] + 5.0
