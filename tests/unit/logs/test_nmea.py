"""NMEA sentences: positions, heights, speeds, dates, checksums."""

import numpy as np
import pytest

from glidewright.base.errors import InputError
from glidewright.domain.raw_log import RawLog
from glidewright.logs.read_log import read_log

# the two sentences that public summaries of NMEA 0183 show, with their checksums
GGA = "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47"
RMC = "$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A"


def sentence(body: str) -> str:
    check = 0
    for sign in body:
        check ^= ord(sign)
    return f"${body}*{check:02X}"


def gga(time: str, height: float, quality: int = 1) -> str:
    return sentence(f"GNGGA,{time},4807.038,S,01131.000,W,{quality},08,0.9,{height:.1f},M,46.9,M,,")


def rmc(time: str, date: str, knots: float = 10.0) -> str:
    return sentence(f"GNRMC,{time},A,4807.038,S,01131.000,W,{knots},090.0,{date},,,A")


def read(*lines: str):
    return read_log(RawLog.of("a.nmea", "\r\n".join(lines).encode()))


def test_the_published_pair_of_sentences():
    later = [gga(f"12352{i}.00", 545.4 + i) for i in range(5)]
    [record] = read(RMC, GGA, *later)
    own = record.channels
    assert np.degrees(own["latitude_rad"][0]) == pytest.approx(48 + 7.038 / 60)
    assert np.degrees(own["longitude_rad"][0]) == pytest.approx(11 + 31.0 / 60)
    assert own["gnss_height_m"][0] == 545.4
    assert own["ground_speed_m_s"][0] == pytest.approx(22.4 * 0.514444, rel=1e-5)
    assert np.degrees(own["course_rad"][0]) == pytest.approx(84.4)
    assert record.start_utc is not None
    assert record.start_utc.isoformat() == "1994-03-23T12:35:19+00:00"
    assert record.time_s.tolist() == [0, 1, 2, 3, 4, 5]
    assert record.height_from == "gnss_height_m"
    assert record.notes[-1].endswith("too coarse for launch heights and sink.")


def test_south_and_west_are_negative():
    [record] = read(*[gga(f"12000{i}", 100) for i in range(6)])
    assert record.channels["latitude_rad"][0] < 0.0
    assert record.channels["longitude_rad"][0] < 0.0
    assert record.start_utc is None


def test_a_wrong_checksum_is_left_out_and_said():
    lines = [gga(f"12000{i}", 100 + i) for i in range(7)]
    lines[2] = lines[2].replace("102.0", "902.0")
    [record] = read(*lines)
    assert record.channels["gnss_height_m"].tolist() == [100, 101, 103, 104, 105, 106]
    assert "1 sentence with a wrong checksum left out." in record.notes


def test_both_sentences_of_one_time_are_one_sample():
    lines = [line for i in range(6) for line in (rmc(f"12000{i}.20", "010624"), gga(f"12000{i}.20", 100 + i))]
    [record] = read(*lines)
    assert record.time_s.size == 6
    assert np.all(np.isfinite(record.channels["ground_speed_m_s"] + record.channels["gnss_height_m"]))


def test_midnight_and_the_date_of_a_late_sentence():
    times = ["235958", "235959", "000000", "000001", "000002"]
    lines = [gga(time, 100) for time in times] + [rmc("000003", "020624")]
    [record] = read(*lines)
    assert record.start_utc is not None
    assert record.start_utc.isoformat() == "2024-06-01T23:59:58+00:00"
    assert record.duration_s == 5.0


def test_no_position_yet_has_no_values():
    [record] = read(
        *[gga(f"12000{i}", 100, quality=0) for i in range(3)], *[gga(f"12001{i}", 7) for i in range(6)]
    )
    assert np.isnan(record.channels["gnss_height_m"][:3]).all()


def test_sentences_without_a_time_are_refused_in_one_sentence():
    with pytest.raises(InputError, match="GGA or RMC sentences with a time"):
        read("$GPGGA,,,,,,0,,,,,,,,*66")
