"""User job ``read``: what a flight log tells, held against the class and against what was expected."""

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError, Problem
from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.calibration.learned import correction_of, part_ids
from glidewright.calibration.posterior import Posterior
from glidewright.decisions.nouns import NamedFigure, Series
from glidewright.decisions.reading.day import day_answer
from glidewright.decisions.reading.expected import doubt_of, expected_of
from glidewright.decisions.reading.nouns import (
    ChannelRow,
    ChannelsAnswer,
    LoggedFlight,
    ReadResult,
)
from glidewright.domain.channel_map import ChannelMap
from glidewright.domain.class_limits import ClassLimits, HeightRule
from glidewright.domain.day import day_of
from glidewright.domain.flight_reading import FlightReading, LaunchReading
from glidewright.domain.flight_record import CHANNELS, FlightRecord
from glidewright.domain.log_units import TIME
from glidewright.domain.logbook import Flight, SetUp, Weather
from glidewright.domain.model import Model
from glidewright.domain.raw_log import RawLog
from glidewright.forecast.air import air_of
from glidewright.logs.read_flight import read_flight
from glidewright.logs.read_log import propose_map, read_log
from glidewright.rules.log_rules import judge_log, not_from_log, with_device_error

Array = NDArray[np.float64]
MOST_POINTS = 600
_FIRST_YEAR = 2001  # a clock that was never set begins in 1970, 1980 or 2000
_CURVES = (
    ("current_A", "Current", "A"),
    ("voltage_V", "Voltage", "V"),
    ("revs_per_s", "Motor speed", "rpm"),
    ("airspeed_m_s", "Airspeed", "m/s"),
)


class ReadRequest(Noun):
    """A log, the model that flew it, and what only its pilot knows.

    earlier: the flights of the logbook; maps: channel maps that were accepted; accept: whether the map that
    the log suggests is accepted now; name: of the kept file.
    """

    model: Model
    rule: ClassLimits | None = None
    raw: RawLog
    name: str
    maps: tuple[ChannelMap, ...] = ()
    accept: bool = False
    earlier: tuple[Flight, ...] = ()
    date: str = plain("Date", help="year-month-day; that of the log when left out", default="")
    set_up: SetUp = SetUp()
    weather: Weather = Weather()
    is_charged: bool | None = None
    landing_m: float | None = None
    target_time_s: float | None = None
    invented: bool = False


class Reading(Noun):
    """What came out: the answer, the flights to be entered, and the channel map to be kept."""

    result: ReadResult
    flights: tuple[Flight, ...]
    channel_map: ChannelMap | None
    may_enter: bool


def run(request: ReadRequest) -> Reading:
    """Read the log and answer. Raises InputError for what is no log, holds no height, or an unknown part."""
    model, rule = request.model, request.rule
    day_of(request.date, "date")
    _check_parts(model, request.set_up)
    proposed = propose_map(request.raw)
    accepted = request.maps
    is_accepted = proposed is None or any(one.fits(proposed) for one in request.maps)
    if proposed is not None and not is_accepted and request.accept:
        accepted, is_accepted = (*accepted, proposed), True
    records = read_log(request.raw, accepted)
    readings = tuple(_read(record, request) for record in records)
    flights = tuple(_flight(reading, request) for reading in readings)
    known = _without(request.earlier, flights)
    correction = correction_of(model)
    posterior = Posterior.of_correction(correction, part_ids(model))
    is_known = [any(_is_same(flight, one) for one in request.earlier) for flight in flights]
    answers = tuple(
        _answer(request, record, reading, flight, (*known, *flights[:place]), posterior, is_in=is_in)
        for place, (record, reading, flight, is_in) in enumerate(
            zip(records, readings, flights, is_known, strict=True)
        )
    )
    date = flights[-1].date
    result = ReadResult(
        model=model.name,
        findings=tuple(finding for reading in readings for finding in judge_log(model, rule, reading)),
        invented=model.invented,
        class_title=rule.title if rule else "",
        class_note=rule.note if rule else "",
        source_name=request.raw.name,
        format=records[0].format,
        channels=None if proposed is None else _channels(proposed, request.maps, is_accepted),
        flights=answers,
        not_from_log=tuple(dict.fromkeys(not_from_log(rule))),
        day=day_answer(model, rule, (*known, *flights), date, posterior, request.target_time_s),
        entered="",
        next_steps=(),
    )
    channel_map = proposed if proposed is not None and request.accept and is_accepted else None
    return Reading(result=result, flights=flights, channel_map=channel_map, may_enter=is_accepted)


def of_day(
    model: Model,
    rule: ClassLimits | None,
    flights: tuple[Flight, ...],
    date: str,
    target_time_s: float | None = None,
) -> ReadResult:
    """The day alone, without a log. Raises InputError when the logbook holds no launch of that day."""
    day_of(date, "date")
    posterior = Posterior.of_correction(correction_of(model), part_ids(model))
    day = day_answer(model, rule, flights, date, posterior, target_time_s)
    if day is None:
        known = sorted({flight.date for flight in flights if flight.date and flight.launches})
        words = f"the last days with launches: {', '.join(known[-3:])}" if known else "it holds no launch yet"
        raise InputError(
            Problem("--day", f"must be a day with launches in the logbook; {date} came; {words}")
        )
    title, note = (rule.title, rule.note) if rule else ("", "")
    return nothing_read(model, "", "").model_copy(
        update={"class_title": title, "class_note": note, "day": day}
    )


def nothing_read(model: Model, source_name: str, entered: str, *next_steps: str) -> ReadResult:
    """The answer where no log is read."""
    return ReadResult(
        model=model.name,
        findings=(),
        invented=model.invented,
        class_title="",
        class_note="",
        source_name=source_name,
        format="",
        channels=None,
        flights=(),
        not_from_log=(),
        day=None,
        entered=entered,
        next_steps=next_steps,
    )


def _check_parts(model: Model, set_up: SetUp) -> None:
    for kind in ("motor", "controller", "pack", "propeller"):
        named: str = getattr(set_up, kind)
        part = model.from_drawer(named) if named else None
        if named and (part is None or part.kind != kind):
            ids = ", ".join(one.id for one in model.drawer if one.kind == kind) or "none"
            message = f"must be the id of a {kind} in parts/; {named!r} came; the drawer has: {ids}"
            raise InputError(Problem(kind, message))


def _read(record: FlightRecord, request: ReadRequest) -> FlightReading:
    stated = request.weather.temperature_K or request.model.field.temperature_K
    rule = request.rule.height if request.rule is not None else HeightRule()
    return read_flight(
        record,
        rule,
        temperature_K=None if stated is None else stated.value,
        ground_pressure_Pa=air_of(request.model.field).pressure_Pa,
    )


def _flight(reading: FlightReading, request: ReadRequest) -> Flight:
    """The flight as the logbook keeps it."""
    rule = request.rule.height if request.rule is not None else HeightRule()
    start = reading.start_utc
    date = request.date or (reading.day.isoformat() if reading.day is not None else "")
    fitted = part_ids(request.model)
    stated = request.set_up
    set_up = SetUp(
        motor=stated.motor or fitted.get("motor", ""),
        controller=stated.controller or fitted.get("controller", ""),
        pack=stated.pack or fitted.get("pack", ""),
        propeller=stated.propeller or fitted.get("propeller", ""),
        mass_kg=stated.mass_kg,
    )
    still = [one.airspeed for one in reading.glides if one.is_still and one.airspeed.value is not None]
    update = {} if not still else {"glide_airspeed": still[0]}
    return Flight(
        source_sha256=reading.source_sha256,
        part=reading.part,
        source_name=request.name,
        format=reading.format,
        date=date,
        start_utc=start.isoformat() if start is not None else "",
        invented=request.invented,
        set_up=set_up,
        weather=request.weather,
        is_charged=request.is_charged if reading.part == 1 else False,
        count=rule.count,
        window_s=rule.window_s,
        landing_m=request.landing_m,
        scale=reading.scale,
        still_sink=reading.still_sink,
        launches=reading.launches,
        flight_times=tuple(_flight_time(reading, launch) for launch in reading.launches),
        **update,
    )


def _flight_time(reading: FlightReading, launch: LaunchReading) -> Figure:
    """From the motor start of a launch to the end of the landing behind it, if no other launch is between."""
    start = launch.motor_start
    if launch.is_restart or start.value is None or start.low is None or start.high is None:
        return Figure.unknown(
            "s", "s", "the motor ran again in the air: the flight counts from its first run"
        )
    behind = [one for one in reading.phases if one.start.value is not None and one.start.value > start.value]
    for phase in behind:
        touch = phase.end
        if phase.kind != "landing" or touch.value is None or touch.low is None or touch.high is None:
            continue
        value = touch.value - start.value
        low = value - float(np.hypot(touch.value - touch.low, start.high - start.value))
        high = value + float(np.hypot(touch.high - touch.value, start.value - start.low))
        because = "motor start to touch; a throw before the motor is not seen"
        return Figure(value=value, low=low, high=high, unit="s", shown="s", grade="measured", because=because)
    return Figure.unknown("s", "s", "the record ends before the landing")


def _is_same(one: Flight, other: Flight) -> bool:
    return (one.source_sha256, one.part) == (other.source_sha256, other.part)


def _without(earlier: Sequence[Flight], flights: Sequence[Flight]) -> tuple[Flight, ...]:
    """The flights of the logbook that are not among these."""
    return tuple(one for one in earlier if not any(_is_same(one, new) for new in flights))


def _channels(proposed: ChannelMap, maps: Sequence[ChannelMap], is_accepted: bool) -> ChannelsAnswer:
    used = next((one for one in maps if one.fits(proposed)), proposed)
    rows = tuple(
        ChannelRow(
            place=one.place,
            header=one.header,
            channel="clock" if one.channel == TIME else CHANNELS[one.channel],
            unit=one.unit,
            because=one.because,
        )
        for one in sorted(used.column, key=lambda one: one.place)
    )
    questions = () if used is not proposed else proposed.questions
    return ChannelsAnswer(rows=rows, questions=questions, is_accepted=is_accepted)


def _answer(
    request: ReadRequest,
    record: FlightRecord,
    reading: FlightReading,
    flight: Flight,
    before: tuple[Flight, ...],
    posterior: Posterior,
    *,
    is_in: bool,
) -> LoggedFlight:
    expected, why = expected_of(request.model, request.rule, flight, before, posterior)
    times, curves = _curves(record, reading)
    number = f", flight {reading.part} of {record.parts}" if record.parts > 1 else ""
    return LoggedFlight(
        title=f"{request.raw.name}{number}",
        part=reading.part,
        date=flight.date,
        is_new=False if is_in else None,
        phases=reading.phases,
        launches=tuple(_as_device_reads(request.model, launch) for launch in reading.launches),
        lifts=reading.lifts,
        landing=reading.landing,
        figures=_figures(reading),
        times_s=times,
        curves=curves,
        expected=expected,
        why_not_expected=why,
        doubt=doubt_of(request.model, request.set_up, reading, expected),
        statements=(*_odd_day(reading.day, request.date), *reading.statements),
    )


def _odd_day(stated: date | None, given: str) -> tuple[str, ...]:
    """What is said of a log whose clock was never set, or set wrongly, unless the user gave the day."""
    latest = date.today() + timedelta(days=1)  # the log counts in UTC, this computer may not
    if stated is None or given or (stated.year >= _FIRST_YEAR and stated <= latest):
        return ()
    side = "after today" if stated > latest else "before there were such logs"
    words = f"The log is dated {stated.isoformat()}, {side}: its clock, or that of this computer, is wrong"
    return (f"{words}; give the day that it was flown, or it stands in the logbook with this one.",)


def _as_device_reads(model: Model, launch: LaunchReading) -> LaunchReading:
    """The launch with the error of the altimeter in its counted height, as the findings have it."""
    height = with_device_error(model, launch.counted_height)
    return launch.model_copy(update={"counted_height": height})


def _figures(reading: FlightReading) -> tuple[NamedFigure, ...]:
    rows = (
        ("flight_time", "Flight time", reading.flight_time),
        ("still_sink", "Sink in still-looking air, indicated", reading.still_sink),
        ("scale", "True metres for an indicated metre", reading.scale),
        ("ground_height", "Indicated height of the ground", reading.ground_height),
        ("drift", "Drift of the ground over the record", reading.drift),
        ("noise", "Noise of the height", reading.noise),
        ("airspeed_error", "Pressure error at 10 m/s", reading.airspeed_error),
        ("sampling_rate", "Samples a second", reading.sampling_rate),
        ("longest_gap", "Longest gap", reading.longest_gap),
    )
    return tuple(NamedFigure(name=name, title=title, figure=figure) for name, title, figure in rows)


def _curves(record: FlightRecord, reading: FlightReading) -> tuple[tuple[float, ...], tuple[Series, ...]]:
    """Height and what the drive drew over the time, thinned to what a chart shows; peaks may be cut."""
    trace = reading.trace
    if trace is None:
        return (), ()
    step = max(1, -(-record.time_s.size // MOST_POINTS))
    rows = [("height_m", "Height, indicated", "m", trace.height_m)]
    rows += [
        (name, title, shown, samples)
        for name, title, shown in _CURVES
        if (samples := record.channel(name)) is not None
    ]
    curves = tuple(
        Series(
            name=name,
            title=title,
            unit=unit(shown).si,
            shown=shown,
            value=_thin(samples, step),
            low=(),
            high=(),
        )
        for name, title, shown, samples in rows
    )
    return _thin(record.time_s, step), curves


def _thin(samples: Array, step: int) -> tuple[float, ...]:
    return tuple(float(number) for number in samples[::step])
