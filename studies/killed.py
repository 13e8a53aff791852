"""Programs killed in the middle of a write: what was answered for stays, and no file is broken.

    python studies/killed.py [KILLS] [SEED]

Each round starts a program that writes one thing after another and says after each that it is done, and kills
it (SIGKILL) at a random moment. Then everything that it had answered for must be there, every file must read,
and the next write must work. Prints one JSON object. The writers are forked, so that a round takes no second.
"""

import json
import os
import random
import re
import shutil
import signal
import sqlite3
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing
from functools import cache
from pathlib import Path
from typing import Any

import glidewright
from glidewright.base.figure import Figure
from glidewright.domain.logbook import Flight
from glidewright.domain.raw_log import RawLog
from glidewright.store.entering import enter_log
from glidewright.store.logbook import LOGBOOK_FILE, Logbook, logbook_url
from glidewright.store.migrations import upgrade
from glidewright.store.new_folder import write_new_folder
from glidewright.store.outcomes import write_outcome
from glidewright.store.raw_logs import kept_path, kept_raws, read_raw
from glidewright.store.reading import read_model
from glidewright.store.writing import set_value

DEMO = Path(glidewright.__file__).parent / "data/demo/hill-demo"
OLD_BOOK = Path(__file__).parents[1] / "tests/unit/store/schemas/logbook_1.sql"
LONGEST_LIFE_s = 0.5
_HIDDEN_TEMPORARY = re.compile(r"\..+\.[0-9a-f]{12}\.tmp")
Writer = Callable[[Path, int], None]
Judge = Callable[[Path, int], str]


def write_model(folder: Path, number: int) -> None:
    """Set the span, a value that tells the number."""
    set_value(folder, "model.toml", ("airframe", "span_m"), _span_m(number))


def judge_model(folder: Path, last: int) -> str:
    """Whether the span is that of the last answer, or of the write that was under way."""
    found = read_model(folder).airframe.span_m.value
    known = [_span_m(last), _span_m(last + 1)] if last >= 0 else [found]
    return "" if any(abs(found - one) < 1e-9 for one in known) else f"span {found} after write {last}"


def write_step(folder: Path, number: int) -> None:
    """Add the outcome of a step of the test plan."""
    write_outcome(folder, ["weigh"], well="weigh", note=f"number {number}", day="2026-05-31")


def judge_step(folder: Path, last: int) -> str:
    """Whether every answered outcome is there, once and in order."""
    notes = [outcome.note for outcome in read_model(folder).outcomes]
    wanted = [f"number {number}" for number in range(last + 1)]
    return "" if notes[: last + 1] == wanted and len(notes) <= last + 2 else f"{len(notes)} after {last}"


def write_log(folder: Path, number: int) -> None:
    """Enter a log with two flights: raw file and logbook."""
    raw = _raw(number)
    with Logbook(logbook_url(folder)) as book:
        enter_log(folder, book, "killed", raw, [_flight(raw, part) for part in (1, 2)], None)


def judge_log(folder: Path, last: int) -> str:
    """Whether every answered log is there with both flights, and no flight alone or without its log."""
    with Logbook(logbook_url(folder)) as book:
        flights = Counter(flight.source_sha256 for flight in book.flights("killed"))
    for path in kept_raws(folder):
        if read_raw(path).sha256[:12] not in path.name:
            return f"{path.name} is not what its name says"
    for number in range(last + 1):
        if flights[_raw(number).sha256] != 2:
            return f"log {number} of {last} is not in the logbook"
    odd = [sha for sha, count in flights.items() if count != 2 or kept_path(folder, sha) is None]
    return f"flights of {odd[0][:12]} are there by half" if odd else ""


def write_folder(folder: Path, number: int) -> None:
    """Write a whole new model folder."""
    write_new_folder(folder / f"new{number}", _texts())


def judge_folder(folder: Path, last: int) -> str:
    """Whether every folder that has its name is whole."""
    found = sorted(path.name for path in folder.glob("new*"))
    for name in found:
        read_model(folder / name)
    return "" if len(found) in (last + 1, last + 2) else f"{len(found)} folders after {last}"


def write_upgrade(folder: Path, number: int) -> None:
    """Bring a new folder of schema 0 up to date."""
    place = folder / f"old{number}"
    temporary = folder / f"making{number}"
    temporary.mkdir()
    for name, text in _old_texts().items():
        (temporary / name).write_text(text, encoding="utf-8")
    temporary.rename(place)
    upgrade(place)


def judge_upgrade(folder: Path, last: int) -> str:
    """Whether every folder reads as the same model, before, in the middle and after."""
    wanted = read_model(DEMO).model_copy(update={"drawer": ()})
    for number in range(last + 2):
        place = folder / f"old{number}"
        if place.is_dir():
            found = read_model(place)
            if found.model_copy(update={"drawer": ()}) != wanted:
                return f"{place.name} reads as another model"
    return ""


def write_old_book(folder: Path, number: int) -> None:
    """Open a new logbook of schema 1, which leads it to today's."""
    place, making = folder / f"book{number}", folder / f"making{number}"
    making.mkdir()
    (making / LOGBOOK_FILE).write_bytes(old_book())
    making.rename(place)
    Logbook(logbook_url(place)).close()


@cache
def old_book() -> bytes:
    """The file of a logbook of schema 1: the demo's flights."""
    with closing(sqlite3.connect(":memory:")) as book:
        book.executescript(OLD_BOOK.read_text(encoding="utf-8"))
        return book.serialize()


def judge_old_book(folder: Path, last: int) -> str:
    """Whether every logbook is of one schema or the other, and tells all its flights, charges and figures."""
    for number in range(last + 2):
        place = folder / f"book{number}"
        if place.is_dir():
            with Logbook(logbook_url(place)) as book:
                flights, charges = book.flights("Hill demo"), book.charges("Hill demo")
            told = len(flights), sum(len(flight.launches) for flight in flights), len(charges)
            if told != (3, 8, 2):
                return f"{place.name} tells {told} flights, launches and charges"
    return ""


KINDS: Mapping[str, tuple[Writer, Judge]] = {
    "a key of model.toml": (write_model, judge_model),
    "an outcome of the test plan": (write_step, judge_step),
    "a log with its flights": (write_log, judge_log),
    "a new model folder": (write_folder, judge_folder),
    "a folder brought up to date": (write_upgrade, judge_upgrade),
    "a logbook of schema 1 brought up to date": (write_old_book, judge_old_book),
}


def rounds(kills: int, seed: int) -> Iterator[dict[str, Any]]:
    """One round after another, the kinds in turn."""
    draw = random.Random(seed)
    for number in range(kills):
        kind = list(KINDS)[number % len(KINDS)]
        with tempfile.TemporaryDirectory() as place:
            folder = Path(place) / "hill"
            shutil.copytree(DEMO, folder)
            yield {"kind": kind, **_round(kind, folder, draw)}


def _round(kind: str, folder: Path, draw: random.Random) -> dict[str, Any]:
    write, judge = KINDS[kind]
    last = _killed(write, folder, draw.uniform(0.0, LONGEST_LIFE_s))
    left = [path for path in folder.rglob("*") if _HIDDEN_TEMPORARY.fullmatch(path.name)]
    hot = list(folder.rglob("*-journal"))
    try:
        read_model(folder)
        fault = judge(folder, last)
        if not fault:
            write(folder, 1_000)  # the next program writes as if nothing had been
            read_model(folder)
    except Exception as mistake:  # whatever comes out of a reader here is the fault looked for
        fault = f"{type(mistake).__name__}: {mistake}"
    return {"answered": last + 1, "left": len(left), "journals": len(hot), "fault": fault}


def _killed(write: Writer, folder: Path, life_s: float) -> int:
    """Run a writer for a while and kill it; the last write that it answered for, -1 for none."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reader)
        try:
            os.write(writer, b"-1\n")
            for number in range(1_000):
                write(folder, number)
                os.write(writer, b"%d\n" % number)
        finally:
            os._exit(1)
    os.close(writer)
    said = os.read(reader, 100)  # it runs
    time.sleep(life_s)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(reader, "rb") as stream:
        said += stream.read()
    return int(said.split()[-1])


def _span_m(number: int) -> float:
    return round(1.0 + 0.001 * number, 3)


def _raw(number: int) -> RawLog:
    lines = "".join(f"{second},{(second * number) % 97}\n" for second in range(3_000))
    return RawLog.of(f"log {number}.csv", f"time (s),height (m)\n{lines}".encode())


def _flight(raw: RawLog, part: int) -> Flight:
    scale = Figure.exact(1.0, "1", "", "measured", "made for this")
    return Flight(
        source_sha256=raw.sha256, part=part, source_name=raw.name, format="delimited", date="2026-05-31",
        scale=scale,
    )  # fmt: skip


def _texts() -> dict[str, str]:
    names = ("model.toml", "parts/power.toml", "parts/radio.toml")
    return {name: (DEMO / name).read_text(encoding="utf-8") for name in names}


def _old_texts() -> dict[str, str]:
    """The demo in schema 0."""
    new = _texts()
    second = re.sub(r"^(schema|grade) = .*\n", "", new["parts/radio.toml"], flags=re.MULTILINE)
    return {
        "model.toml": re.sub(r"^schema = 1.*\n", "[model]\n", new["model.toml"], count=1),
        "drawer.toml": new["parts/power.toml"] + second,
    }


def summed(found: list[dict[str, Any]]) -> dict[str, dict[str, Any]]:
    """What came of the rounds, by kind."""
    tables = {}
    for kind in KINDS:
        own = [one for one in found if one["kind"] == kind]
        tables[kind] = {
            "kills": len(own),
            "answered": sum(one["answered"] for one in own),
            "in the middle": sum(bool(one["left"] or one["journals"]) for one in own),
            "faults": [one["fault"] for one in own if one["fault"]],
        }
    return tables


if __name__ == "__main__":
    KILLS = int(sys.argv[1]) if len(sys.argv) > 1 else 240
    SEED = int(sys.argv[2]) if len(sys.argv) > 2 else 7
    print(json.dumps(summed(list(rounds(KILLS, SEED))), indent=2))
