"""Clocks that jump, stand, run back or are of another day: one recording, several, or a sentence."""

import numpy as np
import pytest

from glidewright.base.errors import InputError
from glidewright.domain.raw_log import RawLog
from glidewright.logs.clock import Stretch, stretches
from glidewright.logs.read_log import read_log

TICKS = np.arange(0.0, 300.0, 0.5)
DAY_s = 86400.0


def after(at: float, by: float) -> np.ndarray:
    return TICKS + by * (at <= TICKS)


def lengths(found: list[Stretch]) -> list[int]:
    return [one.places.size for one in found]


@pytest.mark.parametrize("by", [-40.0, -3600.0, -11.0 * 3600.0])
def test_a_clock_that_is_set_back_begins_another_recording(by: float) -> None:
    found = stretches(after(100.0, by), False, "log")
    assert lengths(found) == [200, 400]
    assert [one.time_s[-1] for one in found] == [99.5, 199.5]
    assert "the file is read as 2 recordings" in found[0].notes[0]


def test_a_clock_that_is_set_back_by_little_loses_only_what_it_told_twice() -> None:
    [found] = stretches(after(100.0, -3.0), False, "log")
    assert found.places.size == TICKS.size - 5
    assert "5 samples with a clock that runs backwards left out." in found.notes


@pytest.mark.parametrize("years", [6.4, 26.4, 56.4])  # a first fix after 2020, 2000 or 1970
def test_a_clock_that_jumps_by_years_at_the_first_fix_begins_another_recording(years: float) -> None:
    found = stretches(after(60.0, 365.25 * DAY_s * years), False, "log")
    assert lengths(found) == [120, 480]
    assert "jumps ahead by days" in found[0].notes[0]
    assert found[1].begin_s == pytest.approx(60.0 + 365.25 * DAY_s * years)


def test_a_clock_that_jumps_ahead_by_an_hour_is_a_gap() -> None:
    [found] = stretches(after(100.0, 3600.0), False, "log")
    assert found.places.size == TICKS.size
    assert found.time_s[-1] == 299.5 + 3600.0


def test_a_clock_that_stands_and_catches_up_is_spread_over_the_time_it_stood() -> None:
    stood = np.where((TICKS >= 100.0) & (TICKS < 120.0), 100.0, TICKS)
    [found] = stretches(stood, False, "log")
    np.testing.assert_allclose(found.time_s, TICKS, atol=1e-6)


def test_two_samples_at_one_time_before_a_gap_do_not_reach_over_it() -> None:
    clock = np.array([0.0, 1.0, 2.0, 3.0, 3.0, 50.0, 51.0, 52.0, 53.0])
    [found] = stretches(clock, False, "log")
    assert found.time_s[4] == pytest.approx(4.0)


def test_a_clock_that_only_runs_backwards_is_refused() -> None:
    with pytest.raises(InputError, match="must have a clock that runs forwards"):
        stretches(TICKS[::-1], False, "log")


def test_times_in_no_order_are_refused_however_many() -> None:
    clock = np.random.Generator(np.random.PCG64(3)).permutation(TICKS)
    with pytest.raises(InputError, match="must have a clock that runs forwards"):
        stretches(clock, False, "log")


def text_of(stamps: list[str]) -> RawLog:
    rows = "".join(f"{stamp};{place}\n" for place, stamp in enumerate(stamps))
    return RawLog.of("a.csv", f"time;height (m)\n{rows}".encode())


def test_a_leap_second_is_a_second() -> None:
    seconds = ["23:59:57", "23:59:58", "23:59:59", "23:59:60"]
    stamps = [f"2016-12-31T{one}Z" for one in seconds] + [f"2017-01-01T00:00:0{n}Z" for n in range(4)]
    [record] = read_log(text_of(stamps))
    assert record.channels["height_m"].tolist() == list(range(8))
    assert np.all(np.diff(record.time_s) > 0.0)
    assert record.time_s[-1] == pytest.approx(6.0)  # 8 samples in 7 s of a day that is a second longer


def test_a_leap_second_in_a_satellite_log_is_a_second() -> None:
    def sentence(time: str, height: int) -> str:
        return f"$GPGGA,{time},4700.0,N,01100.0,E,1,8,1.0,{height}.0,M,47.0,M,,"

    times = ["235957", "235958", "235959", "235960", "000000", "000001", "000002"]
    raw = RawLog.of(
        "a.nmea", "\r\n".join(sentence(*one) for one in zip(times, range(7), strict=True)).encode()
    )
    [record] = read_log(raw)
    assert record.channels["height_m"].tolist() == list(range(7))


def test_a_leap_second_in_an_igc_record_is_a_second() -> None:
    times = ["235957", "235958", "235959", "235960", "000000", "000001", "000002"]
    fixes = [f"B{time}4700000N01100000EA{500 + n:05d}00500" for n, time in enumerate(times)]
    [record] = read_log(RawLog.of("a.igc", "\r\n".join(["AXXX001", "HFDTE311216", *fixes]).encode()))
    assert record.channels["height_m"].tolist() == list(range(500, 507))


def test_a_log_that_changes_its_zone_counts_in_one() -> None:
    stamps = [f"2026-05-31T10:00:0{n}Z" for n in range(5)] + [
        f"2026-05-31T12:00:0{n}+02:00" for n in range(5, 9)
    ]
    [record] = read_log(text_of(stamps))
    np.testing.assert_allclose(record.time_s, np.arange(9.0))


def test_recordings_of_two_days_in_one_file_keep_their_days() -> None:
    stamps = [f"1970-01-01T00:00:{n:02d}Z" for n in range(20)]
    stamps += [f"2026-05-31T10:00:{n:02d}Z" for n in range(20, 50)]
    first, second = read_log(text_of(stamps))
    assert [str(first.day), str(second.day)] == ["1970-01-01", "2026-05-31"]
    assert (first.parts, second.part) == (2, 2)
