"""The reference of what comes in kinds: measures of classes, and formats of flight logs."""

import importlib
import math

from glidewright.data import packaged
from glidewright.domain.flight_record import CHANNELS
from glidewright.domain.log_units import CLOCKS, TIME, units_of
from glidewright.domain.raw_log import LARGEST_LOG_bytes
from glidewright.logs import formats
from glidewright.logs.clock import FEWEST_SAMPLES
from glidewright.logs.finish import RANGES
from glidewright.logs.formats import FORMATS
from glidewright.logs.log_format import LogFormat
from glidewright.rules.measure import WORDS, Measure, NeverKnown
from glidewright.rules.measures import MEASURE_UNITS, MEASURES
from glidewright.store.class_files import read_class
from make_tables import suffixes, unit_of_name
from marked import table

_MEASURES = """# Measures

What a class file may limit ([files.md](../files.md), the table `[[limit]]`), one file each in
`src/glidewright/rules/measures/`. *Forecast* says how `check` answers before a flight, *log* whether `read`
holds every launch of a flight log against it. The last column names the shipped classes that limit it.

{table}"""
_FORMATS = """# Formats of flight logs

What `read` takes, one file each in `src/glidewright/logs/formats/`. They are asked in this order, from the
text itself and not from the name of the file. [flight_logs.md](../flight_logs.md) says what is made of a
record, and how far to trust it.

{table}
{each}

## Limits

A log is at most {size} MB, and is the log itself, not an archive of it. It needs a clock, {fewest} samples
and one channel at least. Text may be in UTF-8, in UTF-16 with its mark, or in Latin-1. What had to be
repaired or left out is said with every record.

## Channels

What a record may hold. A column of a text is read as one of these by the channel map; *accepts* are the units
that the map knows, and a value outside of the range is no value.

{channels}
## Clocks

How a column of a text may write the time.

{clocks}"""


def measures_page() -> str:
    """The whole page of the measures."""
    rows = [
        (f"`{name}`", one.title, _unit(one), one.shown, one.help, _forecast(one), _log(one), _classes(name))
        for name, one in MEASURES.items()
    ]
    head = ("Measure", "Title", "SI unit", "Shown in", "What it is", "Forecast", "Log", "In")
    return _MEASURES.format(table=table(head, rows))


def _unit(one: Measure) -> str:
    return "words" if one.unit == WORDS else "1" if one.unit == "1" else one.unit


def _forecast(one: Measure) -> str:
    if one.stated is not None:
        return "from the folder"
    if isinstance(one.predicted, NeverKnown):
        return f"no: {one.predicted.why}"
    return f"yes, from `{one.result}`" if one.result else "yes"


def _log(one: Measure) -> str:
    return "no" if one.logged is None else "yes"


def shipped_classes() -> list[str]:
    """Ids of the classes that come with the program."""
    names = (entry.name for entry in packaged("classes").iterdir())
    return sorted(name.removesuffix(".toml") for name in names if name.endswith(".toml"))


def _classes(measure: str) -> str:
    rules = {name: read_class(None, name, MEASURE_UNITS) for name in shipped_classes()}
    found = [name for name, rule in rules.items() if any(limit.measure == measure for limit in rule.limits)]
    return ", ".join(found)


def formats_page() -> str:
    """The whole page of the formats."""
    rows = [
        (f"`{one.name}`", one.title, ", ".join(one.endings), one.known_by, _brings(one)) for one in FORMATS
    ]
    head = ("Format", "Title", "Usual endings", "Known by", "Channels")
    return _FORMATS.format(
        table=table(head, rows),
        each="\n\n".join(map(_home, FORMATS)),
        size=LARGEST_LOG_bytes // 1024**2,
        fewest=FEWEST_SAMPLES,
        channels=_channels(),
        clocks=table(("Word", "Means"), [(f"`{word}`", means) for word, means in CLOCKS.items()]),
    )


def _brings(one: LogFormat) -> str:
    if set(one.brings) == set(CHANNELS):
        return "every channel, by the channel map"
    return ", ".join(f"`{name}`" for name in one.brings)


def _home(one: LogFormat) -> str:
    """What the file of the format says of itself."""
    module = importlib.import_module(f"{formats.__name__}.{one.name}")
    words = [" ".join(part.split()) for part in (module.__doc__ or "").split("\n\n")]
    return f"`{one.name}`: " + "\n\n".join(words)


def _channels() -> str:
    known = suffixes()
    rows = []
    for name, means in CHANNELS.items():
        low, high = RANGES[name]
        unit = unit_of_name(name, known)
        span = f"{_number(low)} to {_number(high)}"
        rows.append((f"`{name}`", unit, means, ", ".join(units_of(name)), span))
    rows.insert(0, (f"`{TIME}`", "s", "the clock", ", ".join(CLOCKS), ""))
    return table(("Channel", "SI unit", "Meaning", "Accepts", "Range, SI"), rows)


def _number(value: float) -> str:
    turns = value / math.pi
    if abs(value) < 10.0 and value and (2.0 * turns).is_integer():
        return f"{turns:g} π".replace("-1 π", "-π")
    return f"{value:g}"
