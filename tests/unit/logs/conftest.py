"""Logs of tests: short texts, and public recordings."""

from collections.abc import Callable
from pathlib import Path

import pytest

from glidewright.domain.flight_record import FlightRecord
from glidewright.domain.raw_log import RawLog
from glidewright.logs.read_log import read_log

RECORDINGS = Path(__file__).parents[2] / "flight" / "recordings"


@pytest.fixture
def read_one() -> Callable[[str | bytes], FlightRecord]:
    """Reads a text that holds one flight."""

    def read(text: str | bytes) -> FlightRecord:
        [record] = read_log(RawLog.of("a.csv", text.encode("utf-8") if isinstance(text, str) else text))
        return record

    return read


@pytest.fixture
def recording() -> Callable[[str], RawLog]:
    """A public recording by its name."""
    return lambda name: RawLog.of(name, (RECORDINGS / name).read_bytes())
