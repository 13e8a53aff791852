"""From the words over a column to the channel that it holds, and to its unit.

The words are those of the trade, in English and German. What is recognised is a proposal: the user looks
at the map once.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from glidewright.domain.log_units import TIME, units_of

_BRACKETS = re.compile(r"[(\[{<]\s*([^)\]}>]*?)\s*[)\]}>]")
_WORD = re.compile(r"[A-Za-zÄÖÜäöüßµμ]+")
_CAMEL = re.compile(r"(?<=[a-zäöüß])(?=[A-ZÄÖÜ])|(?<=[A-Z])(?=[A-Z][a-z])")

# how logs write a unit, in small letters, and the word of ours for it; m/s before m
_UNIT_WORDS: Mapping[str, str] = {
    "m/s": "m/s", "mps": "m/s", "ms-1": "m/s", "ms^-1": "m/s", "km/h": "km/h", "kmh": "km/h", "kph": "km/h",
    "kmph": "km/h", "kt": "kn", "kts": "kn", "kn": "kn", "knots": "kn", "mph": "mph", "ft/s": "ft/s",
    "fps": "ft/s", "ft/min": "ft/min", "fpm": "ft/min", "cm/s": "cm/s",
    "m": "m", "meter": "m", "meters": "m", "metre": "m", "metres": "m", "ft": "ft", "feet": "ft",
    "foot": "ft",
    "cm": "cm", "dm": "dm", "km": "km",
    "pa": "Pa", "hpa": "hPa", "mbar": "hPa", "mb": "hPa", "kpa": "kPa", "bar": "bar", "inhg": "inHg",
    "mmhg": "mmHg", "psi": "psi",
    "v": "V", "volt": "V", "volts": "V", "mv": "mV",
    "a": "A", "amp": "A", "amps": "A", "ampere": "A", "ma": "mA",
    "mah": "mAh", "ah": "Ah", "as": "As",
    "rpm": "rpm", "1/min": "rpm", "u/min": "rpm", "min-1": "rpm", "hz": "Hz", "1/s": "Hz", "rad/s": "rad/s",
    "%": "%", "percent": "%", "pct": "%", "us": "µs", "µs": "µs", "μs": "µs",
    "°c": "°C", "degc": "°C", "c": "°C", "celsius": "°C", "°f": "°F", "degf": "°F", "f": "°F", "k": "K",
    "°": "°", "deg": "°", "degree": "°", "degrees": "°", "rad": "rad",
    "s": "s", "sec": "s", "secs": "s", "second": "s", "seconds": "s", "sek": "s", "sekunden": "s",
    "ms": "ms", "msec": "ms", "millis": "ms", "milliseconds": "ms", "min": "min", "minutes": "min",
}  # fmt: skip

_HEIGHT = {"alt", "altitude", "height", "höhe", "hoehe", "elevation", "elev", "relalt", "agl", "h"}
_GNSS = {"gps", "gnss", "glonass", "galileo", "satellite"}
_SPEED = {"speed", "spd", "velocity", "geschwindigkeit", "geschw"}
_BARO = {"baro", "barometric", "barometer", "barometrisch", "barometrische"}


@dataclass(frozen=True)
class _Rule:
    """A channel, the words one of each set of which must stand there, and those that must not."""

    channel: str
    needed: tuple[set[str], ...]
    barred: frozenset[str] = frozenset()


_OTHER_PARTS = frozenset({"rx", "receiver", "bec", "empfänger", "cell", "zelle", "tx", "servo", "signal"})
_ENGINE = frozenset({"esc", "motor", "engine", "battery", "batt", "pack", "akku", "regler", "fet", "cpu"})
_RULES: tuple[_Rule, ...] = (
    _Rule("latitude_rad", ({"lat", "latitude", "breite", "breitengrad"},)),
    _Rule("longitude_rad", ({"lon", "long", "lng", "longitude", "länge", "laenge", "längengrad"},)),
    _Rule("gnss_height_m", (_GNSS, _HEIGHT)),
    _Rule("ground_speed_m_s", (_GNSS | {"ground", "grund"}, _SPEED), frozenset({"vertical"})),
    _Rule("ground_speed_m_s", ({"gs", "gspd", "gndspd", "sog", "groundspeed"},)),
    _Rule("vertical_speed_m_s", ({"vertical", "climb", "vert"}, _SPEED | {"rate"})),
    _Rule(
        "vertical_speed_m_s",
        ({"vario", "vspd", "vspeed", "vs", "climb", "climbrate", "roc", "steigen", "variometer"},),
    ),
    _Rule("airspeed_m_s", ({"airspeed", "ias", "tas", "aspd", "pitot", "asi", "fahrt"},)),
    _Rule("airspeed_m_s", ({"air"}, _SPEED)),
    _Rule("charge_As", ({"mah", "consumption", "consumed", "consum", "charge", "verbrauch", "kapazität"},)),
    _Rule("charge_As", ({"capacity", "cap", "used"}, {"used", "battery", "batt", "capacity", "cap"})),
    _Rule("revs_per_s", ({"rpm", "revs", "drehzahl", "rev"},)),
    _Rule("revs_per_s", ({"motor", "engine", "prop", "propeller"}, _SPEED)),
    _Rule(
        "temperature_K",
        ({"temp", "temperature", "temperatur", "oat", "tmp"},),
        _ENGINE | _OTHER_PARTS,
    ),
    _Rule("throttle", ({"throttle", "thr", "thro", "gas", "motorgas"},)),
    _Rule("engine_noise", ({"enl", "noise"},)),
    _Rule("course_rad", ({"course", "cog", "track", "kurs"},)),
    _Rule(
        "pressure_Pa",
        ({"pressure", "press", "druck", "luftdruck", "qfe"},),
        frozenset({"dynamic", "diff", "differential", "pitot", "tyre"}),
    ),
    _Rule("height_m", (_HEIGHT | _BARO,), frozenset({"max", "min", "maximum", "minimum"})),
    _Rule(
        "current_A",
        ({"current", "curr", "amp", "amps", "ampere", "strom", "i", "a", "ibat"},),
        _OTHER_PARTS,
    ),
    _Rule(
        "voltage_V",
        (
            {
                "voltage",
                "volt",
                "volts",
                "spannung",
                "vbat",
                "vbatt",
                "vfas",
                "u",
                "v",
                "batt",
                "battery",
                "akku",
            },
        ),
        _OTHER_PARTS | {"temp", "temperature", "percent", "capacity", "current"},
    ),
)
_TIME_WORDS = {
    "time", "t", "timestamp", "timestamps", "zeit", "uhrzeit", "clock", "seconds", "second", "secs", "sec",
    "elapsed", "millis", "milliseconds", "msec", "datetime", "utc", "zeitstempel",
}  # fmt: skip
_UNIT_BY_WORD: Mapping[str, str] = {"rpm": "rpm", "mah": "mAh", "millis": "ms", "milliseconds": "ms"}


@dataclass(frozen=True)
class Heading:
    """What the words over a column say: the channel, or nothing, and the unit, or nothing."""

    channel: str
    unit: str


def heading(words: str, unit_row: str = "") -> Heading:
    """Channel and unit of a column from its header and, where the log has one, its row of units.

    >>> heading("Altitude (ft)")
    Heading(channel='height_m', unit='ft')
    >>> heading("Drehzahl [1/min]"), heading("Vario m/s").unit
    (Heading(channel='revs_per_s', unit='rpm'), 'm/s')
    """
    bracketed = _BRACKETS.findall(words)
    bare = _BRACKETS.sub(" ", words)
    tokens = [word.lower() for word in _WORD.findall(_CAMEL.sub(" ", bare))]
    channel = _channel_of(tokens)
    if not channel:  # "GPSAlt" and "RPM1" fall apart otherwise than "relAlt" and "mAh"
        tokens = [word.lower() for word in _WORD.findall(bare)]
        channel = _channel_of(tokens)
    candidates = [unit_row, *bracketed, bare.strip().split(" ")[-1] if bare.strip() else ""]
    candidates += re.split(r"[_/.,\s]", bare.strip())[-1:]
    if channel:
        unit = next((found for word in candidates if (found := unit_for(channel, word))), "")
        if not unit:
            unit = next((_UNIT_BY_WORD[word] for word in tokens if word in _UNIT_BY_WORD), "")
            unit = unit if unit in _words_of(channel) else ""
        return Heading(channel, unit)
    return Heading("", "")


def _channel_of(tokens: list[str]) -> str:
    known = set(tokens)
    if known & _TIME_WORDS and not known & {"flight", "motor", "run"}:
        return TIME
    for rule in _RULES:
        if all(known & needed for needed in rule.needed) and not known & rule.barred:
            return rule.channel
    return ""


def unit_for(channel: str, word: str) -> str:
    """The unit word of ours for how a log writes it, when the channel can have that unit.

    >>> unit_for("height_m", "Feet"), unit_for("height_m", "V")
    ('ft', '')
    """
    found = _UNIT_WORDS.get(word.strip().strip("()[]{}").strip().lower().replace("μ", "µ"), "")
    return found if found in _words_of(channel) else ""


def _words_of(channel: str) -> set[str]:
    return {"s", "ms", "µs", "min"} if channel == TIME else set(units_of(channel))


def is_unit(word: str) -> bool:
    """Whether a cell is nothing but a unit, as in a row of units below the header."""
    bare = word.strip().strip("()[]{}").strip().lower().replace("μ", "µ")
    return bare in _UNIT_WORDS
