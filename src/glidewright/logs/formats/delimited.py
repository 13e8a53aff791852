"""Text with commas, semicolons or tabs between its columns, read by a channel map."""

import re
from collections.abc import Sequence
from datetime import UTC, date, datetime
from itertools import islice

import numpy as np

from glidewright.domain.channel_map import DELIMITERS, ChannelMap, MappedColumn
from glidewright.domain.flight_record import CHANNELS, Samples
from glidewright.domain.log_units import TIME, units_of
from glidewright.logs.clock import counted
from glidewright.logs.columns import clocks, day_of, has_day, has_zone_and_day, numbers, short_clocks
from glidewright.logs.log_format import LogFormat, Recording
from glidewright.logs.map_proposal import proposed_map
from glidewright.logs.table_text import TableHead, has_table, is_data, lines_of, split, table_head

_CHUNK = 5_000  # rows that are turned into numbers at a time, so that a large log needs little memory
_TO_SECONDS = {"s": 1.0, "ms": 1e-3, "µs": 1e-6, "min": 60.0, "unix s": 1.0, "unix ms": 1e-3}
_DATE_WORD = re.compile(r"\b(date|datum|day|tag)\b", re.IGNORECASE)
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def _read(name: str, text: str, maps: Sequence[ChannelMap]) -> list[Recording]:
    head = table_head(text, name)
    own = next((one for one in maps if _fits(one, head)), None) or proposed_map(head, name)
    notes = [] if own.confirmed else list(own.questions)
    columns, first_time, left_out = _columns(text, head, own)
    if left_out:
        notes.append(f"{counted(left_out, 'incomplete row')} left out.")
    clock_s, start, is_time_of_day = _clock(columns.pop(TIME), first_time, own)
    day = _day(head, own)
    return [Recording(clock_s, columns, start, day, is_time_of_day=is_time_of_day, notes=tuple(notes))]


def _day(head: TableHead, own: ChannelMap) -> date | None:
    """The day that the first row states: with its time, or in a column that is called date."""
    place_of_time = next(one.place for one in own.column if one.channel == TIME) - 1
    named = [place for place, words in enumerate(head.header) if _DATE_WORD.search(words)]
    days = (day_of(head.sample[0][place]) for place in (place_of_time, *named))
    return next((day for day in days if day is not None), None)


def _fits(own: ChannelMap, head: TableHead) -> bool:
    """Whether a map was made for logs with this header."""
    return (own.delimiter, own.columns, own.header) == (head.delimiter, head.columns, head.header)


def _columns(text: str, head: TableHead, channel_map: ChannelMap) -> tuple[dict[str, Samples], str, int]:
    """Every mapped column in SI, its clock as written; a cell of the clock; how many rows are not whole."""
    parts: dict[str, list[Samples]] = {one.channel: [] for one in channel_map.column}
    place_of_time = next(one.place for one in channel_map.column if one.channel == TIME) - 1
    first_time, left_out = "", 0
    sign = DELIMITERS[head.delimiter]
    lines = islice(lines_of(text), head.first_line, None)
    while chunk := list(islice(lines, _CHUNK)):
        quick = _quick(chunk, sign, head, channel_map)
        if quick is not None:
            for channel, samples in quick.items():
                parts[channel].append(samples)
            continue
        rows = [split(line, sign) for line in chunk]
        whole = [row for row in rows if _is_whole(row, head)]
        left_out += sum(bool(line.strip()) for line in chunk) - len(whole)
        if not whole:
            continue
        columns = list(zip(*(row[: head.columns] for row in whole), strict=True))
        first_time = first_time or columns[place_of_time][0]
        for one in channel_map.column:
            parts[one.channel].append(_in_si(columns[one.place - 1], one, channel_map.decimal))
    whole_columns = {channel: np.concatenate(own or [np.empty(0)]) for channel, own in parts.items()}
    return whole_columns, first_time, left_out


def _quick(
    lines: Sequence[str], sign: str, head: TableHead, channel_map: ChannelMap
) -> dict[str, Samples] | None:
    """Lines that hold nothing but numbers in whole rows, by numpy's own reader; None for all others."""
    is_plain = all(one.channel != TIME or one.unit in _TO_SECONDS for one in channel_map.column)
    if not is_plain or any(line.count(sign) != head.columns - 1 for line in lines):
        return None
    if channel_map.decimal == "comma":
        lines = [line.replace(",", ".") for line in lines]
    places = [one.place - 1 for one in channel_map.column]
    twice = sign + sign
    filled = [
        line.replace(twice, f"{sign}nan{sign}").replace(twice, f"{sign}nan{sign}") if twice in line else line
        for line in lines
    ]
    try:
        table = np.loadtxt(filled, delimiter=sign, comments=None, usecols=places, ndmin=2)
    except ValueError:
        return None
    table[~np.isfinite(table)] = np.nan
    return {one.channel: _converted(table[:, number], one) for number, one in enumerate(channel_map.column)}


def _is_whole(row: Sequence[str], head: TableHead) -> bool:
    """Whether a row has a cell for every column and is not the header once more."""
    extra = len(row) - head.columns
    if extra != 0 and not (extra == 1 and not row[-1].strip()):
        return False
    return not head.header or row[0].strip() != head.header[0] or is_data(row)


def _in_si(cells: Sequence[str], one: MappedColumn, decimal: str) -> Samples:
    if one.channel == TIME and one.unit not in _TO_SECONDS:
        return clocks(cells) if one.unit == "h:m:s" else short_clocks(cells)
    return _converted(numbers(cells, decimal), one)


def _converted(values: Samples, one: MappedColumn) -> Samples:
    """Numbers as the log writes them in SI."""
    factor, offset = (_TO_SECONDS[one.unit], 0.0) if one.channel == TIME else units_of(one.channel)[one.unit]
    with np.errstate(over="ignore"):  # what no instrument can show is taken out later
        return values * factor + offset


def _clock(clock_s: Samples, first: str, own: ChannelMap) -> tuple[Samples, datetime | None, bool]:
    """The clock, the time at its zero, and whether it starts again at midnight."""
    unit = next(one.unit for one in own.column if one.channel == TIME)
    if unit in ("unix s", "unix ms"):
        return clock_s, _EPOCH, False
    if unit == "h:m:s":
        return clock_s, _EPOCH if has_zone_and_day(first) else None, not has_day(first)
    return clock_s, None, False


def _propose(name: str, text: str) -> ChannelMap:
    return proposed_map(table_head(text, name), name)


FORMAT = LogFormat(
    "delimited",
    "Delimited text",
    90,
    has_table,
    _read,
    propose=_propose,
    endings=(".csv", ".tsv", ".txt"),
    known_by="rows of as many cells between commas, semicolons or tabs, most of them numbers",
    brings=tuple(CHANNELS),
)
