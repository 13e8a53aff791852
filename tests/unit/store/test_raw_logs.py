"""Raw logs and channel maps in a model folder: once, unchanged, whole or not at all."""

import os

import pytest

from glidewright.base.errors import InputError, MissingError, WriteError
from glidewright.domain.channel_map import ChannelMap, MappedColumn
from glidewright.domain.raw_log import RawLog
from glidewright.store import raw_logs
from glidewright.store.channel_maps import keep_map, read_maps
from glidewright.store.raw_logs import keep_raw, kept_name, kept_path, kept_raws, read_raw

DATA = b"time (s),height (m)\r\n0,1\r\n"


def test_a_log_is_kept_byte_for_byte_and_once(tmp_path):
    path, is_new = keep_raw(tmp_path, RawLog.of("Sunday.csv", DATA))
    assert is_new
    assert path.read_bytes() == DATA
    assert path.parent == tmp_path / "flights"
    again, is_new = keep_raw(tmp_path, RawLog.of("copy of Sunday.csv", DATA))
    assert (again, is_new) == (path, False)
    assert kept_raws(tmp_path) == [path]
    assert read_raw(path).sha256 == RawLog.of("x", DATA).sha256


def test_two_logs_of_one_name_lie_side_by_side(tmp_path):
    keep_raw(tmp_path, RawLog.of("log.csv", DATA))
    keep_raw(tmp_path, RawLog.of("log.csv", DATA + b"1,2\r\n"))
    assert len(kept_raws(tmp_path)) == 2


def test_a_log_that_somebody_put_there_by_hand_is_found(tmp_path):
    (tmp_path / "flights").mkdir()
    (tmp_path / "flights" / "mine.csv").write_bytes(DATA)
    assert keep_raw(tmp_path, RawLog.of("log.csv", DATA)) == (tmp_path / "flights" / "mine.csv", False)


def test_a_changed_file_under_the_name_of_a_log_is_not_taken_for_it(tmp_path):
    raw = RawLog.of("log.csv", DATA)
    path, _ = keep_raw(tmp_path, raw)
    path.write_bytes(b"changed")
    assert kept_path(tmp_path, raw.sha256) is None


@pytest.mark.parametrize(
    "name",
    ["CON", "nul.csv", ".hidden", "täst 1.csv", "a:b?.csv", "x" * 200 + ".csv", "日本.csv", "log", "a.b.c d"],
)
def test_names_are_safe_on_every_system(name):
    made = kept_name(RawLog.of(name, DATA))
    stem, _, ending = made.rpartition(".")
    assert made.isascii()
    assert len(made) < 100
    assert set(made) <= set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-.")
    assert stem
    assert not made.startswith(".")
    assert stem.upper() not in {"CON", "NUL"}
    assert ending


def test_what_is_no_file_is_refused(tmp_path):
    with pytest.raises(MissingError, match="no such log"):
        read_raw(tmp_path / "none.csv")
    with pytest.raises(InputError, match="a folder came"):
        read_raw(tmp_path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="a system without pipes in folders")
def test_a_pipe_is_not_opened(tmp_path):
    pipe = tmp_path / "pipe.csv"
    os.mkfifo(pipe)
    with pytest.raises(InputError, match="something else came"):
        read_raw(pipe)


def test_a_large_file_is_read_no_further_than_the_limit(tmp_path, monkeypatch):
    monkeypatch.setattr(raw_logs, "LARGEST_LOG_bytes", 1000)
    monkeypatch.setattr(raw_logs, "_CHUNK_bytes", 100)
    path = tmp_path / "large.csv"
    with path.open("wb") as stream:
        stream.truncate(5_000_000_000)  # a hole: takes no room on the disk
    with pytest.raises(InputError, match="must be at most 64 MB"):
        read_raw(path)


def test_nothing_is_left_behind_when_a_log_cannot_be_written(tmp_path, monkeypatch):
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(WriteError, match="the disk is full"):
        keep_raw(tmp_path, RawLog.of("log.csv", DATA))
    assert list((tmp_path / "flights").iterdir()) == []


MAP = ChannelMap(
    delimiter="comma",
    header=("t", "alt"),
    columns=2,
    column=(
        MappedColumn(place=1, header="t", channel="time_s", unit="ms"),
        MappedColumn(place=2, header="alt", channel="height_m", unit="ft"),
    ),
    questions=("'alt' has no unit; m is assumed.",),
)


def test_a_map_is_kept_for_its_kind_of_log_and_comes_back_confirmed(tmp_path):
    path = keep_map(tmp_path, MAP)
    [found] = read_maps(tmp_path)
    assert found == MAP.model_copy(update={"confirmed": True, "questions": ()})
    metres = MAP.model_copy(
        update={"column": (MAP.column[0], MAP.column[1].model_copy(update={"unit": "m"}))}
    )
    assert keep_map(tmp_path, metres) == path
    [found] = read_maps(tmp_path)
    assert found.column[1].unit == "m"
    other = MAP.model_copy(update={"header": ("t", "height")})
    assert keep_map(tmp_path, other) != path
    assert len(read_maps(tmp_path)) == 2


def test_a_map_under_another_name_is_replaced_where_it_lies(tmp_path):
    path = keep_map(tmp_path, MAP)
    own = path.rename(path.with_name("my logger.toml"))
    assert keep_map(tmp_path, MAP) == own


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        (
            '"height_m"',
            '"heigth_m"',
            "channel must be one that is known; 'heigth_m' came; nearest known: height_m",
        ),
        ('"ft"', '"fathom"', "unit of height_m must be one of m, ft, cm, dm, km; 'fathom' came"),
        ("place = 2", "place = 1", "every channel and every column must be named once"),
        ("place = 2", "place = 3", "place must be at most 2"),
        ('"time_s"', '"voltage_V"', "unit of voltage_V must be one of V, mV; 'ms' came"),
        ('"comma"', '"pipe"', "must be one of"),
        ("columns = 2", "", "must be given and is missing"),
    ],
)
def test_a_spoilt_map_is_refused_in_a_sentence(tmp_path, old, new, sentence):
    path = keep_map(tmp_path, MAP)
    path.write_text(path.read_text().replace(old, new))
    with pytest.raises(InputError) as refused:
        read_maps(tmp_path)
    assert sentence in str(refused.value)
    assert str(refused.value).startswith("flights/maps/")


def test_no_maps_where_there_is_no_folder(tmp_path):
    assert read_maps(tmp_path) == ()
    assert kept_raws(tmp_path) == []
