"""Public recordings for the tests of flights."""

from collections.abc import Callable
from pathlib import Path

import pytest

from glidewright.domain.flight_record import FlightRecord
from glidewright.domain.raw_log import RawLog
from glidewright.logs.read_log import read_log


@pytest.fixture
def recorded() -> Callable[[str], FlightRecord]:
    """The record of a public recording by its name."""

    def read(name: str) -> FlightRecord:
        path = Path(__file__).parent / "recordings" / name
        [record] = read_log(RawLog.of(name, path.read_bytes()))
        return record

    return read
