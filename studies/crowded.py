"""Files that are long, a disk that is full, programs that write at once: parts of ``faults.py``."""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from pathlib import Path

from doors import DEMO, DOORS, listed, verdict
from glidewright.store.logbook import LOGBOOK_FILE, Logbook, logbook_url
from glidewright.store.reading import read_model
from killed import KINDS, old_book, write_log

Row = tuple[str, ...]
_LONG: Mapping[str, tuple[str, Callable[[int], bytes]]] = {
    "items": ("model.toml", lambda n: b'\n[[item]]\nid = "i%d"\nmass_g = 1\nx_mm = 5\n' % n),
    "unknown keys": ("model.toml", lambda n: b"mass%d_g = 1\n" % n),
    "unknown tables": ("model.toml", lambda n: b"\n[t%d]\n" % n),
    "weighings of nothing": ("model.toml", lambda _: b'\n[[weighing]]\nof = ["zz"]\nmass_g = 1\n'),
    "panels": ("model.toml", lambda n: b'\n[[panel]]\nid = "i%d"\nspan_mm = 1\nroot_chord_mm = 5\n' % n),
    "motors": ("parts/power.toml", lambda n: b'\n[[motor]]\nid = "i%d"\nmass_g = 1\n' % n),
    "limits": ("classes/own.toml", lambda _: b'\n[[limit]]\nmeasure = "mass"\nat_most_g = 3\n'),
    "options": ("options.toml", lambda n: b'\n[[option]]\nname = "o%d"\nmotor_run_s = 20\n' % n),
    "new items of a variant": (
        "variants/windy-day.toml",
        lambda n: b'\n[[item]]\nnew = true\nid = "i%d"\nmass_g = 1\nx_mm = 5\n' % n,
    ),
    "items in schema 0": ("old/model.toml", lambda n: b'\n[[item]]\nid = "i%d"\nmass_g = 1\nx_mm = 5\n' % n),
    "points of a section": ("sections/Hill 7.dat", lambda _: b"0.5 0.01\n"),
}
_WRITER = """
import sys
from pathlib import Path
from glidewright.store.writing import append_table
for number in range(20):
    weighing = {"of": ["all"], "mass_g": 450, "note": f"{sys.argv[2]}{number}"}
    append_table(Path(sys.argv[1]), "weighing", weighing)
"""


def long_files(folder: Path) -> Iterator[Row]:
    """Files of a quarter and of one megabyte: seconds each, and how they grow."""
    for name, (file, piece) in _LONG.items():
        sound, seconds = (folder / file).read_bytes(), []
        for size in (250_000, 1_000_000):
            more = b"".join(piece(number) for number in range(size // len(piece(1000))))
            (folder / file).write_bytes(sound + more)
            seconds.append(verdict(_door_of(file), folder).seconds)
        (folder / file).write_bytes(sound)
        yield name, file, f"{seconds[0]:.2f}", f"{seconds[1]:.2f}", f"{seconds[1] / seconds[0]:.1f}"


def full_disk(place: Path) -> Iterator[Row]:
    """Every writer on a disk with ever less room: what was refused, and whether anything was lost."""
    for room in (0, 8, 16, 24, 48):
        folder = place / "hill"
        for old in place.iterdir():
            shutil.rmtree(old) if old.is_dir() else old.unlink()
        shutil.copytree(DEMO, folder)
        write_log(folder, 0)
        free = os.statvfs(place).f_bavail * os.statvfs(place).f_bsize
        (place / "filler").write_bytes(bytes(max(0, free - room * 1024)))
        said = []
        for write, _ in list(KINDS.values())[:4]:  # the last one writes by itself before it starts
            before = listed(folder)
            found = verdict(partial(_write_once, write), folder)
            is_whole = not found.is_refused or listed(folder) == before
            fault = found.fault or ("" if is_whole else "something was changed")
            said.append(f"FAULT {fault}" if fault else "refused whole" if found.is_refused else "written")
        read_model(folder)
        yield f"{room} kB", *said


def writers(folder: Path) -> int:
    """How many of 60 tables that three programs add at the same time are lost."""
    before = len(read_model(folder).weighings)
    running = [subprocess.Popen([sys.executable, "-c", _WRITER, str(folder), name]) for name in "abc"]
    for one in running:
        one.wait()
    return 60 - (len(read_model(folder).weighings) - before)


def openers(place: Path, rounds: int) -> int:
    """Rounds of so many in which not each of three programs found one logbook of schema 1 whole."""
    faults = 0
    for number in range(rounds):
        folder = place / f"crowd{number}"
        folder.mkdir()
        (folder / LOGBOOK_FILE).write_bytes(old_book())
        children = [_opened_by_another(folder) for _ in range(3)]
        ends = [os.waitpid(child, 0)[1] for child in children]
        with Logbook(logbook_url(folder)) as book:
            is_whole = [len(one.launches) for one in book.flights("Hill demo")] == [1, 2, 5]
        faults += any(ends) or not is_whole
    return faults


def _opened_by_another(folder: Path) -> int:
    """A program that opens the logbook of a folder; its process."""
    child = os.fork()
    if child == 0:
        try:
            Logbook(logbook_url(folder)).close()
            os._exit(0)
        finally:
            os._exit(1)
    return child


def _door_of(file: str) -> Callable[[Path], object]:
    return next(door for own, door in DOORS.values() if own == file)


def _write_once(write: Callable[[Path, int], None], folder: Path) -> None:
    write(folder, 1)
