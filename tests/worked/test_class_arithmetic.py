"""Class arithmetic against numbers from outside: rule texts, pages that quote them, and hand calculation."""

import pytest
from outside import held

from glidewright.base.units import unit
from glidewright.domain.scoring import DriveHandicap, Scoring
from glidewright.models.air.indicated import indicated_height_m, true_height_m
from glidewright.models.score.consequences import climb_that_reaches_m_s
from glidewright.models.score.points import (
    height_bonus,
    height_deduction,
    landing_points,
    motor_deduction,
    time_points,
)
from glidewright.rules.measures import MEASURE_UNITS
from glidewright.store.class_files import read_class

EXACT = {"because": "arithmetic: the very number", "abs": 0.0}
ROUNDED = {"because": "rounding", "rel": 1e-6}
DECIMAL = {"because": "half of the last printed digit", "abs": 0.05, "unit": "m"}
FAI_HEIGHT = "eddumas.com start height page, quoting FAI Sporting Code 4 F5, 5.5.11"


def score_of(class_id: str) -> Scoring:
    score = read_class(None, class_id, MEASURE_UNITS).score
    assert score is not None
    return score


@pytest.mark.parametrize(
    ("start_height_m", "points"), [(180.0, 90.0), (200.0, 100.0), (201.0, 103.0), (215.0, 145.0)]
)
def test_start_height_deduction(start_height_m: float, points: float) -> None:
    # eddumas.com start height page, quoting FAI Sporting Code 4 F5, 5.5.11.12 e: its four worked cases
    found = height_deduction(score_of("f5j").height, start_height_m)
    held(f"points off for a start of {start_height_m:g} m", found, points, source=FAI_HEIGHT, **ROUNDED)


@pytest.mark.parametrize(
    ("target_s", "flight_s", "points"),
    [
        (360.0, 355.0, 710.0),
        (360.0, 360.0, 720.0),
        (360.0, 365.0, 710.0),
        (390.0, 380.0, 760.0),
        (390.0, 390.0, 780.0),
        (390.0, 400.0, 760.0),
    ],
)
def test_res_time_points(target_s: float, flight_s: float, points: float) -> None:
    # arithmetic from the rule text (fmsv-adebar.de RES rules: 2 points a second, time past the target is
    # subtracted from the target): 2 T up to Tt, 2 (2 Tt - T) past it
    found = time_points(score_of("f5l-electric-res"), flight_s, target_s)
    source = "arithmetic from the RES rule text (fmsv-adebar.de): 2 T, past the target 2 (2 Tt - T)"
    held(f"points of {flight_s:g} s at a target of {target_s:g} s", found, points, source=source, **EXACT)
    own = score_of("f3l-res" if target_s == 360.0 else "at-electric-res")
    assert own.target_time_s == target_s
    assert time_points(own, flight_s) == points


def test_landing_points_weigh_as_seconds() -> None:
    # arithmetic from the rule texts: 100 points at 2 a second are 50 s; 50 points at 1 a second are 50 s
    for name, points in (("f3l-res", 100.0), ("f5j", 50.0)):
        score = score_of(name)
        assert max(step.points for step in score.landing) == points
        found = points / time_points(score, 1.0, 600.0)
        source = "arithmetic from the rule texts: 100 points at 2 a second, 50 at 1 a second"
        held(f"best landing in seconds of flight, {name}", found, 50.0, unit="s", source=source, **EXACT)
    # 1 m of start height below 200 m costs as much as half a second
    metre = height_deduction(score_of("f5j").height, 101.0) - height_deduction(score_of("f5j").height, 100.0)
    found = metre / time_points(score_of("f5j"), 1.0)
    held("a metre of start height below 200 m", found, 0.5, unit="s", source=FAI_HEIGHT, **EXACT)


@pytest.mark.parametrize(
    ("distance_m", "points"),
    [
        (0.2, 100.0),
        (0.3, 99.0),
        (2.0, 91.0),
        (3.0, 90.0),
        (4.0, 85.0),
        (5.0, 80.0),
        (10.0, 55.0),
        (15.0, 30.0),
    ],
)
def test_res_landing_table(distance_m: float, points: float) -> None:
    # from memory: the table of an older thermal class; buschpiloten.de confirms the ends (0.20 m and 15 m)
    table = score_of("f3l-res").landing
    source = "table of an older thermal class from memory; buschpiloten.de confirms its ends"
    found = landing_points(table, distance_m)
    held(f"landing points {distance_m:g} m off", found, points, source=source, **EXACT)
    assert landing_points(table, 15.01) == 0.0


def test_nominal_height_bonus() -> None:
    # slides of the F5K class text, version 2020-04-20: nominal 60 m, start at 55 m gives + 5 s
    score = score_of("f5k")
    slides = "slides of the F5K class text, version 2020-04-20"
    for start_m, bonus in ((55.0, 5.0), (60.0, 0.0), (70.0, 0.0)):
        found = height_bonus(score, start_m)
        held(f"bonus of a start of {start_m:g} m, nominal 60 m", found, bonus, source=slides, **EXACT)


@pytest.mark.parametrize(
    ("drive", "seconds"), [("brushless", 38.0), ("cobalt", 30.0), ("ferrite", 18.0), ("small ferrite", 12.0)]
)
def test_drive_handicap(drive: str, seconds: float) -> None:
    # mgasa.blogspot.com 2009: factors 0.95, 0.75, 0.45, 0.30; 40 motor seconds, arithmetic from the rule text
    found = motor_deduction(score_of("za-motor-seconds-2009"), 40.0, drive)
    source = "mgasa.blogspot.com 2009: factors 0.95, 0.75, 0.45, 0.30 on 40 motor seconds"
    held(f"seconds off, drive {drive}", found, seconds, unit="s", source=source, **ROUNDED)


def test_time_only_handicap_by_motor_run() -> None:
    # fmc-memmingen.de cup rules 2019: 15 s with gear, 20 s without
    for drive, seconds in (("geared", 15.0), ("direct", 20.0)):
        found = read_class(None, f"de-club-cup-2019-{drive}", MEASURE_UNITS).motor_run_s
        source = "fmc-memmingen.de cup rules 2019"
        held(f"motor run, {drive} drive", found, seconds, unit="s", source=source, **EXACT)


def test_one_up_one_down() -> None:
    # aeroneers.com club rules 2016: 7:00, + 1 a second, then - 1 a second; 410 and 430 s, hand calculation
    for flown_s, points in ((410.0, 410.0), (420.0, 420.0), (430.0, 410.0)):
        found = time_points(score_of("nz-club-foam-2m-2016"), flown_s)
        source = "aeroneers.com club rules 2016, hand calculation: 7:00, up and down by 1 a second"
        held(f"points of {flown_s:g} s at a target of 420 s", found, points, source=source, **EXACT)


def test_last_down_scoring() -> None:
    # hayesdmac.co.uk: 9-7-5-4-3-2-1, and one more for a landing within 5 m
    score = score_of("uk-club-2m-electric")
    source = "hayesdmac.co.uk: 9-7-5-4-3-2-1, one more within 5 m"
    for place, points in ((1, 9.0), (2, 7.0), (7, 1.0), (8, 0.0)):
        stated = (*score.place_points, 0.0)[place - 1]
        held(f"points of place {place}", stated, points, source=source, **EXACT)
    held("landing within 5 m", landing_points(score.landing, 4.9), 1.0, source=source, **EXACT)


def test_a_whole_flight() -> None:
    # hand calculation from the F5J numbers: 560 s + 45 for 1.5 m - 0.5 * 150 = 530
    score = score_of("f5j")
    landing = landing_points(score.landing, 1.5)
    found = time_points(score, 560.0) + landing - height_deduction(score.height, 150.0)
    held("a whole F5J flight", found, 530.0, source="hand calculation: 560 + 45 - 75", **EXACT)
    late = "barcs.co.uk and eddumas.com: up to 60 s late loses the landing, more the flight"
    assert score.late_landing_lost
    assert score.late_zero_s is not None
    held("F5J, zero when late by more than", score.late_zero_s, 60.0, unit="s", source=late, **EXACT)


def test_the_90_m_30_s_pair_needs_three_metres_a_second() -> None:
    # arithmetic from the rule text: 90 m / 30 s
    rule = read_class(None, "f5l-electric-res", MEASURE_UNITS)
    assert rule.cut_height_m is not None
    assert rule.motor_run_s is not None
    found = climb_that_reaches_m_s(rule.cut_height_m, rule.motor_run_s)
    source = "arithmetic from the rule text: 90 m / 30 s"
    held("climb that reaches 90 m in 30 s", found, 3.0, unit="m/s", source=source, **EXACT)


@pytest.mark.parametrize(
    ("indicated_m", "temperature_C", "true_m"),
    [(90, 0, 85.3), (90, 30, 94.7), (90, 40, 97.8), (200, 0, 189.6), (200, 30, 210.4), (200, 40, 217.4)],
)
def test_indicated_against_true_height(indicated_m: float, temperature_C: float, true_m: float) -> None:
    # hand calculation: indicated * T / 288.15 K
    got_m = true_height_m(indicated_m, temperature_C + 273.15)
    assert round(got_m, 1) == true_m
    what = f"true height, {indicated_m} m shown at {temperature_C} °C"
    held(what, got_m, true_m, source="hand calculation: indicated T / 288.15 K", **DECIMAL)
    assert indicated_height_m(got_m, temperature_C + 273.15) == pytest.approx(indicated_m)


@pytest.mark.parametrize(("watt_minutes", "watt_hours"), [(1750, 29.167), (1300, 21.667), (450, 7.5)])
def test_energy_caps(watt_minutes: float, watt_hours: float) -> None:
    # prop.at international and national electric classes: 1750, 1300 and 450 W min; 60 W min are 1 Wh
    held(
        f"{watt_minutes} W min",
        unit("Wh").from_si(watt_minutes * 60.0),
        watt_hours,
        abs=5e-4,
        unit="Wh",
        source="prop.at international and national electric classes; 60 W min are 1 Wh",
        because="half of the last printed digit",
    )


def test_a_handicap_needs_a_known_drive() -> None:
    score = Scoring(motor_points_per_s=1.0, drives=(DriveHandicap(name="brushless", factor=0.95),))
    with pytest.raises(Exception, match="brushless"):
        motor_deduction(score, 10.0, "steam")
