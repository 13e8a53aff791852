"""Where the table of a delimited log stands: noise before it, header, units, delimiter, decimal sign."""

import csv
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from glidewright.base.errors import InputError, Problem
from glidewright.domain.channel_map import DELIMITERS, Delimiter

from .columns import has_no_value, is_clock, is_number
from .recognise import is_unit

_HEAD_LINES = 400  # a table that begins later is none
_HEAD_SIGNS = 400_000
MOST_COLUMNS = 1000
_SAMPLE_ROWS = 50  # rows that the decimal sign and the kinds of the columns are judged by
_COMMA_NUMBER = re.compile(r"[+-]?\d+,\d+")
_POINT_NUMBER = re.compile(r"[+-]?\d*\.\d+")
Row = list[str]


@dataclass(frozen=True)
class TableHead:
    """What the begin of a text says of its table; first_line: of the data, from 0."""

    delimiter: Delimiter
    decimal: str
    header: tuple[str, ...]
    units: tuple[str, ...]
    columns: int
    first_line: int
    sample: tuple[tuple[str, ...], ...]


def table_head(text: str, name: str) -> TableHead:
    """The table of a text; InputError when there is none."""
    lines = list(islice(lines_of(text[:_HEAD_SIGNS]), _HEAD_LINES))
    best: tuple[int, int, Delimiter, int] | None = None
    for word, sign in DELIMITERS.items():
        first, length = _data_run(split(line, sign) for line in lines)
        columns = len(split(lines[first], sign)) if length else 0
        if columns >= 2 and (best is None or (length, columns) > best[:2]):
            best = (length, columns, word, first)
    if best is None:
        raise _no_table(lines, name)
    _, columns, delimiter, first = best
    if columns > MOST_COLUMNS:
        raise InputError(
            Problem(
                name, f"must have at most {MOST_COLUMNS} columns; it has {columns}; export fewer channels"
            )
        )
    rows = [split(line, DELIMITERS[delimiter]) for line in lines[: first + 2 * _SAMPLE_ROWS]]
    header, units = _headings(rows[:first], columns)
    sample = tuple(tuple(row) for row in rows[first:] if len(row) == columns)[:_SAMPLE_ROWS]
    return TableHead(delimiter, _decimal(sample), header, units, columns, first, sample)


def has_table(text: str) -> bool:
    """Whether the begin of a text has a table."""
    try:
        table_head(text, "")
    except InputError:
        return False
    return True


def lines_of(text: str) -> Iterator[str]:
    """The lines without their ends, one after the other; any of the three usual line ends."""
    start = 0
    for found in re.finditer(r"\r\n|\n|\r", text):
        yield text[start : found.start()]
        start = found.end()
    if start < len(text):
        yield text[start:]


def split(line: str, sign: str) -> Row:
    """The cells of one line; quotes are taken off, a sign between quotes divides nothing."""
    if '"' not in line:
        return line.split(sign)
    try:
        return next(csv.reader([line], delimiter=sign), [])
    except csv.Error:
        return line.split(sign)


def is_data(row: Sequence[str]) -> bool:
    """Whether a row is one of data: mostly numbers, clocks and empty cells, one with a value at least."""
    if len(row) < 2:
        return False
    values = sum(is_number(cell) or is_clock(cell) for cell in row)
    empty = sum(has_no_value(cell) for cell in row)
    return values >= 1 and 3 * (values + empty) >= 2 * len(row)


def _data_run(rows: Iterable[Row]) -> tuple[int, int]:
    """First row and length of the longest run of data rows of one width, or of the first that is long."""
    best = (0, 0)
    first, length, width = 0, 0, 0
    for number, row in enumerate(rows):
        if is_data(row):
            if len(row) != width:
                first, length, width = number, 0, len(row)
            length += 1
            if length > best[1]:
                best = (first, length)
            if length >= _SAMPLE_ROWS:
                break
    return best


def _headings(rows: Sequence[Row], columns: int) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The header and the row of units that stand right above the data, as far as there are any."""
    near = [[cell.strip() for cell in row] for row in rows if any(cell.strip() for cell in row)][-3:]
    fitting = [row[:columns] + [""] * (columns - len(row)) for row in near if abs(len(row) - columns) <= 1]
    units: tuple[str, ...] = ()
    if fitting and all(is_unit(cell) or not cell.strip("()[]{}- ") for cell in fitting[-1]):
        words = [cell for cell in fitting[-1] if cell.strip("()[]{}- ")]
        if len(fitting) > 1 and words:
            units = tuple(fitting.pop())
    has_words = fitting and 2 * sum(not is_number(cell) for cell in fitting[-1]) > columns
    return (tuple(fitting[-1]) if has_words else ()), units


def _decimal(sample: Sequence[Sequence[str]]) -> str:
    """``comma`` when numbers are written 1,5; with commas between the columns those must be quoted."""
    cells = [cell.strip() for row in sample for cell in row]
    commas = sum(_COMMA_NUMBER.fullmatch(cell) is not None for cell in cells)
    points = sum(_POINT_NUMBER.fullmatch(cell) is not None for cell in cells)
    return "comma" if commas > points else "point"


def _no_table(lines: Sequence[str], name: str) -> InputError:
    filled = [line for line in lines if line.strip()]
    numbers = [line for line in filled if is_number(line) or is_clock(line)]
    if numbers and 2 * len(numbers) >= len(filled) - 2:
        return InputError(
            Problem(name, "must have a time and a channel; it has one column only; export more channels")
        )
    return InputError(
        Problem(
            name,
            "must be a flight log: a table with commas, semicolons or tabs between its columns, IGC, or NMEA "
            "sentences; nothing of that is found; export it as one of these",
        )
    )
