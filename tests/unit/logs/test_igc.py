"""IGC records: against known counts and heights, against the library's own reader, and the format's traps."""

import io

import numpy as np
import pytest
from aerofiles.igc import Reader

from glidewright.base.errors import InputError
from glidewright.domain.raw_log import RawLog
from glidewright.logs.read_log import propose_map, read_log

FIX = "B{time}4612584N01249706EA{pressure:05d}{height:05d}{more}"


def igc(*fixes: str, head: str = "AXXXABC\nHFDTE030416\n") -> RawLog:
    return RawLog.of("a.igc", (head + "\n".join(fixes) + "\n").encode())


def fixes(times: list[str], heights: list[int] | None = None, more: str = "") -> list[str]:
    own = heights or list(range(500, 500 + len(times)))
    return [
        FIX.format(time=time, pressure=height, height=height + 60, more=more)
        for time, height in zip(times, own, strict=True)
    ]


TIMES = [f"1200{i:02d}" for i in range(10)]


def test_a_long_recording_has_the_known_count_and_heights(recording):
    # the count of fixes and the range of the pressure height stand with the recording where it comes from
    [record] = read_log(recording("igc_lib_napret.igc"))
    height = record.channels["height_m"]
    assert (record.time_s.size, height.min(), height.max()) == (5380, 218.0, 1088.0)
    assert record.start_utc is not None
    assert record.start_utc.isoformat() == "2016-04-03T12:00:00+00:00"
    assert record.notes == ()


@pytest.mark.parametrize(
    "name", ["igc_lib_napret", "aerofiles_2019-04-15", "aerofiles_2020-09-04", "igc_lib_new_date_format"]
)
def test_every_fix_is_that_of_the_librarys_reader(recording, name):
    raw = recording(f"{name}.igc")
    [record] = read_log(raw)
    parsed = Reader().read(io.StringIO(raw.data.decode("utf-8")))
    theirs = parsed["fix_records"][1]
    assert record.time_s.size == len(theirs)
    assert record.channels["height_m"].tolist() == [fix["pressure_alt"] for fix in theirs]
    assert np.nan_to_num(record.channels["gnss_height_m"]).tolist() == [
        fix["gps_alt"] if fix["validity"] == "A" else 0 for fix in theirs
    ]
    # the library leaves out the further digits of the extensions LAD and LOD: 0.001 minutes
    assert np.degrees(record.channels["latitude_rad"]) == pytest.approx(
        [fix["lat"] for fix in theirs], abs=0.0011 / 60
    )
    assert np.degrees(record.channels["longitude_rad"]) == pytest.approx(
        [fix["lon"] for fix in theirs], abs=0.0011 / 60
    )
    assert record.start_utc == theirs[0]["datetime"]
    assert record.duration_s == (theirs[-1]["datetime"] - theirs[0]["datetime"]).total_seconds()


def test_the_example_of_the_specification_to_the_metre(recording):
    # FAI, Technical Specification for GNSS Flight Recorders, appendix A, first fix of its example:
    # B1602405407121N00249342WA002800042120509950 is 16:02:40 UTC, 54 deg 7.121 min N, 2 deg 49.342 min W,
    # 280 m by pressure, 421 m by satellites, noise 950 of 999
    [record] = read_log(recording("aerofiles_example.igc"))
    assert record.channels["height_m"].tolist() == [280, 288, 290, 290, 291, 291, 293]
    assert record.channels["gnss_height_m"].tolist() == [421, 429, 432, 430, 432, 435, 435]
    assert record.time_s.tolist() == [0, 5, 10, 15, 20, 25, 30]
    assert record.start_utc is not None
    assert record.start_utc.isoformat() == "2001-07-16T16:02:40+00:00"
    assert np.degrees(record.channels["latitude_rad"][0]) == pytest.approx(54 + 7.121 / 60)
    assert np.degrees(record.channels["longitude_rad"][0]) == pytest.approx(-(2 + 49.342 / 60))
    assert record.channels["engine_noise"][0] == pytest.approx(950 / 999)
    assert record.notes == (
        "1 sample with a time that jumps ahead left out.",
        "2 samples with a clock that runs backwards left out.",
    )


def test_a_flight_over_midnight_goes_on(recording):
    [record] = read_log(recording("igc_lib_new_zealand_every_tenth.igc"))
    # 23:48:08 to 04:08:2x UTC by the first and last fix: 4 h 20 min
    assert record.duration_s == pytest.approx(4 * 3600 + 20 * 60, abs=20)
    assert "The clock passes midnight; the flight is read on." in record.notes
    assert record.start_utc is not None
    assert record.start_utc.isoformat() == "2009-11-06T23:48:08+00:00"


def test_extensions_agree_with_the_way_over_ground(recording):
    [record] = read_log(recording("igc_lib_new_zealand_every_tenth.igc"))
    own = record.channels
    north = np.diff(own["latitude_rad"]) * 6_371_000
    east = np.diff(own["longitude_rad"]) * 6_371_000 * np.cos(own["latitude_rad"][1:])
    speed = np.hypot(north, east) / np.diff(record.time_s)
    stated = 0.5 * (own["ground_speed_m_s"][1:] + own["ground_speed_m_s"][:-1])
    is_straight = np.abs(np.diff(np.unwrap(own["course_rad"]))) < 0.1
    chosen = is_straight & (speed > 15.0)
    assert np.count_nonzero(chosen) > 50
    assert np.median(stated[chosen] / speed[chosen]) == pytest.approx(1.0, abs=0.01)
    assert own["temperature_K"][0] == pytest.approx(273.15 + 19.0)
    assert 0.0 <= own["engine_noise"].min() <= own["engine_noise"].max() <= 1.0


def test_repeated_times_divide_nothing_by_zero(recording):
    [record] = read_log(recording("igc_lib_no_time_increment.igc"))
    assert record.time_s.size == 200
    assert np.all(np.diff(record.time_s) > 0.0)
    assert np.all(np.isfinite(np.diff(record.channels["height_m"]) / np.diff(record.time_s)))
    assert "50 samples with a repeated time spread evenly up to the next time." in record.notes


def test_negative_heights():
    [record] = read_log(igc(*[one.replace("00500", "-0012") for one in fixes(TIMES, [500] * 10)]))
    assert set(record.channels["height_m"]) == {-12.0}


def test_no_pressure_sensor_leaves_the_height_of_the_satellites():
    own = [FIX.format(time=time, pressure=0, height=700 + i, more="") for i, time in enumerate(TIMES)]
    [record] = read_log(igc(*own))
    assert record.height_from == "gnss_height_m"
    assert record.channels["height_m"][0] == 700.0
    assert any("satellites" in note for note in record.notes)


def test_a_fix_without_satellites_keeps_its_pressure_height():
    own = fixes(TIMES)
    own[3] = own[3].replace("EA", "EV")
    [record] = read_log(igc(*own))
    assert np.isnan(record.channels["gnss_height_m"][3])
    assert record.channels["height_m"][3] == 503.0


def test_further_digits_of_time_and_place():
    own = [
        FIX.format(time="120000", pressure=500, height=560, more="05"),
        FIX.format(time="120000", pressure=500, height=560, more="55"),
        *(FIX.format(time=f"12000{i}", pressure=500, height=560, more="05") for i in range(1, 6)),
    ]
    [record] = read_log(igc("I023636TDS3737LAD", *own))
    assert record.time_s.tolist()[:3] == pytest.approx([0.0, 0.5, 1.0])
    assert np.degrees(record.channels["latitude_rad"][0]) == pytest.approx(46 + 12.5845 / 60, abs=1e-9)


@pytest.mark.parametrize(
    ("head", "start"),
    [
        ("AXXX\nHFDTE030416\n", "2016-04-03T12:00:00+00:00"),
        ("AXXX\nHFDTEDATE:030416,01\n", "2016-04-03T12:00:00+00:00"),
        ("AXXX\nHFDTEDATE: 030416\n", "2016-04-03T12:00:00+00:00"),
        ("AXXX\nHFDTE990416\n", None),
        ("AXXX\n", None),
    ],
)
def test_both_forms_of_the_date_and_none(head, start):
    [record] = read_log(igc(*fixes(TIMES), head=head))
    assert (record.start_utc and record.start_utc.isoformat()) == start
    assert bool(record.notes) == (start is None)


def test_two_flights_in_a_file_have_each_their_date():
    head = "AXXX\nHFDTE{}\n"
    text = (
        head.format("030416")
        + "\n".join(fixes(TIMES))
        + "\n"
        + head.format("050416")
        + "\n".join(fixes(TIMES))
    )
    first, second = read_log(RawLog.of("a.igc", text.encode()))
    assert (first.part, second.part, second.parts) == (1, 2, 2)
    assert first.start_utc is not None
    assert second.start_utc is not None
    assert (second.start_utc - first.start_utc).days == 2


def test_broken_fixes_are_left_out_and_said():
    own = fixes(TIMES)
    own[4] = own[4][:20]
    own[6] = own[6].replace("N", "X")
    [record] = read_log(igc(*own))
    assert record.time_s.size == 8
    assert record.notes == ("2 broken fixes left out.",)


def test_a_list_of_extensions_that_lies_is_no_harm():
    for line in (
        "I01",
        "I99AAAA",
        "I013699ENL",
        "I013635ENL",
        "I0136",
        "I01\udcff".encode("utf-8", "replace").decode(),
    ):
        [record] = read_log(igc(line, *fixes(TIMES, more="123")))
        assert record.channels["height_m"][0] == 500.0


def test_a_file_without_a_fix_that_can_be_read():
    with pytest.raises(InputError, match="must hold fixes"):
        read_log(igc("B1200004612584N01249706EA"))


def test_the_format_needs_no_channel_map():
    assert propose_map(igc(*fixes(TIMES))) is None
