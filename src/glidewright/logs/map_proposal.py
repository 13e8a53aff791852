"""The channel map that the header and the first rows of a log suggest."""

from collections.abc import Callable, Mapping, Sequence

import numpy as np

from glidewright.base.errors import InputError, Problem
from glidewright.domain.channel_map import ChannelMap, MappedColumn
from glidewright.domain.flight_record import Samples
from glidewright.domain.log_units import TIME, units_of

from .columns import CLOCK, has_no_value, is_clock, numbers
from .recognise import heading
from .table_text import TableHead

_WORDS: Mapping[str, str] = {"height_m": "height", "airspeed_m_s": "airspeed", "time_s": "time"}
# above these a number without a unit is read in the second unit of the pair, a smaller one in the first
_Guess = Callable[[float], str]
_GUESSES: Mapping[str, _Guess] = {
    "pressure_Pa": lambda most: "Pa" if most > 20_000.0 else "hPa" if most > 200.0 else "kPa",
    "voltage_V": lambda most: "mV" if most > 200.0 else "V",
    "current_A": lambda most: "mA" if most > 500.0 else "A",
    "charge_As": lambda _: "mAh",
    "throttle": lambda most: "µs" if most > 500.0 else "%" if most > 1.5 else "1",
    "engine_noise": lambda most: "‰" if most > 1.0 else "1",
    "revs_per_s": lambda _: "rpm",
    "temperature_K": lambda most: "K" if most > 200.0 else "°C",
    "latitude_rad": lambda _: "°",
    "longitude_rad": lambda _: "°",
    "course_rad": lambda _: "°",
}
_PLAIN = frozenset({"latitude_rad", "longitude_rad", "course_rad", "revs_per_s", "charge_As", "engine_noise"})
_UNIX_s, _UNIX_ms = 1e9, 1e12  # the years 2001 to 33658 in seconds and the same in milliseconds
_COARSE_STEP, _COARSEST_STEP = 5.0, 20_000.0


def proposed_map(head: TableHead, name: str) -> ChannelMap:
    """The map of a table; InputError when it has no header, no time or no channel that is recognised."""
    if not head.header:
        raise InputError(
            Problem(
                name,
                "must have words over its columns, or a channel map; it has neither; "
                "state which column is which",
            )
        )
    units = head.units or ("",) * head.columns
    found = [heading(words, unit) for words, unit in zip(head.header, units, strict=True)]
    questions: list[str] = []
    time = _time_column(head, [one.channel == TIME for one in found], name, questions)
    columns = [time]
    for channel in dict.fromkeys(one.channel for one in found if one.channel not in ("", TIME)):
        places = [
            place for place, one in enumerate(found) if one.channel == channel and place + 1 != time.place
        ]
        places = [place for place in places if np.any(np.isfinite(_values(head, place)))] or places[:1]
        if not places:
            continue
        place = min(places, key=lambda place: (not found[place].unit, place))
        if len(places) > 1:
            others = ", ".join(head.header[other] for other in places if other != place)
            questions.append(f"{channel}: {head.header[place]!r} is taken, {others} would fit as well.")
        columns.append(_column(head, place, channel, found[place].unit, questions))
    if len(columns) < 2:
        words = ", ".join(word for word in head.header if word)[:120]
        raise InputError(
            Problem(
                name,
                "must have a column whose header says height, pressure, volts, amps or another channel; "
                f"it has {words}; state a channel map",
            )
        )
    return ChannelMap(
        delimiter=head.delimiter,
        decimal="comma" if head.decimal == "comma" else "point",
        header=head.header,
        columns=head.columns,
        column=tuple(columns),
        questions=tuple(questions),
    )


def _values(head: TableHead, place: int) -> Samples:
    return numbers([row[place] for row in head.sample], head.decimal)


def _column(head: TableHead, place: int, channel: str, unit: str, questions: list[str]) -> MappedColumn:
    words = head.header[place]
    because = "the header says so"
    if not unit:
        known = np.abs(_values(head, place))
        most = float(np.nanmax(known)) if np.any(np.isfinite(known)) else 0.0
        guess = _GUESSES.get(channel)
        unit = guess(most) if guess is not None else next(iter(units_of(channel)))
        because = "the header says the channel; no unit stands there"
        if channel not in _PLAIN:
            questions.append(f"{words!r} has no unit; {unit} is assumed.")
    return MappedColumn(place=place + 1, header=words, channel=channel, unit=unit, because=because)


def _time_column(head: TableHead, named: Sequence[bool], name: str, questions: list[str]) -> MappedColumn:
    """The column of the clock: one that the header names, else one with colons, else the first that rises."""
    cells = [[row[place] for row in head.sample] for place in range(head.columns)]
    has_clock = [_is_clocks(own) for own in cells]
    rises = [_rises(_values(head, place)) for place in range(head.columns)]
    by_header = [place for place, is_named in enumerate(named) if is_named]
    places = [place for place in by_header if has_clock[place] or rises[place]]
    because = "the header says so"
    if not places:
        places = [place for place, is_one in enumerate(has_clock) if is_one]
        because = "it holds times with colons"
    if not places and rises[0]:
        places = [0]
        because = "it is the first column, and its numbers rise"
        questions.append(f"No column is called time; {head.header[0]!r} is taken, its numbers rise.")
    if not places:
        raise InputError(
            Problem(
                name,
                "must have a column with a time that rises; none is found among "
                f"{', '.join(word for word in head.header if word)[:120]}; state a channel map",
            )
        )
    # of several the one with the finer clock: numbers before colons, as 12:30:05 often stands beside 45.1
    place = min(places, key=lambda one: (has_clock[one], one))
    named_as = heading(head.header[place], head.units[place] if head.units else "")
    unit = named_as.unit if named_as.channel == TIME else ""
    if has_clock[place]:
        is_long = any(CLOCK.fullmatch(cell.strip()) for cell in cells[place])
        unit = "h:m:s" if is_long else "m:s"
    else:
        unit = _time_unit(_values(head, place), unit, head.header[place], questions)
    return MappedColumn(place=place + 1, header=head.header[place], channel=TIME, unit=unit, because=because)


def _is_clocks(cells: Sequence[str]) -> bool:
    filled = [cell for cell in cells if not has_no_value(cell)]
    return bool(filled) and sum(map(is_clock, filled)) * 2 > len(filled)


def _rises(values: Samples) -> bool:
    known = values[np.isfinite(values)]
    if known.size < 2:
        return False
    steps = np.diff(known)
    return bool(known.size * 2 > values.size and np.mean(steps >= 0.0) > 0.8 and np.median(steps) >= 0.0)


def _time_unit(values: Samples, stated: str, words: str, questions: list[str]) -> str:
    """Unit of a clock in numbers; a begin of 1970 shows by the size, milliseconds by steps of many."""
    known = values[np.isfinite(values)]
    middle = float(np.median(known))
    if middle > _UNIX_ms / 10.0:
        return "unix ms"
    if middle > _UNIX_s and stated in ("", "s"):
        return "unix s"
    if stated:
        return stated
    steps = np.diff(known)
    rising = steps[steps > 0.0]
    step = float(np.median(rising)) if rising.size else 0.0
    unit = "s"
    if np.all(known == np.round(known)) and step >= _COARSE_STEP:
        unit = "ms" if step <= _COARSEST_STEP else "µs"
    questions.append(
        f"{words!r} has no unit; {unit} is assumed, which makes a sample every {_step(step, unit)}."
    )
    return unit


def _step(step: float, unit: str) -> str:
    return f"{step * {'s': 1.0, 'ms': 1e-3, 'µs': 1e-6}[unit]:.3g} s"
