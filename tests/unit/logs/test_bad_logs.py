"""What is no log, or a bad one: one sentence each, and nothing but that whatever the bytes are."""

import random
import warnings
import zipfile
from io import BytesIO

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glidewright.base.errors import InputError
from glidewright.domain.flight_record import CHANNELS, FlightRecord
from glidewright.domain.raw_log import LARGEST_LOG_bytes, RawLog
from glidewright.logs.finish import RANGES
from glidewright.logs.read_log import propose_map, read_log

HEAD = b"time (s),height (m)\n"


def zipped() -> bytes:
    stream = BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("../../bomb.csv", b"0" * 1_000_000)
    return stream.getvalue()


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "it is empty"),
        (b" \n\n\t", "it is empty"),
        (zipped(), "it is a zip archive; unpack it"),
        (b"\x1f\x8b\x08\x00" + b"\x00" * 50, "it is a gzip archive"),
        (bytes(range(256)) * 20, "bytes that no text has"),
        (HEAD + b"0,1\n1,2\n2,\x00\n", "bytes that no text has"),
        ("time,height\n0,1\n".encode("utf-16-le"), "bytes that no text has"),
        ("time,height\n0,1\n".encode("utf-16")[:-1], "begins as UTF-16 and breaks off"),
        (b"height\n1\n2\n3\n4\n5\n6\n", "one column only"),
        (b"some words\nand more\n", "nothing of that is found"),
        (b'{"time": [1, 2], "height": [3, 4]}', "nothing of that is found"),
        (b"height (m),volts (V)\n5,11\n3,12\n8,11\n2,12\n9,11\n1,10\n", "column with a time that rises"),
        (b"time (s),x,y\n0,1,2\n1,2,3\n2,3,4\n", "column whose header says height"),
        (HEAD + b"5,1\n5,2\n5,3\n5,4\n5,5\n", "it stands still"),
        (HEAD + b"".join(b"%d,1\n" % (50 - i) for i in range(50)), "time that rises"),
        (HEAD + b"".join(b"%d,1\n" % (i - (i > 60) * (i % 2) * 5) for i in range(200)), "runs forwards"),
        (HEAD + b"".join(b"%d,1\n" % (i * 86400) for i in range(50)), "check the unit of the time"),
        (HEAD + b"0,1\n1,2\n", "at least 5 samples"),
        (HEAD + b"".join(b"%d,nan\n" % i for i in range(50)), "a value of a known channel"),
        (b"c," * 1999 + b"c\n" + (b"1," * 1999 + b"1\n") * 5, "at most 1000 columns"),
    ],
)  # fmt: skip
def test_one_sentence_each(data, sentence):
    with pytest.raises(InputError) as refused:
        read_log(RawLog.of("a.csv", data))
    [problem] = refused.value.problems
    assert sentence in problem.message
    assert problem.where == "a.csv"
    assert problem.message.startswith("must ")
    assert "\n" not in problem.message


@pytest.mark.parametrize(
    "name", ["../a.csv", "/etc/a.csv", "..\\a.csv", "a\0.csv", "", "..", ".", "a\n.csv", "x" * 300]
)
def test_names_with_a_path_are_refused(name):
    with pytest.raises(InputError, match="plain file name without a path"):
        RawLog.of(name, b"1,2")


def test_a_log_that_is_too_large_is_refused():
    with pytest.raises(InputError, match="at most 64 MB"):
        RawLog.of("a.csv", bytes(LARGEST_LOG_bytes + 1))


def test_a_whole_quoted_file_is_no_table():
    with pytest.raises(InputError):
        read_log(RawLog.of("a.csv", b'"' + HEAD * 50))


def check(record: FlightRecord) -> None:
    assert np.all(np.diff(record.time_s) > 0.0)
    assert record.channels
    for name, samples in record.channels.items():
        known = samples[np.isfinite(samples)]
        low, high = RANGES[name]
        assert known.size
        assert low - 1e-9 <= known.min() <= known.max() <= high + 1e-9


def is_read_or_refused(data: bytes, name: str = "a.csv") -> bool:
    """True for records that keep their word, false for one sentence; anything else fails the test."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            records = read_log(RawLog.of(name, data))
        except InputError as refused:
            assert all(problem.message.startswith("must ") for problem in refused.problems)
            return False
    for record in records:
        check(record)
    return True


CELL = st.one_of(
    st.floats(allow_nan=True, allow_infinity=True).map(str),
    st.integers(-(10**12), 10**12).map(str),
    st.sampled_from(
        ["", "nan", "1:02:03", "12:30.5", "2024-05-01 10:00:00", "2024-13-45T99:99:99Z", '"', "1,5"]
    ),
    st.text(max_size=6),
)
WORD = st.sampled_from(
    [
        "time",
        "time (ms)",
        "alt",
        "height (ft)",
        "volts",
        "A",
        "rpm",
        "x",
        "",
        "lat",
        "lon",
        "date",
        "throttle %",
    ]
)


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=2000))
def test_any_bytes(data):
    is_read_or_refused(data)


@settings(max_examples=100, deadline=None)
@given(
    sign=st.sampled_from([",", ";", "\t"]),
    words=st.lists(WORD, min_size=1, max_size=6),
    rows=st.lists(st.lists(CELL, min_size=1, max_size=6), max_size=30),
)
def test_any_table(sign, words, rows):
    lines = [sign.join(words), *(sign.join(row) for row in rows)]
    is_read_or_refused("\n".join(lines).encode("utf-8", "replace"))


@settings(max_examples=100, deadline=None)
@given(
    times=st.lists(st.floats(-1e4, 1e4), min_size=5, max_size=60),
    heights=st.lists(st.floats(-1e4, 1e4), min_size=60, max_size=60),
)
def test_any_clock(times, heights):
    rows = zip(times, heights, strict=False)
    is_read_or_refused(HEAD + "".join(f"{t},{h}\n" for t, h in rows).encode())


@settings(max_examples=100, deadline=None)
@given(st.data())
def test_any_line_of_an_igc_file(data):
    good = [f"B1200{i:02d}4612584N01249706EA0050000560123" for i in range(20)]
    line = st.one_of(
        st.sampled_from(
            [*good, "AXXX", "HFDTE030416", "HFDTE", "HFDTEDATE:9", "I013638ENL", "I01", "I", "B", "H", ""]
        ),
        st.from_regex(r"[ABHIK][0-9A-Z\-:]{0,50}", fullmatch=True),
        st.text(max_size=50),
    )
    lines = data.draw(st.lists(line, max_size=40))
    is_read_or_refused("\n".join([good[0], *lines]).encode("utf-8", "replace"), "a.igc")


@settings(max_examples=100, deadline=None)
@given(
    st.lists(
        st.from_regex(r"\$G[PN](GGA|RMC),[0-9.,NSEWAV\-]{0,60}(\*[0-9A-F]{2})?", fullmatch=True), max_size=30
    )
)
def test_any_sentence(lines):
    is_read_or_refused("\n".join(["$GPGGA,120000,,,,,0,,,,,,,,", *lines]).encode())


def mutated(data: bytes, seed: int) -> bytes:
    """A log with a few bytes, lines or cells changed, cut out, doubled, or moved."""
    chance = random.Random(seed)
    lines = data.split(b"\n")
    for _ in range(chance.randint(1, 8)):
        kind, place = chance.randint(0, 6), chance.randrange(len(lines))
        if kind == 0:
            del lines[place : place + chance.randint(1, 5)]
        elif kind == 1:
            lines[place:place] = lines[: chance.randint(1, 20)]
        elif kind == 2:
            other = chance.randrange(len(lines))
            lines[place], lines[other] = lines[other], lines[place]
        elif kind == 3:
            lines[place] = lines[place][: chance.randint(0, 30)]
        elif kind == 4 and lines[place]:
            own = bytearray(lines[place])
            own[chance.randrange(len(own))] = chance.choice(b'09-,;AVNSEW.:"\xe9\x00 ')
            lines[place] = bytes(own)
        elif kind == 5:
            lines[place] = chance.randbytes(20)
        lines = lines or [b""]
    whole = b"\n".join(lines)
    return whole[: chance.randint(0, len(whole))] if chance.random() < 0.1 else whole


NAMES = (
    "aerofiles_example.igc",
    "aerofiles_2019-04-15.igc",
    "aerofiles_2020-09-04.igc",
    "igc_lib_new_date_format.igc",
    "igc_lib_no_time_increment.igc",
    "igc_lib_new_zealand_every_tenth.igc",
)


@pytest.mark.parametrize("name", NAMES)
def test_real_recordings_with_changes(recording, name):
    data = recording(name).data
    read = sum(is_read_or_refused(mutated(data, seed), name) for seed in range(25))
    assert read > 0


def test_a_table_with_changes():
    rows = "".join(f"{i / 10},{i * 0.1:.2f},{12 - i * 0.01:.2f}\n" for i in range(200))
    data = ("time (s),height (m),volts (V)\n" + rows).encode()
    read = sum(is_read_or_refused(mutated(data, seed)) for seed in range(100))
    assert read > 20


def test_a_proposal_for_any_table_is_one_or_a_sentence():
    for seed in range(60):
        data = mutated(b"time,height (m),volts\n" + b"1,2,3\n2,3,4\n" * 5, seed)
        try:
            found = propose_map(RawLog.of("a.csv", data))
        except InputError:
            continue
        assert found is None or {one.channel for one in found.column} <= {"time_s", *CHANNELS}
