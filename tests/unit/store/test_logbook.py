"""The logbook: what goes in comes out, once, whole, from any program, of any age."""

import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
import sqlalchemy as sa
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.schema import CreateTable

from glidewright.base.errors import InputError, WriteError
from glidewright.base.figure import Figure, Given
from glidewright.domain.flight_reading import LaunchReading
from glidewright.domain.logbook import Flight, PackCharge, SetUp, Weather
from glidewright.store import logbook as module
from glidewright.store import logbook_rows
from glidewright.store.logbook import Logbook, logbook_url
from glidewright.store.logbook_tables import METADATA, SCHEMA


def figure(value: float, unit: str = "m", shown: str = "m") -> Figure:
    because = "as the log says"
    return Figure(
        value=value, low=value - 1, high=value + 1, unit=unit, shown=shown, grade="measured", because=because
    )


def launch(number: int) -> LaunchReading:
    names = [n for n, info in LaunchReading.model_fields.items() if info.annotation is Figure]
    values = {name: figure(10.0 * number + place) for place, name in enumerate(names)}
    values["highest_current"] = Figure.unknown("A", "A", "not recorded")
    return LaunchReading(number=number, motor_sign="current", is_restart=number == 2, **values)


@pytest.fixture
def flight() -> Flight:
    return Flight(
        source_sha256="a" * 64,
        source_name="evening-aaaa.csv",
        format="delimited",
        date="2025-05-03",
        start_utc="2025-05-03T17:02:00+00:00",
        invented=True,
        set_up=SetUp(motor="m28-1020", pack="p2-550", mass_kg=Given(value=0.59, grade="measured")),
        weather=Weather(headwind_m_s=Given(value=2.5, grade="measured", low=2.0, high=3.0)),
        is_charged=True,
        count="at_cut",
        window_s=8.0,
        landing_m=1.4,
        scale=figure(1.02, "1", ""),
        launches=(launch(1), launch(2)),
        flight_times=(figure(342.0, "s", "s"), Figure.unknown("s", "s", "the motor ran again")),
    )


@pytest.fixture
def url(tmp_path: Path) -> str:
    return logbook_url(tmp_path)


@pytest.fixture
def club(tmp_path: Path) -> str:
    """A logbook that several models share."""
    return logbook_url(tmp_path, str(tmp_path / "club.sqlite"))


def test_a_flight_comes_back_as_it_went_in(url: str, flight: Flight) -> None:
    with Logbook(url) as book:
        assert book.enter("Lark", [flight]) == (flight,)
        assert book.flights("Lark") == (flight,)
    with Logbook(url) as book:
        assert book.flights("Lark") == (flight,)


def test_the_logbook_of_a_folder_is_that_of_its_model_whatever_its_name(url: str, flight: Flight) -> None:
    with Logbook(url) as book:
        book.enter("Lark", [flight])
        assert book.flights("Lark, renamed") == (flight,)
        assert book.enter("Lark, renamed", [flight]) == ()


def test_the_same_log_is_entered_once_for_a_model(club: str, flight: Flight) -> None:
    url = club
    with Logbook(url) as book:
        book.enter("Lark", [flight])
        assert book.enter("Lark", [flight]) == ()
        assert book.enter("Wren", [flight]) == (flight,)
        other = flight.model_copy(update={"part": 2})
        assert book.enter("Lark", [flight, other]) == (other,)
        assert book.has("Lark", "a" * 64, 2)
        assert not book.has("Lark", "b" * 64, 1)
        assert len(book.flights("Lark")) == 2


def test_flights_come_in_the_order_of_time(url: str, flight: Flight) -> None:
    days = ("2025-07-01", "2025-05-03", "2025-06-02")
    flights = [
        flight.model_copy(update={"source_sha256": f"{place:064x}", "date": day})
        for place, day in enumerate(days)
    ]
    with Logbook(url) as book:
        book.enter("Lark", flights)
        assert [one.date for one in book.flights("Lark")] == sorted(days)


def test_all_or_none_are_entered(url: str, flight: Flight, monkeypatch: pytest.MonkeyPatch) -> None:
    real, seen = logbook_rows._figure_row, []

    def breaks(*words: object) -> object:
        seen.append(words)
        if len(seen) == 30:  # in the middle of the second flight
            raise RuntimeError("the power fails")
        return real(*words)  # type: ignore[arg-type]

    other = flight.model_copy(update={"source_sha256": "b" * 64})
    with Logbook(url) as book:
        with monkeypatch.context() as patch:
            patch.setattr(logbook_rows, "_figure_row", breaks)
            with pytest.raises(RuntimeError):
                book.enter("Lark", [flight, other])
        assert book.flights("Lark") == ()
        book.enter("Lark", [flight, other])
        assert len(book.flights("Lark")) == 2


def test_landing_and_charge_are_stated_afterwards(url: str, flight: Flight) -> None:
    bare = flight.model_copy(update={"landing_m": None, "is_charged": None})
    with Logbook(url) as book:
        book.enter("Lark", [bare])
        book.change("Lark", "a" * 64, 1, landing_m=None, is_charged=None)
        assert book.flights("Lark") == (bare,)
        book.change("Lark", "a" * 64, 1, landing_m=0.8, is_charged=False)
        (found,) = book.flights("Lark")
    assert (found.landing_m, found.is_charged) == (0.8, False)


def test_charges_are_those_of_the_file_and_no_others(club: str) -> None:
    url = club
    first = PackCharge(pack="p2-550", date="2025-05-03", put_back_As=Given(value=1500.0), note="at home")
    second = PackCharge(pack="p2-800", date="2025-05-04", resistance_ohm=Given(value=0.05))
    with Logbook(url) as book:
        book.keep_charges("Lark", [first])
        book.keep_charges("Wren", [first])
        book.keep_charges("Lark", [first, second])
        rows = book.charges("Lark")
        assert [(row["pack"], row["put_back_As"], row["resistance_ohm"]) for row in rows] == [
            ("p2-550", 1500.0, None),
            ("p2-800", None, 0.05),
        ]
        book.keep_charges("Lark", [])
        assert book.charges("Lark") == ()
        assert len(book.charges("Wren")) == 1


# A logbook of schema 1 as its program wrote it: no landing, no note.
OLD = """
CREATE TABLE logbook ("key" VARCHAR(40) NOT NULL, value VARCHAR(200) NOT NULL, PRIMARY KEY ("key"));
INSERT INTO logbook VALUES ('schema', '1');
CREATE TABLE flights (
  id INTEGER NOT NULL, model VARCHAR(200) NOT NULL, source_sha256 VARCHAR(64) NOT NULL, part INTEGER NOT NULL,
  source_name VARCHAR(300) NOT NULL, format VARCHAR(40) NOT NULL, date VARCHAR(10) NOT NULL,
  start_utc VARCHAR(40) NOT NULL, invented BOOLEAN NOT NULL, motor VARCHAR(200) NOT NULL,
  controller VARCHAR(200) NOT NULL, pack VARCHAR(200) NOT NULL, propeller VARCHAR(200) NOT NULL,
  is_charged BOOLEAN, count VARCHAR(20) NOT NULL, window_s FLOAT NOT NULL,
  PRIMARY KEY (id), CONSTRAINT one_flight_once UNIQUE (model, source_sha256, part));
CREATE TABLE launches (
  id INTEGER NOT NULL, flight_id INTEGER NOT NULL, number INTEGER NOT NULL, motor_sign VARCHAR(20) NOT NULL,
  is_restart BOOLEAN NOT NULL, PRIMARY KEY (id), CONSTRAINT one_launch_once UNIQUE (flight_id, number),
  FOREIGN KEY(flight_id) REFERENCES flights (id) ON DELETE CASCADE);
CREATE TABLE figures (
  id INTEGER NOT NULL, flight_id INTEGER NOT NULL, launch_id INTEGER, name VARCHAR(60) NOT NULL, value FLOAT,
  low FLOAT, high FLOAT, unit VARCHAR(20) NOT NULL, shown VARCHAR(20) NOT NULL, grade VARCHAR(20) NOT NULL,
  because TEXT NOT NULL, PRIMARY KEY (id),
  FOREIGN KEY(flight_id) REFERENCES flights (id) ON DELETE CASCADE,
  FOREIGN KEY(launch_id) REFERENCES launches (id) ON DELETE CASCADE);
CREATE INDEX ix_figures_flight_id ON figures (flight_id);
CREATE TABLE charges (
  id INTEGER NOT NULL, model VARCHAR(200) NOT NULL, number INTEGER NOT NULL, pack VARCHAR(200) NOT NULL,
  date VARCHAR(10) NOT NULL, "put_back_As" FLOAT, "resting_before_V" FLOAT, "resting_after_V" FLOAT,
  resistance_ohm FLOAT, "temperature_K" FLOAT, note TEXT NOT NULL, PRIMARY KEY (id));
CREATE INDEX ix_charges_model ON charges (model);
INSERT INTO flights VALUES (7, 'Lark', 'cc', 1, 'old.igc', 'igc', '2024-08-01', '', 0, '', '', 'p2-550', '',
  NULL, 'highest', 10.0);
INSERT INTO figures VALUES (1, 7, NULL, 'scale', 1.03, 1.0, 1.06, '1', '', 'measured', 'temperature');
"""


def test_an_older_logbook_is_led_to_todays_schema_and_loses_nothing(tmp_path: Path, flight: Flight) -> None:
    file = tmp_path / "logbook.sqlite"
    with sqlite3.connect(file) as raw:
        raw.executescript(OLD)
    raw.close()
    with Logbook(logbook_url(tmp_path)) as book:
        (old,) = book.flights("Lark")
        assert (old.source_sha256, old.date, old.set_up.pack, old.landing_m) == (
            "cc",
            "2024-08-01",
            "p2-550",
            None,
        )
        assert old.scale.value == 1.03
        book.enter("Lark", [flight])
        assert len(book.flights("Lark")) == 2
    raw = sqlite3.connect(file)
    assert raw.execute("SELECT value FROM logbook WHERE key = 'schema'").fetchone() == (str(SCHEMA),)
    columns = {row[1] for row in raw.execute("PRAGMA table_info(flights)")}
    raw.close()
    assert columns == set(METADATA.tables["flights"].columns.keys())


def refused(url: str, kind: type[InputError] = InputError) -> str:
    with pytest.raises(kind) as caught, Logbook(url):
        pass
    (problem,) = caught.value.problems
    return str(problem)


def test_a_logbook_of_a_newer_program_is_refused_and_left_alone(tmp_path: Path, url: str) -> None:
    Logbook(url).close()
    with sqlite3.connect(tmp_path / "logbook.sqlite") as raw:
        raw.execute("UPDATE logbook SET value = '99'")
    raw.close()
    before = (tmp_path / "logbook.sqlite").read_bytes()
    assert "newer" in refused(url)
    assert (tmp_path / "logbook.sqlite").read_bytes() == before


def test_what_is_no_logbook_is_refused_and_left_alone(tmp_path: Path, url: str) -> None:
    file = tmp_path / "logbook.sqlite"
    file.write_bytes(b"this is a letter to my aunt, who flies gliders, and no database at all" * 20)
    assert "cannot be read as a database" in refused(url)
    assert file.read_bytes().startswith(b"this is a letter")
    file.unlink()
    with sqlite3.connect(file) as raw:
        raw.execute("CREATE TABLE recipes (name TEXT)")
    raw.close()
    assert "another database" in refused(url)


def test_other_places_are_refused_in_a_sentence(tmp_path: Path) -> None:
    assert "folder that exists" in refused(logbook_url(tmp_path, str(tmp_path / "nowhere/book.sqlite")))
    assert "URL" in refused("://")
    assert "driver" in refused("postgresql+nodriver://club@host/logbook")
    assert "driver" in refused("drawerbase://club/logbook")


def test_a_logbook_that_another_program_holds_is_waited_for_and_then_refused(
    tmp_path: Path, url: str, flight: Flight, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "WAIT_s", 0.05)
    with Logbook(url) as book:
        holder = sqlite3.connect(tmp_path / "logbook.sqlite", isolation_level=None)
        holder.execute("BEGIN IMMEDIATE")
        with pytest.raises(WriteError, match="another program"):
            book.enter("Lark", [flight])
        holder.execute("ROLLBACK")
        holder.close()
        assert book.enter("Lark", [flight]) == (flight,)


_ENTER_EIGHT = """
import sys
from glidewright.base.figure import Figure
from glidewright.domain.logbook import Flight
from glidewright.store.logbook import Logbook
url, first = sys.argv[1], int(sys.argv[2])
scale = Figure.exact(1.0, "1", "", "measured", "made up")
with Logbook(url) as book:
    for number in range(first, first + 8):
        book.enter("Lark", [Flight(source_sha256=f"{number:064x}", source_name="a.csv", scale=scale)])
"""


def test_two_programs_on_one_file_lose_nothing(url: str) -> None:
    # ranges overlap: half of the logs come from both, and both make the tables
    command = [sys.executable, "-c", _ENTER_EIGHT, url]
    programs = [subprocess.Popen([*command, str(first)], stderr=subprocess.PIPE) for first in (0, 4)]
    for program in programs:
        _, said = program.communicate(timeout=120)
        assert (program.returncode, said) == (0, b"")
    with Logbook(url) as book:
        found = [one.source_sha256 for one in book.flights("Lark")]
    assert sorted(found) == [f"{number:064x}" for number in range(12)]


def test_the_tables_compile_for_both_databases() -> None:
    for dialect in (sqlite.dialect(), postgresql.dialect()):
        for table in METADATA.sorted_tables:
            text = str(CreateTable(table).compile(dialect=dialect))
            assert f"CREATE TABLE {table.name}" in text
    own = METADATA.tables["flights"]
    text = str(sa.select(own).where(own.c.model == "Lark").compile(dialect=postgresql.dialect()))
    assert "flights.count" in text


def test_no_journal_stays_beside_the_file(tmp_path: Path, url: str, flight: Flight) -> None:
    with Logbook(url) as book:
        book.enter("Lark", [flight])
    assert [path.name for path in tmp_path.iterdir()] == ["logbook.sqlite"]


@pytest.mark.parametrize("command", ["check", "launch", "parts"])
def test_commands_without_a_logbook_never_load_the_database_library(demo_folder: Path, command: str) -> None:
    code = (
        "import sys\n"
        "from glidewright.decisions import check\n"
        "check.best_changes = lambda *_: ()\n"
        "from glidewright.faces.cli.main import main\n"
        f"main(['{command}', r'{demo_folder}'])\n"
        "print([name for name in ('sqlalchemy', 'aerofiles') if name in sys.modules], file=sys.stderr)\n"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert ran.stderr.strip().endswith("[]")


def test_a_folder_may_be_named_by_url(tmp_path: Path, flight: Flight) -> None:
    named: Callable[[str], str] = lambda text: logbook_url(tmp_path, text)  # noqa: E731
    assert named("") == f"sqlite:///{tmp_path / 'logbook.sqlite'}"
    assert named("club.sqlite") == "sqlite:///club.sqlite"
    assert named("postgresql://club@host/logbook") == "postgresql://club@host/logbook"
    with Logbook(f"sqlite:///{tmp_path / 'club.sqlite'}") as book:
        book.enter("Lark", [flight])
    assert (tmp_path / "club.sqlite").exists()
