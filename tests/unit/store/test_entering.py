"""Entering a log: file, channel map and flights, all or none, once."""

from pathlib import Path

import pytest

from glidewright.base.errors import WriteError
from glidewright.base.figure import Figure
from glidewright.domain.logbook import Flight
from glidewright.domain.raw_log import RawLog
from glidewright.logs.read_log import propose_map
from glidewright.store.channel_maps import read_maps
from glidewright.store.entering import enter_log
from glidewright.store.logbook import Logbook, logbook_url

RAW = RawLog.of(
    "evening 1.csv", b"time (s),altitude (m)\n" + b"".join(b"%d,%d\n" % (t, t) for t in range(40))
)


def flights() -> list[Flight]:
    scale = Figure.exact(1.0, "1", "", "measured", "made up")
    return [
        Flight(source_sha256=RAW.sha256, part=part, source_name="evening 1.csv", scale=scale)
        for part in (1, 2)
    ]


def test_a_log_is_entered_with_its_file_and_its_map(tmp_path: Path) -> None:
    channel_map = propose_map(RAW)
    assert channel_map is not None
    with Logbook(logbook_url(tmp_path)) as book:
        entered = enter_log(tmp_path, book, "Lark", RAW, flights(), channel_map)
        assert entered.path.read_bytes() == RAW.data
        assert [flight.source_name for flight in entered.new] == [entered.path.name] * 2
        assert [one.fits(channel_map) for one in read_maps(tmp_path)] == [True]
        again = enter_log(tmp_path, book, "Lark", RAW, flights(), None)
        assert (again.path, again.new) == (entered.path, ())
        assert len(book.flights("Lark")) == 2
    assert len([path for path in (tmp_path / "flights").iterdir() if path.is_file()]) == 1


def test_a_logbook_that_refuses_leaves_no_file_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise WriteError.at("logbook.sqlite", "must be free to be written; another program has held it")

    with Logbook(logbook_url(tmp_path)) as book:
        monkeypatch.setattr(book, "enter", refuse)
        with pytest.raises(WriteError):
            enter_log(tmp_path, book, "Lark", RAW, flights(), None)
        assert list((tmp_path / "flights").iterdir()) == []
        monkeypatch.undo()
        enter_log(tmp_path, book, "Lark", RAW, flights()[:1], None)
        # a file that was there before stays, whatever happens to a second log of it
        monkeypatch.setattr(book, "enter", refuse)
        with pytest.raises(WriteError):
            enter_log(tmp_path, book, "Lark", RAW, flights(), None)
        assert len(list((tmp_path / "flights").iterdir())) == 1
