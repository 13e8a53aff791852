"""Delimited logs: delimiters, decimal signs, units, clocks, gaps, noise before the table."""

import numpy as np
import pytest

from glidewright.base.errors import InputError
from glidewright.domain.channel_map import ChannelMap, MappedColumn
from glidewright.domain.raw_log import RawLog
from glidewright.logs.read_log import propose_map, read_log

METRIC = """\
Time (s),Altitude (m),Battery voltage (V),Current (A),RPM,Throttle (%),Airspeed (km/h),Temp (°C),Vario (m/s)
0.0,1.5,12.40,0.2,0,0,0,21,0.0
0.1,1.5,12.39,10.0,3000,50,18,21,0.1
0.2,2.0,11.80,22.5,6000,100,36,21,4.0
0.3,2.5,11.75,22.4,6060,100,36,21,4.5
0.4,3.0,11.74,22.3,6060,100,36,21,5.0
"""


def test_every_channel_comes_out_in_si(read_one):
    record = read_one(METRIC)
    last = {name: float(samples[-1]) for name, samples in record.channels.items()}
    assert last == pytest.approx(
        {
            "height_m": 3.0,
            "voltage_V": 11.74,
            "current_A": 22.3,
            "revs_per_s": 101.0,
            "throttle": 1.0,
            "airspeed_m_s": 10.0,
            "temperature_K": 294.15,
            "vertical_speed_m_s": 5.0,
        }
    )
    assert record.time_s.tolist() == [0.0, 0.1, 0.2, 0.3, 0.4]
    assert record.notes == ()
    assert (record.format, record.height_from, record.start_utc) == ("delimited", "height_m", None)


@pytest.mark.parametrize(("sign", "decimal"), [(";", ","), ("\t", ","), (";", "."), ("\t", ".")])
def test_the_same_log_with_other_signs(read_one, sign, decimal):
    rows = [line.split(",") for line in METRIC.splitlines()]
    text = "\n".join(sign.join(cell.replace(".", decimal) for cell in row) for row in rows)
    found, expected = read_one(text), read_one(METRIC)
    assert found.time_s.tolist() == expected.time_s.tolist()
    for name, samples in expected.channels.items():
        assert found.channels[name].tolist() == samples.tolist(), name


def test_imperial_units_of_brackets_and_of_a_row_below(read_one):
    bracketed = read_one(
        "t[ms];alt [ft];speed ground (mph)\n" + "".join(f"{i * 100};{i};10\n" for i in range(6))
    )
    below = read_one("t;alt;ground speed\nms;ft;mph\n" + "".join(f"{i * 100};{i};10\n" for i in range(6)))
    for record in (bracketed, below):
        assert record.time_s[-1] == pytest.approx(0.5)
        assert record.channels["height_m"][-1] == pytest.approx(5 * 0.3048)
        assert record.channels["ground_speed_m_s"][0] == pytest.approx(4.4704)


# NIST SP 811 (2008) appendix B.8: 1 kn = 0.514444 m/s, 1 inHg = 3386.389 Pa, 1 ft/min = 0.00508 m/s
@pytest.mark.parametrize(
    ("header", "cell", "channel", "expected"),
    [
        ("airspeed (kts)", "20", "airspeed_m_s", 10.28889),
        ("pressure (inHg)", "29.92", "pressure_Pa", 101320.8),
        ("climb rate (ft/min)", "1000", "vertical_speed_m_s", 5.08),
        ("temperature (°F)", "68", "temperature_K", 293.15),
        ("pressure (mbar)", "1013.25", "pressure_Pa", 101325.0),
        ("capacity used (mAh)", "1000", "charge_As", 3600.0),
        ("throttle (us)", "1500", "throttle", 0.5),
        ("battery (mV)", "11100", "voltage_V", 11.1),
        ("latitude", "45", "latitude_rad", np.pi / 4),
    ],
)
def test_units_of_a_channel(read_one, header, cell, channel, expected):
    record = read_one(f"time (s),{header}\n" + "".join(f"{i},{cell}\n" for i in range(6)))
    assert record.channels[channel][0] == pytest.approx(expected, rel=1e-6)


def test_pressure_becomes_height_by_the_standard_atmosphere(read_one):
    # ISO 2533:1975 table 5: 1013.25, 1001.294, 954.608 and 898.746 hPa at 0, 100, 500 and 1000 m
    rows = zip(range(5), (1013.25, 1001.294, 989.453, 954.608, 898.746), strict=True)
    record = read_one("time (s);pressure (hPa)\n" + "".join(f"{t};{p}\n" for t, p in rows))
    assert record.channels["height_m"] == pytest.approx([0, 100, 200, 500, 1000], abs=0.1)
    assert record.height_from == "pressure_Pa"


def test_noise_before_the_table_and_repeated_headers_and_broken_rows(read_one):
    text = (
        "Logger of the hill club\nserial;12;firmware 3\n\nTime (s);Height (m)\n0;1\n1;2\n2;3\n"
        "Time (s);Height (m)\n3;4\n4;5;6\n5\n6;7\n7;8\n"
    )
    record = read_one(text)
    assert record.channels["height_m"].tolist() == [1, 2, 3, 4, 7, 8]
    assert record.notes == ("3 incomplete rows left out.",)


def test_empty_cells_and_words_are_no_values(read_one):
    text = "time (s),height (m),volts (V)\n0,1,\n1,,11.0\n2,nan,11.1\n3,--,x\n4,5,inf\n5,6,11.4\n"
    record = read_one(text)
    assert np.isnan(record.channels["height_m"][1:4]).all()
    assert record.channels["height_m"][[0, 4, 5]].tolist() == [1, 5, 6]
    assert np.isnan(record.channels["voltage_V"]).tolist() == [True, False, False, True, True, False]


def test_values_that_no_instrument_shows_are_left_out_and_said(read_one):
    record = read_one("time (s),height (m)\n0,1\n1,2\n2,1e300\n3,4\n4,5\n")
    assert np.isnan(record.channels["height_m"][2])
    assert "1 value of height_m that no instrument shows left out." in record.notes


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        (["23:59:58", "23:59:59", "0:00:00", "0:00:01", "0:00:02"], [0, 1, 2, 3, 4]),
        (["0:58.5", "0:59.0", "0:59.5", "1:00.0", "1:00.5"], [0, 0.5, 1, 1.5, 2]),
        ([f"12:00:0{i},{f}" for i in (0, 1, 2) for f in ("00", "50")], [0, 0.5, 1, 1.5, 2, 2.5]),
        ([f"1.5.2024 12:00:0{i}" for i in (0, 1, 2, 3, 3)], [0, 1, 2, 3, 3.5]),
        (["2024-05-31T23:59:59"] + [f"2024-06-01 00:00:0{i}" for i in range(4)], [0, 1, 2, 3, 4]),
    ],
)  # fmt: skip
def test_clocks_with_colons(read_one, cells, expected):
    record = read_one("time;height (m)\n" + "".join(f"{cell};{i}\n" for i, cell in enumerate(cells)))
    assert record.time_s.tolist() == pytest.approx(expected)
    assert record.start_utc is None


@pytest.mark.parametrize(
    ("header", "cell", "expected"),
    [
        ("Date;Time", "2024-06-01;12:00:0{}", "2024-06-01"),
        ("Datum;Zeit", "1.6.2024;12:00:0{}", "2024-06-01"),
        ("Date;Time", "05/06/2024;12:00:0{}", None),
        ("x;Date Time", "5;01.06.2024 12:00:0{}", "2024-06-01"),
        ("x;time", "2024-06-01;0:00:0{}", None),
        ("Date;Time", "2024-02-31;12:00:0{}", None),
    ],
)
def test_the_day_of_a_log_without_a_zone(read_one, header, cell, expected):
    rows = "".join(f"{cell.format(i)};{i}\n" for i in range(6))
    record = read_one(f"{header};height (m)\n{rows}")
    assert record.start_utc is None
    assert (record.day and record.day.isoformat()) == expected


def test_a_zone_makes_the_start_known(read_one):
    rows = "".join(f"2024-06-01T12:00:0{i}+02:00,{i}\n" for i in range(6))
    record = read_one("time,height (m)\n" + rows)
    assert record.start_utc is not None
    assert record.start_utc.isoformat() == "2024-06-01T10:00:00+00:00"


@pytest.mark.parametrize("factor", [1, 1000])
def test_seconds_and_milliseconds_since_1970(read_one, factor):
    # 2024-06-01 10:00:00 UTC is 1717236000, by `date -u -d @1717236000`
    rows = "".join(f"{(1717236000 + i) * factor},{i}\n" for i in range(6))
    record = read_one("timestamp,height (m)\n" + rows)
    assert record.start_utc is not None
    assert record.start_utc.isoformat() == "2024-06-01T10:00:00+00:00"
    assert record.time_s[-1] == pytest.approx(5.0)


def test_a_coarse_clock_is_spread_over_its_second(read_one):
    times = [0] * 3 + [1] * 5 + [2] * 5 + [3] * 5
    record = read_one("time (s),height (m)\n" + "".join(f"{t},{i}\n" for i, t in enumerate(times)))
    assert np.diff(record.time_s) == pytest.approx([0.2] * 17)
    assert any("repeated time" in note for note in record.notes)


def test_two_flights_in_a_file_are_two_records():
    flight = "".join(f"{i / 10},{i}\n" for i in range(50))
    records = read_log(RawLog.of("a.csv", ("time (s),height (m)\n" + flight + flight).encode()))
    assert [(one.part, one.parts, one.time_s.size) for one in records] == [(1, 2, 50), (2, 2, 50)]
    assert "2 recordings" in records[0].notes[0]


def test_a_few_times_that_run_back_are_left_out(read_one):
    times = [*range(100), 50, *range(100, 200)]
    record = read_one("time (s),height (m)\n" + "".join(f"{t},{i}\n" for i, t in enumerate(times)))
    assert record.time_s.size == 200
    assert record.notes == ("1 sample with a clock that runs backwards left out.",)


def test_a_map_is_proposed_with_its_questions_and_a_corrected_one_is_used():
    raw = RawLog.of("a.csv", b"time,alt,vbat\n" + b"".join(b"%d,%d,12\n" % (100 * i, i) for i in range(9)))
    proposed = propose_map(raw)
    assert proposed is not None
    assert [(one.channel, one.unit) for one in proposed.column] == [
        ("time_s", "ms"),
        ("height_m", "m"),
        ("voltage_V", "V"),
    ]
    assert proposed.questions == (
        "'time' has no unit; ms is assumed, which makes a sample every 0.1 s.",
        "'alt' has no unit; m is assumed.",
        "'vbat' has no unit; V is assumed.",
    )
    [open_record] = read_log(raw)
    assert set(proposed.questions) <= set(open_record.notes)
    feet = tuple(
        one.model_copy(update={"unit": "ft"}) if one.channel == "height_m" else one for one in proposed.column
    )
    [record] = read_log(raw, [proposed.model_copy(update={"column": feet, "confirmed": True})])
    assert record.channels["height_m"][-1] == pytest.approx(8 * 0.3048)
    assert record.notes == ()


def test_a_map_for_another_header_is_not_used(read_one):
    other = ChannelMap(
        delimiter="comma",
        header=("time", "h"),
        columns=2,
        column=(
            MappedColumn(place=1, channel="time_s", unit="min"),
            MappedColumn(place=2, channel="height_m", unit="km"),
        ),
    )
    [record] = read_log(RawLog.of("a.csv", METRIC.encode()), [other])
    assert record.channels["height_m"].tolist() == read_one(METRIC).channels["height_m"].tolist()


def test_numbers_without_a_header_need_a_map():
    raw = RawLog.of("a.csv", b"".join(b"%d,%d\n" % (i, i) for i in range(9)))
    with pytest.raises(InputError, match="words over its columns, or a channel map"):
        read_log(raw)
    bare = ChannelMap(
        delimiter="comma",
        columns=2,
        column=(
            MappedColumn(place=1, channel="time_s", unit="s"),
            MappedColumn(place=2, channel="height_m", unit="ft"),
        ),
    )
    [record] = read_log(raw, [bare])
    assert record.channels["height_m"][1] == pytest.approx(0.3048)


def test_the_better_of_two_columns_is_taken_and_the_other_one_named():
    raw = RawLog.of("a.csv", b"time (s),alt,height (m)\n" + b"".join(b"%d,7,%d\n" % (i, i) for i in range(9)))
    proposed = propose_map(raw)
    assert proposed is not None
    assert proposed.column[1].header == "height (m)"
    assert "height_m: 'height (m)' is taken, alt would fit as well." in proposed.questions


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_encodings(read_one, encoding):
    text = "Zeit [s];Höhe [m];Temp [°C]\n" + "".join(f"{i};{i},5;20\n" for i in range(6))
    record = read_one(text.encode(encoding))
    assert record.channels["height_m"][-1] == 5.5
    assert record.channels["temperature_K"][0] == pytest.approx(293.15)
    assert bool(record.notes) == (encoding == "cp1252")


@pytest.mark.parametrize("end", ["\r\n", "\r", "\n"])
def test_line_ends(read_one, end):
    assert read_one(METRIC.replace("\n", end)).time_s.size == 5


def test_quoted_cells_with_a_decimal_comma(read_one):
    record = read_one('time (s),"height (m)"\n' + "".join(f'"{i},5","{i},25"\n' for i in range(6)))
    assert record.time_s.tolist() == [0, 1, 2, 3, 4, 5]
    assert record.channels["height_m"].tolist() == [i + 0.25 for i in range(6)]


def test_the_quick_way_and_the_careful_way_agree(read_one):
    rows = [f"{i / 10:.1f},{i * 0.37:.2f},{12 - i * 0.001:.3f}" for i in range(300)]
    quick = read_one("time (s),height (m),volts (V)\n" + "\n".join(rows))
    careful = read_one(
        "time (s),height (m),volts (V)\n"
        + "\n".join(f'"{row.split(",")[0]}",' + row.partition(",")[2] for row in rows)
    )
    assert quick.time_s.tolist() == careful.time_s.tolist()
    for name in ("height_m", "voltage_V"):
        assert quick.channels[name].tolist() == careful.channels[name].tolist()
