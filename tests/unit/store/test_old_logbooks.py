"""Databases of every schema of the logbook, as dumps: led to today's, killed on the way, by two at once.

``schemas/logbook_<n>.sql`` is the demo's three invented flights in a logbook of that schema, written out by
``sqlite3``. That of schema 1, which no release had, is that of schema 2 without the two columns that came.
"""

import os
import signal
import sqlite3
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from glidewright.base.errors import InputError
from glidewright.domain.logbook import Flight
from glidewright.store.logbook import Logbook, logbook_url
from glidewright.store.logbook_tables import METADATA, SCHEMA

DUMPS = Path(__file__).parent / "schemas"
MODEL = "Hill demo"
Rows = dict[str, list[tuple[Any, ...]]]


def laid_out(folder: Path, schema: int) -> Path:
    """A logbook of that schema in a folder."""
    file = folder / "logbook.sqlite"
    book = sqlite3.connect(file)
    book.executescript((DUMPS / f"logbook_{schema}.sql").read_text(encoding="utf-8"))
    book.close()
    return file


def columns_of(file: Path) -> dict[str, list[str]]:
    book = sqlite3.connect(file)
    names = [row[0] for row in book.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    found = {name: [row[1] for row in book.execute(f"PRAGMA table_info({name})")] for name in names}
    book.close()
    return found


def rows_of(file: Path, columns: dict[str, list[str]]) -> Rows:
    """Every row of these columns of every table; of the head only what is not the schema."""
    book = sqlite3.connect(file)
    found: Rows = {}
    for table, names in columns.items():
        quoted = ", ".join(f'"{name}"' for name in names)
        found[table] = book.execute(f"SELECT {quoted} FROM {table} ORDER BY 1").fetchall()
    book.close()
    found["logbook"] = [row for row in found["logbook"] if row[0] != "schema"]
    return found


def schema_of(file: Path) -> str:
    book = sqlite3.connect(file)
    [(found,)] = book.execute("SELECT value FROM logbook WHERE key = 'schema'")
    book.close()
    return str(found)


def flights_of(folder: Path) -> tuple[Flight, ...]:
    with Logbook(logbook_url(folder)) as book:
        return book.flights(MODEL)


def test_there_is_a_database_of_every_schema() -> None:
    assert sorted(path.name for path in DUMPS.glob("logbook_*.sql")) == [
        f"logbook_{number}.sql" for number in range(1, SCHEMA + 1)
    ]


@pytest.mark.parametrize("schema", range(1, SCHEMA + 1))
def test_nothing_is_lost_on_the_way_to_todays_schema(tmp_path: Path, schema: int) -> None:
    file = laid_out(tmp_path, schema)
    columns = columns_of(file)
    before = rows_of(file, columns)
    assert [len(before[name]) for name in ("flights", "launches", "figures", "charges")] == [3, 8, 223, 2]
    flights = flights_of(tmp_path)
    assert rows_of(file, columns) == before
    assert schema_of(file) == str(SCHEMA)
    assert {name: set(own) for name, own in columns_of(file).items()} == {
        name: set(table.columns.keys()) for name, table in METADATA.tables.items()
    }
    assert [len(one.launches) for one in flights] == [1, 2, 5]


def test_an_old_logbook_tells_the_flights_of_todays(tmp_path: Path) -> None:
    known = []
    for schema in range(1, SCHEMA + 1):
        (folder := tmp_path / str(schema)).mkdir()
        laid_out(folder, schema)
        known.append(flights_of(folder))
    without = [one.model_copy(update={"landing_m": None}) for one in known[-1]]  # it came with schema 2
    assert list(known[0]) == without
    assert known[-1][0].landing_m == 1.5


KILLED = """
import os, signal, sys
from glidewright.store import logbook_tables
from glidewright.store.logbook import Logbook
step = logbook_tables.STEPS[0]
def killed(connection):
    if sys.argv[2] == "before":
        os.kill(os.getpid(), signal.SIGKILL)
    step(connection)
    os.kill(os.getpid(), signal.SIGKILL)
logbook_tables.STEPS = (killed,)
Logbook(sys.argv[1])
"""


@pytest.mark.skipif(os.name != "posix", reason="it needs a signal that cannot be caught")
@pytest.mark.parametrize("moment", ["before", "after"])
def test_a_kill_in_the_middle_of_the_way_leaves_the_old_logbook_whole(tmp_path: Path, moment: str) -> None:
    file = laid_out(tmp_path, 1)
    columns = columns_of(file)
    before = rows_of(file, columns)
    words = [sys.executable, "-c", KILLED, logbook_url(tmp_path), moment]
    assert subprocess.run(words, check=False).returncode == -signal.SIGKILL
    assert schema_of(file) == "1"
    assert columns_of(file) == columns
    assert rows_of(file, columns) == before
    assert len(flights_of(tmp_path)) == 3
    assert schema_of(file) == str(SCHEMA)
    assert rows_of(file, columns) == before


OPENED = "import sys; from glidewright.store.logbook import Logbook; Logbook(sys.argv[1]).close()"


def test_two_programs_that_open_an_old_logbook_at_once_both_find_it_whole(tmp_path: Path) -> None:
    file = laid_out(tmp_path, 1)
    columns = columns_of(file)
    before = rows_of(file, columns)
    running = [
        subprocess.Popen([sys.executable, "-c", OPENED, logbook_url(tmp_path)], stderr=subprocess.PIPE)
        for _ in range(3)
    ]
    said = [one.communicate()[1] for one in running]
    assert ([one.returncode for one in running], said) == ([0, 0, 0], [b"", b"", b""])
    assert rows_of(file, columns) == before
    assert schema_of(file) == str(SCHEMA)


@pytest.mark.parametrize("schema", range(1, SCHEMA + 1))
def test_a_logbook_of_a_newer_program_is_one_sentence_and_stays_as_it_is(tmp_path: Path, schema: int) -> None:
    file = laid_out(tmp_path, schema)
    with sqlite3.connect(file) as book:
        book.execute("UPDATE logbook SET value = ?", (str(SCHEMA + 1),))
    book.close()
    before = file.read_bytes()
    with pytest.raises(InputError) as caught:
        Logbook(logbook_url(tmp_path))
    [problem] = caught.value.problems
    assert problem.message == (
        f"must be of schema {SCHEMA} at most for this version; {SCHEMA + 1} came, from a newer one; "
        "update glidewright to read it"
    )
    assert file.read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == ["logbook.sqlite"]
