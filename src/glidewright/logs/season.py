"""Many logs read again, shared out over the cores: a season after the reader has learnt something new."""

import multiprocessing
import os
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial

from glidewright.base.errors import InputError, Problem
from glidewright.domain.channel_map import ChannelMap
from glidewright.domain.class_limits import HeightRule
from glidewright.domain.flight_reading import FlightReading
from glidewright.domain.raw_log import RawLog

from .read_flight import read_flight
from .read_log import read_log

FEWEST_FOR_PROCESSES = 24
"""Fewer logs are read one after the other: a process takes half a second to begin."""


@dataclass(frozen=True)
class LogOutcome:
    """What came of one log: the readings of its flights without their curves, or why there is none."""

    source_name: str
    source_sha256: str
    readings: tuple[FlightReading, ...]
    problems: tuple[Problem, ...] = ()


def read_season(
    raws: Sequence[RawLog],
    maps: Sequence[ChannelMap] = (),
    rule: HeightRule | None = None,
    *,
    temperatures_K: Sequence[float | None] = (),
    workers: int | None = None,
) -> list[LogOutcome]:
    """The outcome of every log, in order; a log that cannot be read does not keep the others from it.

    maps, rule: as ``read_log`` and ``read_flight`` take them; temperatures_K: of the air, one for each log or
    none at all; workers: processes, the cores of the machine unless given.
    """
    temperatures = list(temperatures_K) or [None] * len(raws)
    if len(temperatures) != len(raws):
        raise ValueError("there must be one temperature for each log, or none at all")
    read = partial(_outcome, maps=tuple(maps), rule=rule)
    count = workers or os.cpu_count() or 1
    if count == 1 or len(raws) < FEWEST_FOR_PROCESSES:
        return [read(raw, kelvin) for raw, kelvin in zip(raws, temperatures, strict=True)]
    with ProcessPoolExecutor(count, mp_context=multiprocessing.get_context("spawn")) as pool:
        return list(pool.map(read, raws, temperatures, chunksize=8))


def _outcome(
    raw: RawLog, temperature_K: float | None, maps: Sequence[ChannelMap], rule: HeightRule | None
) -> LogOutcome:
    try:
        readings = [read_flight(record, rule, temperature_K=temperature_K) for record in read_log(raw, maps)]
    except InputError as refused:
        return LogOutcome(raw.name, raw.sha256, (), refused.problems)
    return LogOutcome(raw.name, raw.sha256, tuple(one.model_copy(update={"trace": None}) for one in readings))
