"""Many logs at once: in order, each for itself, the same in one process and in several."""

import pytest

from glidewright.domain.raw_log import RawLog
from glidewright.logs.season import FEWEST_FOR_PROCESSES, read_season


def flight(top_m: int) -> RawLog:
    rows = [(i / 2, min(max(i - 60, 0), 60) / 60 * top_m - max(i - 130, 0) * 0.2) for i in range(300)]
    text = "time (s),height (m)\n" + "".join(f"{t},{max(h, 0):.2f}\n" for t, h in rows)
    return RawLog.of(f"{top_m}.csv", text.encode())


def test_one_bad_log_keeps_no_other_from_being_read():
    good, bad = flight(100), RawLog.of("bad.csv", b"no log\n")
    outcomes = read_season([good, bad, good])
    assert [len(one.readings) for one in outcomes] == [1, 0, 1]
    assert outcomes[1].problems[0].message.startswith("must be a flight log")
    assert outcomes[0].readings[0].trace is None
    assert outcomes[0].source_sha256 == good.sha256


def test_processes_find_what_one_process_finds():
    raws = [flight(60 + number) for number in range(FEWEST_FOR_PROCESSES)]
    kelvin = [280.0 + number for number in range(len(raws))]
    several = read_season(raws, temperatures_K=kelvin, workers=2)
    one = read_season(raws, temperatures_K=kelvin, workers=1)
    assert several == one
    heights = [outcome.readings[0].launches[0].counted_height.value for outcome in several]
    assert heights == pytest.approx([60 + number for number in range(len(raws))], abs=1.5)


def test_temperatures_belong_to_logs():
    with pytest.raises(ValueError, match="one temperature for each log"):
        read_season([flight(100)], temperatures_K=[280.0, 290.0])
