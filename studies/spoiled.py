"""Files spoiled as hands, disks and other programs spoil them: one function for each way.

``doors.py`` reads what comes out; ``faults.py`` does it at length, ``tests/e2e/test_faults.py`` briefly.
"""

import random
import re
from collections.abc import Callable

Spoil = Callable[[random.Random, bytes], bytes]

_VALUES = (
    b"nan", b"-nan", b"inf", b"-inf", b"1e400", b"-1e400", b"1e-400", b"0", b"-0.0", b"-1", b"true", b"false",
    b'""', b'"12"', b"'a\tb'", b'"\\u0000"', b'"\\u001b[2J"', b"[]", b"[[]]", b"{}", b"[1, 'a']", b"[nan]",
    b"{ value = [1] }", b"{ value = 1, grade = [] }", b"{ value = 1, grade = {} }", b"{ value = {} }",
    b"{ value = 1, low = 'a', high = inf }", b"{ value = 1, because = [[1]] }", b"{ grade = 'sure' }",
    b"2024-02-30", b"2024-05-31", b"07:32:00", b"1979-05-27T07:32:00-08:00", b"0x" + b"f" * 5000,
    b"9" * 400, b"9" * 5000, b"1_000", b"0o17", b"9223372036854775808", b"[" * 900 + b"]" * 900,
    b'"' + b"x" * 100_000 + b'"', b"[" + b"1," * 20_000 + b"]", b"3.0e308", b"5e-324", b"{ value = 5e-324 }",
)  # fmt: skip
_UNITS = (
    b"_mm",
    b"_m",
    b"_cm",
    b"_g",
    b"_kg",
    b"_deg",
    b"_rad",
    b"_mAh",
    b"_Ah",
    b"_V",
    b"_A",
    b"_ohm",
    b"_dm2",
)
_NUMBER = re.compile(rb"-?\d+\.?\d*")
_VALUE = re.compile(rb"^([\w-]+[ \t]*=[ \t]*)([^\n]*)$", re.MULTILINE)
_KEY = re.compile(rb"^([\w-]+)([ \t]*=)", re.MULTILINE)
_HEADER = re.compile(rb"^\[+[\w.-]+\]+", re.MULTILINE)


def _one(
    found: "re.Pattern[bytes]", draw: random.Random, data: bytes, new: Callable[["re.Match[bytes]"], bytes]
) -> bytes:
    """The data with one place of a pattern, drawn, written anew."""
    places = list(found.finditer(data))
    if not places:
        return data
    place = draw.choice(places)
    return data[: place.start()] + new(place) + data[place.end() :]


def flip_bytes(draw: random.Random, data: bytes) -> bytes:
    """Some bytes become others."""
    spoiled = bytearray(data)
    for _ in range(draw.randint(1, 8)):
        spoiled[draw.randrange(len(spoiled))] = draw.randrange(256)
    return bytes(spoiled)


def cut(draw: random.Random, data: bytes) -> bytes:
    """The file ends early."""
    return data[: draw.randrange(len(data))]


def zero_tail(draw: random.Random, data: bytes) -> bytes:
    """The end is NUL bytes, as after a power failure on some file systems."""
    keep = draw.randrange(len(data))
    return data[:keep] + bytes(len(data) - keep)


def double_lines(draw: random.Random, data: bytes) -> bytes:
    """Lines stand twice, or change places."""
    lines = data.splitlines(keepends=True)
    first = draw.randrange(len(lines))
    last = first + draw.randint(1, 25)
    if draw.random() < 0.5:
        return b"".join(lines[:last] + lines[first:])
    draw.shuffle(block := lines[first:last])
    return b"".join(lines[:first] + block + lines[last:])


def drop_lines(draw: random.Random, data: bytes) -> bytes:
    """Some lines are gone."""
    lines = data.splitlines(keepends=True)
    first = draw.randrange(len(lines))
    return b"".join(lines[:first] + lines[first + draw.randint(1, 12) :])


def rename_key(draw: random.Random, data: bytes) -> bytes:
    """A key has another name, or another unit at its end."""

    def other(place: "re.Match[bytes]") -> bytes:
        stem = re.sub(rb"_[A-Za-z0-9]+$", b"", place[1])
        name = draw.choice(
            [stem + draw.choice(_UNITS), place[1][1:] or b"x", b"grade", b"schema", b"id", b"'a.b'"]
        )
        return name + place[2]

    return _one(_KEY, draw, data, other)


def other_value(draw: random.Random, data: bytes) -> bytes:
    """A value is of another kind, or out of every range."""
    return _one(_VALUE, draw, data, lambda place: place[1] + draw.choice(_VALUES))


def other_number(draw: random.Random, data: bytes) -> bytes:
    """A number is another one."""
    drawn = [
        b"nan",
        b"inf",
        b"1e400",
        b"-1",
        b"0",
        b"1e308",
        b"1e-308",
        b"%d" % draw.randrange(10**6),
        b"-0",
        b"a",
    ]
    return _one(_NUMBER, draw, data, lambda _: draw.choice(drawn))


def thousandfold(draw: random.Random, data: bytes) -> bytes:
    """Every number in a few lines is in a unit a thousand times off."""
    lines = data.splitlines(keepends=True)
    power = draw.choice([b"e3", b"e-3", b"e1", b"e-1"])
    for _ in range(draw.randint(1, 6)):
        at = draw.randrange(len(lines))
        lines[at] = re.sub(rb"(= *)(-?\d+(?:\.\d+)?)\b", lambda place: place[1] + place[2] + power, lines[at])
    return b"".join(lines)


def other_table(draw: random.Random, data: bytes) -> bytes:
    """A table header has other brackets or another name."""

    def other(place: "re.Match[bytes]") -> bytes:
        name = place[0].strip(b"[]")
        known = [
            b"item",
            b"fitted",
            b"panel",
            b"motor",
            b"note",
            b"name",
            b"class",
            b"schema",
            b"grade",
            b"x.y",
        ]
        name = draw.choice([name, name, *known])
        return draw.choice([b"[%s]", b"[[%s]]", b"%s = 1", b"%s = [1, 2]", b"%s = 'x'", b"[%s.value]"]) % name

    return _one(_HEADER, draw, data, other)


def other_coding(draw: random.Random, data: bytes) -> bytes:
    """The text is in another encoding, or with other line ends."""
    text = data.decode("utf-8", "replace")
    ways = [
        lambda: text.encode("utf-16"),
        lambda: text.encode("utf-16-le"),
        lambda: text.encode("utf-32"),
        lambda: text.replace("a", "\xe4").encode("latin-1", "replace"),
        lambda: b"\xef\xbb\xbf\xef\xbb\xbf" + data,
        lambda: data.replace(b"\n", b"\r"),
        lambda: data.replace(b"\n", b"\r\n"),
        lambda: data.replace(b" ", "\u00a0".encode()),
        lambda: data.replace(b"\n", "\u2028".encode()),
    ]
    return draw.choice(ways)()


def nul_bytes(draw: random.Random, data: bytes) -> bytes:
    """A NUL byte or another control byte stands somewhere."""
    at = draw.randrange(len(data))
    return data[:at] + bytes([draw.choice([0, 1, 8, 11, 12, 27, 127])]) + data[at:]


def nested(draw: random.Random, data: bytes) -> bytes:
    """A value is brackets in brackets, deeper than any reader may recurse."""
    depth = draw.choice([50, 500, 5000, 100_000])
    opened, closed = draw.choice([(b"[", b"]"), (b"{ a = ", b" }"), (b"a.", b"")])
    value = opened * depth + (b"1" + closed * depth if draw.random() < 0.7 else b"")
    return _one(_VALUE, draw, data, lambda place: place[1] + value)


def rubbish(draw: random.Random, data: bytes) -> bytes:
    """Something that was no file of ours at all, or nothing."""
    del data
    return draw.choice(
        [b"", b"\n", b"schema = 1\n", draw.randbytes(3000), b"PK\x03\x04" + draw.randbytes(500), b"{}"]
    )


WAYS: tuple[Spoil, ...] = (
    flip_bytes, cut, zero_tail, double_lines, drop_lines, rename_key, other_value, other_value, other_number,
    thousandfold, other_table, other_coding, nul_bytes, nested, rubbish,
)  # fmt: skip


def spoiled(draw: random.Random, data: bytes) -> tuple[str, bytes]:
    """The data spoiled in one way, now and then in two; and the names of the ways."""
    names = []
    for _ in range(1 if draw.random() < 0.8 else 2):
        way = draw.choice(WAYS)
        names.append(way.__name__)
        data = way(draw, data) if data else data
    return " and ".join(names), data
