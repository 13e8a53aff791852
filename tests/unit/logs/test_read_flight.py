"""A reading against flights whose numbers are made by hand."""

import warnings

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glidewright.base.errors import InputError
from glidewright.base.figure import Figure
from glidewright.domain.class_limits import HeightRule
from glidewright.domain.flight_reading import FlightReading
from glidewright.domain.flight_record import FlightRecord
from glidewright.logs.pooled import pool_sink
from glidewright.logs.read_flight import read_flight

STEP_s = 0.1
# corners of a flight: 40 s on the ground, 30 s of climb at 4 m/s to 120 m, zoom of 2 m in a second, 2 s on
# top, 100 s of glide at 0.5 m/s, 40 s of lift at 1.5 m/s, 60 s of glide, then down at 1.5 m/s to the ground
CORNERS = (
    (0.0, 0.0),
    (40.0, 0.0),
    (70.0, 120.0),
    (70.5, 121.5),
    (71.0, 122.0),
    (73.0, 122.0),
    (173.0, 72.0),
    (213.0, 132.0),
    (273.0, 102.0),
    (341.0, 0.0),
    (380.0, 0.0),
)


def record(corners=CORNERS, zero_m=0.0, noise_m=0.05, step_s=STEP_s, seed=1, **channels) -> FlightRecord:
    time_s = np.arange(0.0, corners[-1][0], step_s)
    height = np.interp(time_s, *zip(*corners, strict=True)) + zero_m
    height = height + np.random.default_rng(seed).normal(0.0, noise_m, time_s.size)
    made = {"height_m": height} | {name: own(time_s) for name, own in channels.items()}
    return FlightRecord("made.csv", "0" * 64, "delimited", time_s, made, height_from="height_m")


def between(start: float, stop: float, on: float, off: float = 0.0):
    return lambda time_s: np.where((time_s >= start) & (time_s < stop), on, off)


AMPS = between(40.0, 70.0, 20.0, 0.2)


def test_every_figure_of_a_launch():
    [launch] = read_flight(record(current_A=AMPS)).launches
    assert launch.motor_sign == "current"
    assert launch.motor_start.value == pytest.approx(40.0, abs=0.1)
    assert launch.motor_stop.value == pytest.approx(70.0, abs=0.1)
    assert launch.motor_run.value == pytest.approx(30.0, abs=0.2)
    assert launch.height_at_stop.value == pytest.approx(120.0, abs=0.5)
    assert launch.counted_height.value == pytest.approx(122.0, abs=0.15)
    assert launch.highest_raw.value > launch.counted_height.value
    # 10 s after the stop, 7 s after the top, 0.5 m/s down
    assert launch.height_at_window_end.value == pytest.approx(118.5, abs=0.15)
    assert launch.zoom_gain.value == pytest.approx(2.0, abs=0.5)
    assert launch.top.value == pytest.approx(72.0, abs=1.0)
    assert launch.mean_climb.value == pytest.approx(4.0, abs=0.05)
    assert launch.best_climb.value == pytest.approx(4.0, abs=0.1)
    # 20 A over 30 s is 600 A s or 167 mAh
    assert launch.charge.value == pytest.approx(600.0, rel=0.01)
    assert launch.charge.low == pytest.approx(0.97 * launch.charge.value, rel=1e-3)
    assert launch.mean_current.value == pytest.approx(20.0, rel=0.01)
    assert launch.lowest_voltage.value is None
    assert launch.lowest_voltage.because == "not recorded"
    assert not launch.is_restart


@pytest.mark.parametrize(
    ("count", "expected"), [("highest", 122.0), ("at_cut", 120.0), ("at_window_end", 120.5)]
)
def test_the_class_says_which_height_counts(count, expected):
    rule = HeightRule(count=count, window_s=6.0)
    [launch] = read_flight(record(current_A=AMPS), rule).launches
    assert launch.counted_height.value == pytest.approx(expected, abs=0.5)


def test_the_highest_point_counts_only_up_to_the_end_of_the_window():
    # it goes on rising at 1 m/s after the zoom
    rising = ((0.0, 0.0), (40.0, 0.0), (70.0, 120.0), (130.0, 180.0), (330.0, 0.0), (360.0, 0.0))
    [launch] = read_flight(record(rising, current_A=AMPS), HeightRule(window_s=10.0)).launches
    assert launch.counted_height.value == pytest.approx(130.0, abs=0.3)
    assert "still rises" in launch.counted_height.because


def test_the_same_from_the_height_alone():
    [launch] = read_flight(record()).launches
    assert launch.motor_sign == "climb"
    # the climb begins at 40 s, and usually 1.2 s after the motor
    assert launch.motor_start.value == pytest.approx(40.0 - 1.2, abs=0.2)
    assert launch.motor_stop.value == pytest.approx(70.0, abs=0.5)
    assert launch.counted_height.value == pytest.approx(122.0, abs=0.15)
    assert launch.slipstream_step.value is None
    assert launch.motor_stop.high - launch.motor_stop.low > 0.4


def test_phases_and_their_times():
    reading = read_flight(record(current_A=AMPS))
    found = [(phase.kind, round(phase.start.value)) for phase in reading.phases]
    expected = [("ground", 0), ("motor", 40), ("zoom", 70), ("glide", 73), ("lift", 173), ("glide", 213),
                ("sink", 273), ("landing", 338), ("ground", 341)]  # fmt: skip
    assert [kind for kind, _ in found] == [kind for kind, _ in expected]
    for (_, at), (_, true) in zip(found, expected, strict=True):
        assert at == pytest.approx(true, abs=4)
    assert reading.landing is not None
    assert reading.landing.touch.value == pytest.approx(341.0, abs=0.5)
    assert reading.flight_time.value == pytest.approx(301.0, abs=0.6)
    assert all(phase.circling is None for phase in reading.phases)


def test_lift_and_sink_by_hand():
    reading = read_flight(record(current_A=AMPS))
    [lift] = reading.lifts
    assert lift.duration.value == pytest.approx(40.0, abs=1.5)
    assert lift.gain.value == pytest.approx(60.0, abs=1.0)
    assert lift.strength.value == pytest.approx(1.5, abs=0.06)
    assert lift.air_strength.value == pytest.approx(2.0, abs=0.1)
    assert lift.turns.value is None
    assert reading.still_sink.value == pytest.approx(0.5, abs=0.03)
    assert all(segment.is_still == (segment.sink.value < 1.0) for segment in reading.glides)
    # air that looks still can move by 0.2 m/s: the band of one flight is no narrower
    assert reading.still_sink.high - reading.still_sink.low >= 0.4
    assert any(
        "cannot tell the sink of the model from the motion of the air" in said for said in reading.statements
    )


def test_baseline_drift_and_zero():
    corners = tuple((time, height + 1.5 * time / 380.0) for time, height in CORNERS)
    reading = read_flight(record(corners, zero_m=250.0, current_A=AMPS))
    assert reading.ground_height.value == pytest.approx(250.08, abs=0.1)
    # from the middle of the stretches on the ground at 19 and at 360 s: 341 / 380 of 1.5 m
    assert reading.drift.value == pytest.approx(1.35, abs=0.15)
    [launch] = reading.launches
    assert launch.counted_height.value == pytest.approx(122.0 + 1.5 * 53 / 380, abs=0.2)
    assert reading.trace is not None
    assert reading.trace.height_m[-50] == pytest.approx(0.0, abs=0.3)
    assert reading.trace.time_s.shape == reading.trace.climb_m_s.shape == reading.trace.raw_height_m.shape


def test_noise_and_spikes_are_found():
    made = record(noise_m=0.2)
    height = made.channels["height_m"].copy()
    height[[500, 1500, 2500]] += [40.0, -60.0, 300.0]
    spoilt = FlightRecord("made.csv", "0" * 64, "delimited", made.time_s, {"height_m": height})
    reading = read_flight(spoilt)
    assert reading.noise.value == pytest.approx(0.2, rel=0.1)
    assert reading.spikes == 3
    assert reading.launches[0].counted_height.value == pytest.approx(122.0, abs=0.4)


def test_a_gap_in_the_launch_window_widens_the_height():
    made = record(current_A=AMPS)
    kept = (made.time_s < 71.0) | (made.time_s > 76.0)
    gappy = FlightRecord(
        "made.csv", "0" * 64, "delimited", made.time_s[kept], {k: v[kept] for k, v in made.channels.items()}
    )
    whole, [launch] = read_flight(made).launches[0], read_flight(gappy).launches
    assert "samples are missing" in launch.counted_height.because
    assert launch.counted_height.high - launch.counted_height.low > 2.0
    assert whole.counted_height.high - whole.counted_height.low < 0.6
    assert read_flight(gappy).longest_gap.value == pytest.approx(5.0, abs=0.3)


def test_a_restart_in_flight_is_a_launch_of_its_own():
    again = (
        (0, 0),
        (40, 0),
        (70, 120),
        (72, 122),
        (73, 122),
        (173, 72),
        (183, 112),
        (184, 113),
        (400, 0),
        (430, 0),
    )
    amps = lambda time_s: AMPS(time_s) + between(173.0, 183.0, 20.0)(time_s)  # noqa: E731 - two runs in one line
    first, second = read_flight(record(again, current_A=amps)).launches
    assert (first.number, second.number) == (1, 2)
    assert (first.is_restart, second.is_restart) == (False, True)
    assert second.motor_run.value == pytest.approx(10.0, abs=0.2)


def test_a_test_of_the_motor_on_the_ground_is_no_launch():
    amps = lambda time_s: AMPS(time_s) + between(10.0, 14.0, 12.0)(time_s)  # noqa: E731 - two runs in one line
    reading = read_flight(record(current_A=amps))
    assert len(reading.launches) == 1
    assert "A motor run that wins no height is taken for a test on the ground." in reading.statements


def test_two_flights_in_one_record_are_two_launches():
    second = tuple((time + 380.0, height) for time, height in CORNERS[1:])
    amps = lambda time_s: AMPS(time_s) + AMPS(time_s - 380.0)  # noqa: E731 - two runs in one line
    for channels in ({"current_A": amps}, {}):
        reading = read_flight(record((*CORNERS, *second), **channels))
        assert [round(launch.motor_stop.value) for launch in reading.launches] == [70, 450]
        assert [launch.number for launch in reading.launches] == [1, 2]
        assert not any(launch.is_restart for launch in reading.launches)
        assert [phase.kind for phase in reading.phases].count("landing") == 2
        assert len(reading.lifts) == 2


def test_a_record_that_ends_in_the_air_has_no_landing():
    reading = read_flight(record(CORNERS[:7], current_A=AMPS))
    assert reading.landing is None
    assert reading.flight_time.value is None
    assert reading.phases[-1].kind == "glide"
    assert reading.drift.value is None


def test_a_record_that_ends_within_the_window_says_so():
    reading = read_flight(record((*CORNERS[:6], (75.0, 121.0)), current_A=AMPS))
    [launch] = reading.launches
    assert launch.counted_height.value == pytest.approx(122.0, abs=0.2)
    assert "the record ends before the window does" in launch.counted_height.because
    assert launch.height_at_window_end.value is None


def test_a_record_that_begins_in_the_air():
    reading = read_flight(record(tuple((time - 173.0, height) for time, height in CORNERS[6:])))
    assert reading.phases[0].kind in {"glide", "lift"}
    assert reading.launches == ()
    assert "No motor run is seen." in reading.statements


def test_nothing_happens():
    reading = read_flight(record(((0.0, 0.0), (60.0, 0.0))))
    assert [phase.kind for phase in reading.phases] == ["ground"]
    assert reading.launches == reading.lifts == reading.glides == ()
    assert "no flight is seen" in reading.statements[0]


def test_volts_amps_and_resistance_by_hand():
    # 12.6 V at rest, 40 mOhm with 20 A: 11.8 V under load; sagging on to 11.6 V, then 12.4 V at rest
    def volts(time_s):
        loaded = np.interp(time_s, [40.0, 70.0], [11.8, 11.6])
        return np.where(time_s < 40.0, 12.6, np.where(time_s < 70.0, loaded, 12.4))

    reading = read_flight(record(current_A=AMPS, voltage_V=volts))
    [launch] = reading.launches
    assert launch.resting_voltage.value == pytest.approx(12.6)
    assert launch.recovered_voltage.value == pytest.approx(12.4)
    assert launch.lowest_voltage.value == pytest.approx(11.6, abs=0.01)
    assert launch.mean_voltage.value == pytest.approx(11.7, abs=0.01)
    assert launch.mean_power.value == pytest.approx(234.0, rel=0.01)
    assert launch.pack_resistance.value == pytest.approx(0.0405, rel=0.03)
    by_volts = read_flight(record(voltage_V=volts)).launches[0]
    assert by_volts.motor_sign == "voltage"
    assert by_volts.motor_stop.value == pytest.approx(70.0, abs=0.15)


def test_a_counter_gives_the_charge_where_no_amps_were_recorded():
    counted = lambda time_s: np.interp(time_s, [40.0, 70.0], [100.0, 700.0])  # noqa: E731 - one line
    [launch] = read_flight(record(charge_As=counted, throttle=between(40.0, 70.0, 1.0))).launches
    assert launch.charge.value == pytest.approx(600.0, rel=0.01)
    assert "counter" in launch.charge.because
    assert launch.motor_sign == "throttle"


# common practice of the trade, from ISO 2533:1975: 90 m shown at 0, 30 and 40 deg C are 85.3, 94.7 and 97.8 m
@pytest.mark.parametrize(
    ("temperature", "scale"), [(273.15, 85.3 / 90), (303.15, 94.7 / 90), (313.15, 97.8 / 90)]
)
def test_scale_of_the_indicated_height(temperature, scale):
    reading = read_flight(record(), temperature_K=temperature, ground_pressure_Pa=101325.0)
    assert reading.scale.value == pytest.approx(scale, rel=1e-3)


def test_scale_without_a_stated_temperature():
    unknown = read_flight(record()).scale
    sensor = read_flight(record(temperature_K=lambda time_s: np.full(time_s.size, 303.15))).scale
    assert unknown.high - unknown.low > sensor.high - sensor.low > 0.0
    assert "nobody stated the temperature" in unknown.because
    assert sensor.value == pytest.approx(303.15 / 285.65, rel=1e-6)


def test_a_high_field_leaves_open_how_the_device_zeroes():
    low, high = (
        read_flight(record(), temperature_K=288.15, ground_pressure_Pa=p).scale for p in (101325.0, 84556.0)
    )
    # at 1500 m the standard temperature is 278.4 K: between 288.15 / 278.4 and 1
    assert high.value == pytest.approx(288.15 / 283.275, rel=1e-4)
    assert high.high - high.low > 2.0 * (low.high - low.low)


def test_position_tells_circling_from_straight_lift():
    def circle(time_s):
        angle = np.clip(time_s - 173.0, 0.0, 40.0) * 2 * np.pi / 16.0
        return np.cumsum(np.cos(angle)) * 0.8, np.cumsum(np.sin(angle)) * 0.8

    reading = read_flight(
        record(
            current_A=AMPS,
            latitude_rad=lambda time_s: 0.8 + circle(time_s)[0] / 6.371e6,
            longitude_rad=lambda time_s: 0.2 + circle(time_s)[1] / 6.371e6 / np.cos(0.8),
        )
    )
    [lift] = reading.lifts
    assert lift.turns.value == pytest.approx(40.0 / 16.0, abs=0.2)
    circling = {phase.kind: phase.circling for phase in reading.phases}
    assert circling["lift"] is True
    assert circling["sink"] is False


def test_a_pressure_port_that_feels_the_speed_shows_in_the_trade_of_height_for_speed():
    def speed(time_s):
        return 9.0 + 3.0 * np.sin(2 * np.pi * time_s / 12.0) * ((time_s > 75.0) & (time_s < 330.0))

    corners = ((0.0, 0.0), (40.0, 0.0), (70.0, 120.0), (73.0, 122.0), (340.0, 0.0), (370.0, 0.0))
    for share in (0.0, 0.2):
        made = record(
            corners, current_A=AMPS, airspeed_m_s=lambda t: np.where((t > 40) & (t < 340), speed(t), 0.0)
        )
        exchange = (speed(made.time_s) ** 2 - 81.0) / 19.6133
        height = made.channels["height_m"] - (1.0 + share) * exchange * (
            (made.time_s > 75.0) & (made.time_s < 330.0)
        )
        own = FlightRecord(
            "made.csv", "0" * 64, "delimited", made.time_s, {**made.channels, "height_m": height}
        )
        reading = read_flight(own)
        # at 10 m/s the dynamic pressure is that of 5.1 m
        assert reading.airspeed_error.value == pytest.approx(-share * 5.1, abs=0.35)
        if share == 0.0:  # with the energy height the dives are no sink
            assert reading.still_sink.value == pytest.approx(122.0 / 267.0, abs=0.1)


def test_no_height_is_refused_and_a_coarse_record_too():
    volts = FlightRecord("a.csv", "0", "delimited", np.arange(50.0), {"voltage_V": np.full(50, 11.0)})
    with pytest.raises(InputError, match="must have a height or a pressure"):
        read_flight(volts)
    with pytest.raises(InputError, match="height every 10 s at least"):
        read_flight(record(step_s=15.0))


def test_flights_are_pooled_by_medians():
    def flight(sink: float) -> FlightReading:
        down_s = 73.0 + 122.0 / sink
        corners = (*CORNERS[:6], (down_s, 0.0), (down_s + 30.0, 0.0))
        return read_flight(record(corners, current_A=AMPS), temperature_K=303.15, ground_pressure_Pa=101325.0)

    sinks = (0.40, 0.42, 0.44, 0.46, 0.95)
    pooled = pool_sink([flight(sink) for sink in sinks])
    # the odd one does not move the median; true metres are 303.15 / 288.15 of indicated ones
    assert pooled.sink.value == pytest.approx(0.44 * 303.15 / 288.15, abs=0.02)
    assert pooled.flights == 5
    assert pooled.between_flights.value is not None
    few = pool_sink([flight(0.4)])
    assert few.sink.high - few.sink.low > pooled.sink.high - pooled.sink.low
    assert few.between_flights.value is None
    assert "Too few flights" in few.statement
    assert pool_sink([]).sink.value is None
    assert pool_sink([flight(0.4)], lowest_m_s=5.0, highest_m_s=8.0).flights == 0


def all_figures(thing: object) -> list[Figure]:
    if isinstance(thing, Figure):
        return [thing]
    if isinstance(thing, tuple):
        return [figure for one in thing for figure in all_figures(one)]
    fields = getattr(type(thing), "model_fields", {})
    return [figure for name in fields for figure in all_figures(getattr(thing, name))]


def keeps_its_word(reading: FlightReading, made: FlightRecord) -> None:
    for figure in all_figures(reading):
        assert figure.because or figure.value is not None
        if figure.value is not None:
            assert np.isfinite([figure.low, figure.value, figure.high]).all()
            assert figure.low <= figure.value <= figure.high
    assert reading.phases
    for before, after in zip(reading.phases, reading.phases[1:], strict=False):
        assert before.end == after.start
        assert before.start.value <= after.start.value
    assert reading.phases[-1].end.value <= made.time_s[-1] + 1e-6


def test_every_figure_has_a_band_and_a_reason():
    made = record(current_A=AMPS, voltage_V=between(40.0, 70.0, 11.0, 12.0))
    keeps_its_word(read_flight(made), made)
    assert len(all_figures(read_flight(made))) > 80


@settings(max_examples=100, deadline=None)
@given(st.data())
def test_any_record_has_a_reading_or_a_sentence(data):
    count = data.draw(st.integers(5, 400))
    seed = data.draw(st.integers(0, 10_000))
    chance = np.random.default_rng(seed)
    step = data.draw(st.sampled_from([0.02, 0.1, 1.0, 7.0]))
    time_s = np.cumsum(chance.exponential(step, count) + 1e-3)
    scale = data.draw(st.sampled_from([0.0, 0.01, 0.3, 3.0, 100.0]))
    height = np.cumsum(chance.normal(0.0, scale, count)) + data.draw(st.sampled_from([0.0, 500.0]))
    height[chance.random(count) < data.draw(st.sampled_from([0.0, 0.3, 0.99]))] = np.nan
    channels = {"height_m": height}
    for name in data.draw(st.sets(st.sampled_from(["current_A", "voltage_V", "throttle", "airspeed_m_s", "latitude_rad", "longitude_rad", "engine_noise", "charge_As"]))):  # fmt: skip  # noqa: E501
        channels[name] = np.where(
            chance.random(count) < 0.2, np.nan, chance.choice([0.0, 0.5, 1.0, 20.0], count)
        )
    made = FlightRecord("made.csv", "0" * 64, "delimited", time_s, channels)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            reading = read_flight(made)
        except InputError as refused:
            assert all(problem.message.startswith("must ") for problem in refused.problems)
            return
    keeps_its_word(reading, made)


def test_a_level_moment_near_the_ground_in_flight_is_no_landing():
    # down to 2 m, held level there for 12 s, then up 40 m in lift and down for good
    low = (
        (0, 0),
        (40, 0),
        (70, 120),
        (71, 122),
        (73, 122),
        (253, 2),
        (265, 2),
        (305, 42),
        (385, 0),
        (420, 0),
    )
    reading = read_flight(record(low, current_A=AMPS))
    assert [phase.kind for phase in reading.phases].count("landing") == 1
    assert reading.landing is not None
    assert reading.landing.touch.value == pytest.approx(385.0, abs=1.0)
    assert reading.lifts[-1].gain.value == pytest.approx(40.0, abs=1.0)


def test_a_motor_that_is_heard():
    noise = between(40.0, 70.0, 0.9, 0.1)
    [launch] = read_flight(record(engine_noise=noise)).launches
    assert launch.motor_sign == "engine noise"
    assert launch.motor_stop.low <= 70.0 <= launch.motor_stop.high
    assert launch.motor_stop.high - launch.motor_stop.low > 3.0


def test_the_scale_of_heights_from_pressure_and_from_satellites():
    time_s = np.arange(0.0, 100.0)
    pressure = FlightRecord(
        "a.csv",
        "0",
        "delimited",
        time_s,
        {"height_m": np.full(100, 1000.0), "pressure_Pa": np.full(100, 89874.6)},
        height_from="pressure_Pa",
    )
    # ISO 2533:1975 table 5: 281.65 K at the pressure of 1000 m
    scale = read_flight(pressure, temperature_K=295.0).scale
    assert scale.value == pytest.approx(295.0 / 281.65, rel=1e-5)
    satellites = FlightRecord(
        "a.igc", "0", "igc", time_s, {"height_m": np.full(100, 1000.0)}, height_from="gnss_height_m"
    )
    exact = read_flight(satellites, temperature_K=310.0).scale
    assert (exact.low, exact.value, exact.high) == (1.0, 1.0, 1.0)


def test_a_short_run_has_no_best_climb_and_a_missing_stop_ends_with_the_record():
    short = ((0, 0), (40, 0), (44, 20), (45, 21), (100, 0), (130, 0))
    [launch] = read_flight(record(short, current_A=between(40.0, 44.0, 20.0, 0.2))).launches
    assert launch.best_climb.value is None
    cut_off = read_flight(record(CORNERS[:3], current_A=AMPS)).launches
    assert [launch.motor_stop.value for launch in cut_off] == [pytest.approx(69.9, abs=0.2)]
