"""What the program makes of spoiled files, killed programs, full disks and two writers at once.

    python studies/faults.py [SHARE] [PART ...]      run, print, write the tables of docs/faults.md

SHARE of the full numbers, 1 when left out (about half an hour on a small machine). Parts are doors, growth,
kills, disk, writers and clocks, all when left out; what was found is kept in docs/studies/ as well. Linux
only: it forks and kills. As root it also fills a disk of its own, 300 kB in memory; otherwise the page says
that it did not. The same seeds give the same files; what a kill hits is chance.
"""

import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any

import stored
from asked import ask_much
from clocks import FLIGHTS, clocks
from clocks import HEAD as CLOCK_HEAD
from clocks import row as clock_row
from crowded import full_disk, long_files, openers, writers
from doors import DEMO, DOORS, Verdict, fault_of, full_folder, listed, verdict
from glidewright.base.errors import GlidewrightError
from glidewright.decisions import balance, glide, power
from glidewright.domain.model import Model
from glidewright.domain.raw_log import RawLog
from glidewright.logs.read_log import read_log
from glidewright.rules.measures import MEASURE_UNITS
from glidewright.store.class_files import read_class
from glidewright.store.logbook import LOGBOOK_FILE, Logbook, logbook_url
from glidewright.store.outcomes import write_outcome
from glidewright.store.reading import read_model
from glidewright.store.writing import append_table, remove_table, remove_value, set_value
from killed import KINDS, rounds, summed, write_log
from spoiled import (
    cut,
    double_lines,
    drop_lines,
    flip_bytes,
    nul_bytes,
    other_number,
    rename_key,
    rubbish,
    spoiled,
    thousandfold,
    zero_tail,
)

PAPER = Path(__file__).resolve().parents[1] / "docs" / "faults.md"
FILES, CHANGES, BOOKS, LOGS, ODD_WORDS, MODELS, REQUESTS, KILLS = 1500, 1500, 600, 1500, 400, 120, 2000, 240
OPENINGS = 40
Row = tuple[str, ...]
_DRAWS = 16
_CHANGES: tuple[Callable[[Path], object], ...] = (
    lambda folder: set_value(folder, "model.toml", ("airframe", "span_m"), 2.01),
    lambda folder: set_value(
        folder, "model.toml", ("item", "canopy", "mass_g"), {"value": 9.0, "low": 8, "high": 10}
    ),
    lambda folder: set_value(folder, "parts/power.toml", ("motor", "m28-1020", "mass_g"), 50.0),
    lambda folder: append_table(folder, "weighing", {"of": ["all"], "mass_g": 450.0}),
    lambda folder: remove_value(folder, "model.toml", ("fitted", "motor", "y_mm")),
    lambda folder: remove_table(folder, "model.toml", ("weighing", 1)),
)


def doors(folder: Path, files: int) -> Iterator[Row]:
    """Every door with spoiled files: read, refused, faults, and the slowest."""
    for name, (file, door) in DOORS.items():
        sound, draw = (folder / file).read_bytes(), random.Random(name)
        before = listed(folder)
        found = []
        for _ in range(files):
            (folder / file).write_bytes(spoiled(draw, sound)[1])
            found.append(verdict(door, folder))
        (folder / file).write_bytes(sound)
        faults = [one.fault for one in found if one.fault]
        faults += [] if listed(folder) == before else ["a file was changed"]
        refused = sum(one.is_refused for one in found)
        slowest = max(one.seconds for one in found)
        yield _row(name, files, refused, faults, f"{slowest:.2f} s")


def changes(folder: Path, many: int) -> Row:
    """Changes by program of a spoiled model.toml: made and readable, or refused with every file as it was."""
    path, draw, refused, faults = folder / "model.toml", random.Random(2), 0, []
    sound = listed(folder)
    begin = slowest = 0.0
    for _ in range(many):
        for name, data in sound.items():
            (folder / name).write_bytes(data)
        path.write_bytes(spoiled(draw, sound["model.toml"])[1])
        before, begin = listed(folder), time.monotonic()
        try:
            draw.choice(_CHANGES)(folder)
            read_model(folder)
        except GlidewrightError as said:
            refused += 1
            faults += [one for problem in said.problems if (one := fault_of(str(problem)))]
            faults += [] if listed(folder) == before else ["a file was changed though the change was refused"]
        except Exception as mistake:  # it is what is looked for
            faults.append(f"{type(mistake).__name__}: {mistake}")
        slowest = max(slowest, time.monotonic() - begin)
    path.write_bytes(sound["model.toml"])
    return _row("change of a spoiled model.toml", many, refused, faults, f"{slowest:.2f} s")


def books(folder: Path, many: int) -> Row:
    """Logbooks whose file is spoiled, read and written to."""
    for number in range(4):
        write_log(folder, number)
    path, draw = folder / LOGBOOK_FILE, random.Random(3)
    sound = path.read_bytes()

    def use(place: Path) -> None:
        with Logbook(logbook_url(place)) as book:
            book.flights("killed")
            book.charges("killed")
        write_log(place, 77)

    found = []
    for _ in range(many):
        path.write_bytes(draw.choice((flip_bytes, cut, zero_tail, nul_bytes, rubbish))(draw, sound))
        found.append(verdict(use, folder))
    path.write_bytes(sound)
    return _of_verdicts("logbook", found)


def logs(many: int) -> Row:
    """Flight logs whose text is spoiled."""
    draw = random.Random(4)
    sound = b"time (s),height (m),volts (V)\n" + b"".join(b"%d,%d,11.9\n" % (n, n % 90) for n in range(400))
    found = []
    for _ in range(many):
        way = draw.choice(
            (flip_bytes, cut, zero_tail, nul_bytes, rubbish, double_lines, drop_lines, other_number)
        )
        data = way(draw, sound)
        found.append(verdict(partial(_read_log, data), Path()))
    return _of_verdicts("flight log", found)


def words(folder: Path, many: int) -> Row:
    """Outcomes of the test plan given in odd words."""
    draw = random.Random(5)
    odd = [
        "",
        "=",
        "a",
        "distance_m",
        "distance_m=",
        "mass_g=nan",
        "mass_g=1e400",
        "distance_m=x",
        "mass_g=-1",
        "\0",
    ]
    days = ["", "2026-05-31", "2026-02-30", "31.5.2026", "9999-99-99", "x" * 5000, "\x1b[2J"]
    found = []
    sound = (folder / "model.toml").read_bytes()
    for _ in range(many):
        some = [draw.choice([*odd, "mass_g=5", "distance_m=21"]) for _ in range(draw.randint(0, 3))]
        day, note, went = draw.choice(days), draw.choice(days), draw.choice(["weigh", "", "zz", "\x1b"])
        found.append(verdict(partial(_told, went, some, day, note), folder))
        (folder / "model.toml").write_bytes(sound)
    return _of_verdicts("words of an outcome", found)


def answers(folder: Path, many: int) -> Row:
    """Models that can be read though numbers were spoiled: three commands answer, or say why not."""
    rule, draw = read_class(None, "hill-club-electric", MEASURE_UNITS), random.Random(6)
    jobs: tuple[Callable[[Model], object], ...] = (
        lambda model: balance.run(balance.BalanceRequest(model=model, rule=rule, draws=_DRAWS)),
        lambda model: glide.run(glide.GlideRequest(model=model, rule=rule, draws=_DRAWS)),
        lambda model: power.run(power.PowerRequest(model=model, rule=rule, draws=_DRAWS)),
    )
    sound = {name: (folder / name).read_bytes() for name in ("model.toml", "parts/power.toml")}
    found: list[Verdict] = []
    while len(found) < many:
        name = draw.choice(list(sound))
        for file, data in sound.items():
            (folder / file).write_bytes(data)
        way = draw.choice((thousandfold, other_number, drop_lines, rename_key))
        (folder / name).write_bytes(way(draw, sound[name]))
        try:
            model = read_model(folder)
        except GlidewrightError:
            continue
        found.append(verdict(partial(_answer, draw.choice(jobs), model), folder))
    for file, data in sound.items():
        (folder / file).write_bytes(data)
    return _of_verdicts("answers about a spoiled model that reads", found)


def _read_log(data: bytes, _: Path) -> None:
    read_log(RawLog.of("a.csv", data))


def _told(went: str, some: Sequence[str], day: str, note: str, folder: Path) -> None:
    write_outcome(folder, ["weigh"], well=went, found=some, note=note, day=day)
    read_model(folder)


def _answer(job: Callable[[Model], object], model: Model, _: Path) -> None:
    job(model)


def _of_verdicts(name: str, found: Sequence[Any]) -> Row:
    slowest = max(one.seconds for one in found)
    faults = [one.fault for one in found if one.fault]
    return _row(name, len(found), sum(one.is_refused for one in found), faults, f"{slowest:.2f} s")


def _row(name: str, many: int, refused: int, faults: Sequence[str], slowest: str) -> Row:
    for fault in sorted(set(faults))[:5]:
        print(f"  {name}: {fault[:300]}", flush=True)
    return name, str(many), str(many - refused), str(refused), str(len(faults)), slowest


def _between(table: str, found: "re.Match[str]") -> str:
    return f"{found[1]}{table}\n{found[2]}"


def _table(head: Row, rows: Sequence[Row]) -> str:
    lines = ["| " + " | ".join(head) + " |", "| --- |" + " ---: |" * (len(head) - 1)]
    lines += ["| " + " | ".join(row) + " |" for row in rows]
    return "\n".join(lines)


def _killed(many: int) -> str:
    rows = [
        (kind, str(one["kills"]), str(one["answered"]), str(one["in the middle"]), str(len(one["faults"])))
        for kind, one in summed(list(rounds(many, 7))).items()
    ]
    head = ("Killed while it wrote", "Kills", "Writes answered for", "Hit in the middle", "Lost or broken")
    return _table(head, rows)


def _on_full_disk() -> str:
    head = ("Room left", *list(KINDS)[:4])
    with tempfile.TemporaryDirectory() as place:
        mount = ["mount", "-t", "tmpfs", "-o", "size=300k", "tmpfs", place]
        if os.geteuid() != 0 or subprocess.run(mount, check=False).returncode:
            return "Not run: it needs the rights to mount a disk."
        try:
            return _table(head, list(full_disk(Path(place))))
        finally:
            subprocess.run(["umount", place], check=True)


def _doors(share: float) -> str:
    with tempfile.TemporaryDirectory() as place:
        folder = full_folder(Path(place))
        rows = list(doors(folder, int(FILES * share)))
        rows += [books(folder, int(BOOKS * share)), logs(int(LOGS * share))]
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "hill"
        shutil.copytree(DEMO, folder)
        rows += [changes(folder, int(CHANGES * share)), words(folder, int(ODD_WORDS * share))]
        rows.append(answers(folder, int(MODELS * share)))
    asked = ask_much(int(REQUESTS * share), 1)
    pages = sum(asked.codes.values())
    refused = sum(count for code, count in asked.codes.items() if code >= 400)
    rows.append(_row("requests to the pages", pages, refused, asked.faults, f"{asked.slowest_s:.2f} s"))
    return _table(("Door", "Spoiled", "Read", "Refused in sentences", "Faults", "Slowest"), rows)


def _growth(share: float) -> str:
    del share  # the sizes are the point
    with tempfile.TemporaryDirectory() as place:
        rows = list(long_files(full_folder(Path(place))))
    return _table(("A file full of", "File", "0.25 MB, s", "1 MB, s", "Ratio"), rows)


def _writers(share: float) -> str:
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "hill"
        shutil.copytree(DEMO, folder)
        lost = writers(folder)
        openings = max(1, int(OPENINGS * share))
        broken = openers(Path(place), openings)
    return (
        f"Three programs that added 20 tables each to one model.toml at once lost {lost} of 60.\n"
        f"Of {openings} logbooks of schema 1 that three programs opened at once, "
        f"{broken} came out broken or were refused to one of them."
    )


def _clocks(share: float) -> str:
    return _table(CLOCK_HEAD, [clock_row(*one) for one in clocks(max(4, int(FLIGHTS * share)))])


PARTS: Mapping[str, Callable[[float], str]] = {
    "doors": _doors,
    "growth": _growth,
    "kills": lambda share: _killed(int(KILLS * share)),
    "disk": lambda _: _on_full_disk(),
    "writers": _writers,
    "clocks": _clocks,
}


def main(share: float, parts: Sequence[str]) -> None:
    """Run the parts, write their tables into the page, and keep them."""
    begin = time.monotonic()
    for name in parts or PARTS:
        table = PARTS[name](share)
        print(f"\n{table}", flush=True)
        marks = rf"(<!-- {name}: made by studies/faults.py -->\n).*?(<!-- end -->)"
        text = PAPER.read_text(encoding="utf-8")
        PAPER.write_text(re.sub(marks, partial(_between, table), text, flags=re.DOTALL), encoding="utf-8")
        stored.keep(f"faults_{name}", f"python studies/faults.py {share:g} {name}", {"table": table})
    print(f"{time.monotonic() - begin:.0f} s")


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 1.0, sys.argv[2:])
