"""Reading the demo's logs and calibrating by them: figures, expectations, the day, before and after."""

from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from glidewright.base.errors import InputError
from glidewright.base.figure import Figure, Given
from glidewright.calibration.posterior import Posterior
from glidewright.decisions import calibrate, read
from glidewright.decisions.calibrate import CalibrateRequest, CalibrateResult
from glidewright.decisions.calibrating.packs import packs_answer
from glidewright.decisions.calibrating.season import season_answer
from glidewright.decisions.read import ReadRequest
from glidewright.decisions.reading.day import day_answer
from glidewright.decisions.reading.nouns import DayAnswer
from glidewright.decisions.reading.score_sheet import score_rows
from glidewright.domain.bench import BenchReading
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.logbook import Flight, PackCharge, SetUp
from glidewright.domain.model import Model
from glidewright.domain.raw_log import RawLog
from glidewright.domain.scoring import HeightKnee, LandingStep, Scoring
from glidewright.models.power.pack import open_circuit_voltage_V

LOGS = ("evening-1.csv", "evening-2.csv", "club-contest.csv")


@dataclass(frozen=True)
class Readings:
    """The demo's logs, read one after the other."""

    answers: dict[str, read.Reading]
    flights: tuple[Flight, ...]


@pytest.fixture(scope="module")
def logs(demo_folder: Path) -> dict[str, RawLog]:
    folder = demo_folder.parent / "hill-demo-flights"
    return {name: RawLog.of(name, (folder / name).read_bytes()) for name in LOGS}


@pytest.fixture(scope="module")
def readings(demo: Model, hill_class: ClassLimits, logs: dict[str, RawLog]) -> Readings:
    answers: dict[str, read.Reading] = {}
    flights: tuple[Flight, ...] = ()
    for name, raw in logs.items():
        request = ReadRequest(
            model=demo, rule=hill_class, raw=raw, name=name, accept=True, earlier=flights, invented=True
        )
        answers[name] = read.run(request)
        flights = (*flights, *answers[name].flights)
    return Readings(answers, flights)


@pytest.fixture(scope="module")
def result(demo: Model, hill_class: ClassLimits, readings: Readings) -> CalibrateResult:
    request = CalibrateRequest(model=demo, rule=hill_class, flights=readings.flights, draws=128)
    return calibrate.run(request).result


@pytest.fixture(scope="module")
def contest_day(readings: Readings) -> DayAnswer:
    day = readings.answers["club-contest.csv"].result.day
    assert day is not None
    return day


def known(figure: Figure) -> float:
    assert figure.value is not None
    return figure.value


# ------------------------------------------------------------------ read


def test_the_logs_say_when_they_were_flown_and_how_often(readings: Readings) -> None:
    found = [(flight.date, len(flight.launches), flight.invented) for flight in readings.flights]
    assert found == [("2025-05-03", 1, True), ("2025-05-10", 2, True), ("2025-05-24", 5, True)]
    assert [flight.set_up.pack for flight in readings.flights] == ["p2-550"] * 3
    # the limiter of the demo stops at 120 m or 30 s
    first = readings.flights[0].launches[0]
    assert known(first.height_at_stop) == pytest.approx(120.0, abs=2.0)
    assert known(first.motor_run) < 30.0


def test_what_the_models_expect_before_a_log_is_in_its_range(readings: Readings) -> None:
    for answer in readings.answers.values():
        (flight,) = answer.result.flights
        assert flight.why_not_expected == ""
        shares = [row.is_inside for row in flight.expected]
        assert len(shares) >= 7
        assert np.mean(shares) > 0.5
        for row in flight.expected:
            low, high = row.expected.low, row.expected.high
            assert low is not None
            assert high is not None
            assert row.is_inside == (low <= known(row.read) <= high)


def test_limits_are_found_in_the_log(readings: Readings) -> None:
    findings = readings.answers["club-contest.csv"].result.findings
    assert len(findings) == 5 * 3
    climb = [finding for finding in findings if finding.name == "climb_rate"]
    assert climb[0].severity == "broken"  # the first launch of a fresh pack climbs at 5.2 m/s, 5 are allowed
    assert climb[-1].severity == "kept"
    assert "Span" in readings.answers["club-contest.csv"].result.not_from_log


def test_channels_are_proposed_and_used_only_when_accepted(
    demo: Model, hill_class: ClassLimits, logs: dict[str, RawLog], readings: Readings
) -> None:
    raw = logs["evening-1.csv"]
    request = ReadRequest(model=demo, rule=hill_class, raw=raw, name=raw.name)
    first = read.run(request)
    assert not first.may_enter
    assert first.channel_map is None
    channels = first.result.channels
    assert channels is not None
    assert [row.header for row in channels.rows][:2] == ["UTC", "Altitude (m)"]
    assert not channels.is_accepted
    kept = readings.answers[raw.name].channel_map
    assert kept is not None
    later = read.run(request.model_copy(update={"maps": (kept,)}))
    assert later.may_enter
    assert later.channel_map is None  # it is kept already


@pytest.mark.parametrize(
    ("day", "given", "said"),
    [
        ("2024-05-31", "", ""),
        ("1970-01-01", "", "dated 1970-01-01, before there were such logs"),
        ("2999-12-31", "", "dated 2999-12-31, after today"),
        ("2999-12-31", "2024-05-31", ""),
    ],
)
def test_a_log_of_an_impossible_day_says_so(demo: Model, day: str, given: str, said: str) -> None:
    rows = "".join(f"{day}T12:00:{second:02d}Z;{second % 7}\n" for second in range(60))
    raw = RawLog.of("a.csv", f"time;height (m)\n{rows}".encode())
    [flight] = read.run(ReadRequest(model=demo, raw=raw, name="a.csv", date=given)).result.flights
    assert flight.date == (given or day)
    found = [one for one in flight.statements if "is dated" in one]
    assert [said in one for one in found] == [True] * bool(said)


def test_a_log_that_is_known_does_not_count_twice_in_its_day(
    demo: Model, hill_class: ClassLimits, logs: dict[str, RawLog], readings: Readings
) -> None:
    raw = logs["evening-2.csv"]
    request = ReadRequest(
        model=demo, rule=hill_class, raw=raw, name=raw.name, accept=True, earlier=readings.flights
    )
    again = read.run(request).result
    assert again.flights[0].is_new is False
    assert again.day is not None
    assert len(again.day.launches) == 2


@pytest.mark.parametrize(
    ("update", "words"),
    [
        ({"date": "3 May"}, "year-month-day"),
        ({"set_up": SetUp(pack="p9")}, "p2-550"),
        ({"set_up": SetUp(propeller="m28-1020")}, "id of a propeller"),
        ({"raw": RawLog.of("letter.csv", b"dear aunt, it flew\n")}, "letter.csv"),
    ],
)
def test_bad_requests_are_one_sentence(
    demo: Model, logs: dict[str, RawLog], update: dict[str, object], words: str
) -> None:
    request = ReadRequest(model=demo, raw=logs["evening-1.csv"], name="a.csv")
    with pytest.raises(InputError) as caught:
        read.run(request.model_copy(update=update))
    assert len(caught.value.problems) == 1
    assert words in str(caught.value)


def test_a_model_without_a_drive_still_reads_its_log(demo: Model, logs: dict[str, RawLog]) -> None:
    items = tuple(item for item in demo.items if item.part.kind != "motor")
    bare = demo.model_copy(update={"items": items})
    found = read.run(ReadRequest(model=bare, raw=logs["evening-1.csv"], name="a.csv")).result
    (flight,) = found.flights
    assert flight.launches
    assert flight.expected == ()
    assert "no motor" in flight.why_not_expected
    assert found.day is not None
    assert found.day.launches


# ------------------------------------------------------------------ the day


def test_a_sluggish_launch_is_seen_before_the_pack_is_empty(contest_day: DayAnswer) -> None:
    # common practice of the trade: the climb tells before the pack is empty
    shares = [launch.climb_share for launch in contest_day.launches]
    assert shares[0] == 1.0
    assert all(one is not None and other is not None and other < one for one, other in pairwise(shares))
    fourth = contest_day.launches[3]
    assert fourth.climb_share is not None
    assert fourth.climb_share < 0.85
    assert known(fourth.charge_left) > 0.1
    assert "sluggish" in contest_day.advice
    assert "Charge or change the pack now" in contest_day.advice
    assert contest_day.tone == "warning"
    assert known(contest_day.trend) < -3.0


def test_a_fresh_pack_has_launches_left(readings: Readings) -> None:
    day = readings.answers["evening-1.csv"].result.day
    assert day is not None
    assert day.tone == "good"
    # five launches emptied the same pack on another day, the reserve of a fifth is not for flying
    assert 2.0 <= known(day.launches_left) <= 4.0
    height = day.next_launch[0].figure
    assert height.low is not None
    assert height.low < known(height) < 126.0
    assert known(day.launches[0].charge_left) == pytest.approx(0.81, abs=0.04)


def test_a_change_of_pack_begins_a_new_count(
    demo: Model, hill_class: ClassLimits, readings: Readings
) -> None:
    flight = readings.flights[0]
    second = flight.model_copy(
        update={
            "source_sha256": "b" * 64,
            "start_utc": "2025-05-03T18:00:00+00:00",
            "set_up": flight.set_up.model_copy(update={"pack": "p2-800"}),
        }
    )
    third = flight.model_copy(update={"source_sha256": "c" * 64, "start_utc": "2025-05-03T19:00:00+00:00"})
    day = day_answer(demo, hill_class, (flight, second, third), "2025-05-03", Posterior.none())
    assert day is not None
    assert [(one.pack, one.number) for one in day.launches] == [("p2-550", 1), ("p2-800", 1), ("p2-550", 2)]
    charged = third.model_copy(update={"is_charged": True})
    day = day_answer(demo, hill_class, (flight, second, charged), "2025-05-03", Posterior.none())
    assert day is not None
    assert day.launches[2].number == 1
    assert day_answer(demo, hill_class, (flight,), "2025-05-04", Posterior.none()) is None


def test_a_day_is_told_without_a_log(demo: Model, hill_class: ClassLimits, readings: Readings) -> None:
    found = read.of_day(demo, hill_class, readings.flights, "2025-05-24")
    assert found.day is not None
    assert len(found.day.launches) == 5
    with pytest.raises(InputError, match="2025-05-24"):
        read.of_day(demo, hill_class, readings.flights, "2025-05-25")


# ------------------------------------------------------------------ the score sheet


def scored(
    flight: Flight, scoring: Scoring, target_s: float | None = None
) -> tuple[float | None, tuple[str, ...]]:
    rule = ClassLimits(id="own", title="Own", score=scoring)
    (row,), notes = score_rows(rule, (flight,), target_s, "brushless")
    return row.total.value, notes


def exactly(value: float, unit: str, shown: str) -> Figure:
    return Figure.exact(value, unit, shown, "measured", "by hand")


def test_points_are_those_of_the_class_formula(readings: Readings) -> None:
    launch = (
        readings.flights[0]
        .launches[0]
        .model_copy(
            update={
                "counted_height": exactly(201.0, "m", "m"),
                "motor_run": exactly(20.0, "s", "s"),
            }
        )
    )
    flight = readings.flights[0].model_copy(
        update={"launches": (launch,), "flight_times": (exactly(365.0, "s", "s"),), "landing_m": 1.5}
    )
    # electric RES time rule: 365 s against a target of 360 s at 2 points a second are 710 points
    time_only = Scoring(target_time_s=360.0, points_per_s=2.0, overtime="subtract", clock_from="motor_start")
    assert scored(flight, time_only)[0] == pytest.approx(710.0)
    # start height of 201 m by the slopes 0.5 and 3 costs 103 points; landing within 2 m gives 45
    knees = (HeightKnee(above_m=0.0, points_per_m=0.5), HeightKnee(above_m=200.0, points_per_m=3.0))
    steps = (LandingStep(within_m=1.0, points=50.0), LandingStep(within_m=2.0, points=45.0))
    full = time_only.model_copy(update={"height": knees, "landing": steps})
    assert scored(flight, full)[0] == pytest.approx(710.0 - 103.0 + 45.0)
    # from motor stop: 345 s are 690 points
    late = time_only.model_copy(update={"clock_from": "motor_stop"})
    assert scored(flight, late)[0] == pytest.approx(690.0)


def test_what_the_class_does_not_state_is_said(readings: Readings) -> None:
    open_target = Scoring(target_options_s=(360.0, 390.0), points_per_s=2.0, overtime="subtract")
    points, notes = scored(readings.flights[0], open_target)
    assert points is None
    assert any("target" in note for note in notes)
    assert scored(readings.flights[0], open_target, 390.0)[0] is not None
    landing = open_target.model_copy(update={"landing": (LandingStep(within_m=1.0, points=50.0),)})
    _, notes = scored(readings.flights[0], landing, 390.0)
    assert any("--landing" in note for note in notes)
    assert not any("late" in note for note in notes)
    strict = landing.model_copy(update={"late_landing_lost": True, "late_zero_s": 60.0})
    _, notes = scored(readings.flights[0], strict, 390.0)
    (late,) = (note for note in notes if "late" in note)
    assert "no log knows when the working time began" in late
    assert "no landing points" in late
    assert "more than 60 s late makes the flight zero" in late
    assert score_rows(None, readings.flights, None, "") == ((), ())


def test_every_flight_of_a_log_has_its_points(contest_day: DayAnswer) -> None:
    assert len(contest_day.scores) == 5
    assert all(row.total.value is not None for row in contest_day.scores)
    assert len({row.title for row in contest_day.scores}) == 5


# ------------------------------------------------------------------ calibrate


def test_before_and_after(result: CalibrateResult) -> None:
    rows = {row.name: row for row in result.main}
    height = rows["height_without_limiter_m"]
    assert height.width_left is not None
    assert height.width_left < 0.4
    for row in result.main:
        assert row.before.value is not None
        assert row.after.value is not None
    assert (result.flights, result.launches, result.bench_readings) == (3, 8, 0)


def test_every_flight_is_predicted_before_it_teaches(result: CalibrateResult) -> None:
    assert len(result.held_back) == 8
    heights = [
        next(row for row in one.rows if row.name == "height_at_stop_m").expected for one in result.held_back
    ]
    widths = [known(one.model_copy(update={"value": one.high})) - (one.low or 0.0) for one in heights]
    assert widths[1] < 0.5 * widths[0]  # the first one taught
    assert widths[1] == pytest.approx(widths[2], rel=0.25)  # launches of one flight are predicted together
    assert 0.6 * result.expected <= result.inside <= result.expected
    assert len(result.evidence) == 8


def test_what_was_learned_is_told_in_its_unit(result: CalibrateResult) -> None:
    rows = {row.name: row for row in result.learned}
    assert rows["pack.capacity"].part == "p2-550"
    assert rows["pack.capacity"].before.shown == "mAh"
    assert rows["pack.capacity"].width_left < 0.6
    assert [row.width_left for row in result.learned] == sorted(row.width_left for row in result.learned)
    assert {row.name for row in result.meters} == {"meter.ammeter", "meter.voltmeter", "meter.tachometer"}


def test_the_next_reading_is_computed(result: CalibrateResult) -> None:
    assert result.still_unknown
    best = result.worths[0]
    assert len(best.left) == len(result.worth_of) == 4
    assert best.mean_left < 0.97
    assert [one.mean_left for one in result.worths] == sorted(one.mean_left for one in result.worths)


def test_bench_readings_and_flights_teach_together(
    demo: Model, hill_class: ClassLimits, readings: Readings, result: CalibrateResult
) -> None:
    reading = BenchReading(
        voltage_V=Given(value=7.5, grade="measured"),
        current_A=Given(value=11.6, grade="measured"),
        revs_per_s=Given(value=5050 / 60, grade="measured"),
    )
    both = calibrate.run(
        CalibrateRequest(
            model=demo.model_copy(update={"bench": (reading,)}),
            rule=hill_class,
            flights=readings.flights[:1],
            draws=128,
        )
    )
    assert both.result.bench_readings == 1
    assert any("bench reading 1" in words for words in both.result.evidence)
    assert both.learned is not None
    assert both.learned.bench_sha256
    # the first flight was expected by what the bench had taught
    assert known(both.result.held_back[0].rows[0].expected) != known(result.held_back[0].rows[0].expected)


def test_bench_alone_teaches_and_keeps_nothing(demo: Model) -> None:
    reading = BenchReading(
        voltage_V=Given(value=7.5, grade="measured"), current_A=Given(value=12.5, grade="measured")
    )
    found = calibrate.run(CalibrateRequest(model=demo.model_copy(update={"bench": (reading,)}), draws=64))
    assert found.learned is None
    assert found.result.held_back == ()
    assert {row.name for row in found.result.main} >= {"mean_climb_m_s", "launches"}


def test_nothing_to_learn_from_is_refused(demo: Model) -> None:
    with pytest.raises(InputError, match="glidewright read"):
        calibrate.run(CalibrateRequest(model=demo))


def test_a_season_in_a_few_lines(readings: Readings) -> None:
    rows = {row.title: row.value for row in season_answer(readings.flights)}
    assert rows["Days"] == "3, from 2025-05-03 to 2025-05-24"
    assert rows["Launches"] == "8 in 3 logged flights"
    assert rows["Launches by pack"] == "p2-550 8"
    assert season_answer(()) == ()


# ------------------------------------------------------------------ packs


def charge(day: int, put_back_mAh: float, resistance_mohm: float) -> PackCharge:
    volts = float(open_circuit_voltage_V(0.2, 2))
    return PackCharge(
        pack="p2-550",
        date=f"2025-05-{day:02d}",
        put_back_As=Given(value=3.6 * put_back_mAh, grade="measured"),
        resting_before_V=Given(value=volts, grade="measured"),
        resistance_ohm=Given(value=resistance_mohm / 1000.0, grade="measured"),
    )


def test_a_pack_that_fades_is_said(demo: Model) -> None:
    healthy = [charge(day, 440.0, 50.0) for day in range(1, 7)]
    (row,) = packs_answer(demo, healthy, ())
    assert (row.cautions, row.tone) == ((), "good")
    assert known(row.capacity_share) == pytest.approx(1.0, abs=0.02)
    # by hand: 440 mAh from 20 % at first, 308 mAh later are 70 %; 50 mohm and later 90 mohm are 1.8 times
    faded = [*healthy[:3], *(charge(day, 308.0, 90.0) for day in range(10, 13))]
    (row,) = packs_answer(demo, faded, ())
    assert known(row.capacity_share) == pytest.approx(0.7, abs=0.02)
    assert known(row.resistance_ratio) == pytest.approx(1.8, abs=0.05)
    assert len(row.cautions) == 2
    assert "70 %" in row.cautions[0]
    assert "common practice" in row.cautions[1]
    assert row.tone == "warning"


def test_a_single_charge_says_nothing_of_a_trend(demo: Model) -> None:
    (row,) = packs_answer(demo, [charge(1, 440.0, 50.0)], ())
    assert row.capacity_share.value is None
    assert row.tone == "plain"
    assert known(row.charges[0].capacity) / 3.6 == pytest.approx(550.0, rel=0.02)
    assert packs_answer(demo, (), ()) == ()
