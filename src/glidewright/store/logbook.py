"""The logbook of a model: flights with their launches, and charges of packs, in one database.

``logbook.sqlite`` in the model folder unless a URL names another database; a club may keep one on a server,
where flights go by the name of their model. The file of a folder belongs to its model, whatever its name.
Every write is one transaction that holds from its first look to its end, so that two programs on one file
wait for each other and nothing is entered by half. The journal is the one that SQLite removes after every
write: the folder can be mailed as it is, and may lie on a network drive. Only commands that open a logbook
import this module: the others start without SQLAlchemy.
"""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Self

import sqlalchemy as sa
from pydantic import ValidationError

from glidewright.base.errors import InputError, Problem, WriteError, nearest
from glidewright.domain.logbook import Flight, PackCharge

from .logbook_rows import charge_row, figure_rows, flight_of, flight_row, launch_figure_rows, launch_row
from .logbook_tables import CHARGES, FIGURES, FLIGHTS, HEAD, LAUNCHES, SCHEMA, bring_up_to_date

LOGBOOK_FILE = "logbook.sqlite"
WAIT_s = 10.0
"""How long one program waits for another one that writes."""
_BROKEN = "must be a logbook; it cannot be read as a database; restore it from a copy or remove it"


def logbook_url(folder: Path, stated: str = "") -> str:
    """The database of a model folder: the stated URL, or the file in the folder."""
    if stated:
        return stated if "://" in stated else f"sqlite:///{Path(stated)}"
    return f"sqlite:///{folder / LOGBOOK_FILE}"


class Logbook:
    """An open logbook; use it as a context manager."""

    def __init__(self, url: str) -> None:
        """Open and bring up to date, or make it.

        Raises InputError for a URL that is none, a database of a newer program or a file that is no logbook,
        WriteError when another program holds it or it cannot be written.
        """
        self.where = url.removeprefix("sqlite:///")
        self._is_of_folder = Path(self.where).name == LOGBOOK_FILE
        self._engine = _engine(url, self.where)
        try:
            with self._write() as connection:
                self._up_to_date(connection)
        except BaseException:
            self._engine.dispose()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()

    def _own(self, table: sa.Table, model: str) -> sa.ColumnElement[bool]:
        """The rows of a model; in the file of a folder all of them, whatever the model was called then."""
        return sa.true() if self._is_of_folder else table.c.model == model

    # ------------------------------------------------------------------ flights

    def flights(self, model: str) -> tuple[Flight, ...]:
        """Every flight of a model, in order of time."""
        with self._write() as connection:
            own = sa.select(FLIGHTS).where(self._own(FLIGHTS, model))
            rows = connection.execute(
                own.order_by(FLIGHTS.c.date, FLIGHTS.c.start_utc, FLIGHTS.c.part, FLIGHTS.c.id)
            )
            flights = [dict(row) for row in rows.mappings()]
            ids = sa.select(FLIGHTS.c.id).where(self._own(FLIGHTS, model))
            found = connection.execute(sa.select(LAUNCHES).where(LAUNCHES.c.flight_id.in_(ids)))
            launches = [dict(row) for row in found.mappings()]
            found = connection.execute(sa.select(FIGURES).where(FIGURES.c.flight_id.in_(ids)))
            figures = [dict(row) for row in found.mappings()]
        try:
            return tuple(flight_of(row, launches, figures) for row in flights)
        except (ValidationError, LookupError, TypeError) as broken:
            raise self._refused(_BROKEN) from broken

    def has(self, model: str, source_sha256: str, part: int) -> bool:
        """Whether a flight is in already."""
        with self._write() as connection:
            return self._id_of(connection, FLIGHTS, model, source_sha256, part) is not None

    def enter(self, model: str, flights: Sequence[Flight]) -> tuple[Flight, ...]:
        """Enter flights, all or none of them; those that are in already stay as they are.

        The answer holds those that are new. Raises WriteError when it cannot be written.
        """
        new = []
        with self._write() as connection:
            for flight in flights:
                if self._id_of(connection, FLIGHTS, model, flight.source_sha256, flight.part) is not None:
                    continue
                self._insert(connection, model, flight)
                new.append(flight)
        return tuple(new)

    def change(
        self, model: str, source_sha256: str, part: int, *, landing_m: float | None, is_charged: bool | None
    ) -> None:
        """State the landing, or that the pack was charged, of a flight that is in; None leaves it alone."""
        stated = {"landing_m": landing_m, "is_charged": is_charged}
        values = {name: value for name, value in stated.items() if value is not None}
        if not values:
            return
        with self._write() as connection:
            number = self._id_of(connection, FLIGHTS, model, source_sha256, part)
            if number is not None:
                connection.execute(sa.update(FLIGHTS).where(FLIGHTS.c.id == number).values(**values))

    def forget(self, model: str, source_sha256: str) -> int:
        """Take every flight of a log out again; how many there were."""
        own = self._own(FLIGHTS, model) & (FLIGHTS.c.source_sha256 == source_sha256)
        with self._write() as connection:
            ids = [row[0] for row in connection.execute(sa.select(FLIGHTS.c.id).where(own))]
            for table in (FIGURES, LAUNCHES):
                connection.execute(sa.delete(table).where(table.c.flight_id.in_(ids)))
            connection.execute(sa.delete(FLIGHTS).where(FLIGHTS.c.id.in_(ids)))
        return len(ids)

    def _insert(self, connection: sa.Connection, model: str, flight: Flight) -> None:
        number = _inserted(connection, FLIGHTS, {"model": model, "note": "", **flight_row(flight)})
        rows = figure_rows(number, flight)
        for place, launch in enumerate(flight.launches):
            of = _inserted(connection, LAUNCHES, {"flight_id": number, **launch_row(launch)})
            rows += launch_figure_rows(number, of, launch, flight.flight_time(place))
        connection.execute(sa.insert(FIGURES), rows)

    def _id_of(
        self, connection: sa.Connection, table: sa.Table, model: str, source_sha256: str, part: int
    ) -> int | None:
        is_this = (table.c.source_sha256 == source_sha256) & (table.c.part == part)
        found: int | None = connection.execute(
            sa.select(table.c.id).where(self._own(table, model) & is_this)
        ).scalar()
        return found

    # ------------------------------------------------------------------ packs

    def keep_charges(self, model: str, charges: Sequence[PackCharge]) -> None:
        """Make the charges of a model those of its ``charges.toml``."""
        with self._write() as connection:
            connection.execute(sa.delete(CHARGES).where(self._own(CHARGES, model)))
            rows = [charge_row(model, number, charge) for number, charge in enumerate(charges, start=1)]
            if rows:
                connection.execute(sa.insert(CHARGES), rows)

    def charges(self, model: str) -> tuple[Mapping[str, Any], ...]:
        """The charges of a model as rows, in their order: what other programs see of them."""
        own = sa.select(CHARGES).where(self._own(CHARGES, model)).order_by(CHARGES.c.number)
        with self._write() as connection:
            return tuple(dict(row) for row in connection.execute(own).mappings())

    # ------------------------------------------------------------------ the database

    def _up_to_date(self, connection: sa.Connection) -> None:
        tables = sa.inspect(connection).get_table_names()
        if HEAD.name not in tables:
            if tables:
                raise self._refused("must be a logbook; it is another database; give another file")
            bring_up_to_date(connection, None)
            return
        stated = connection.execute(sa.select(HEAD.c.value).where(HEAD.c.key == "schema")).scalar()
        if stated is None or not str(stated).isdecimal() or int(stated) < 1:
            raise self._refused(f"must state its schema; {stated!r} came; restore it from a copy")
        found = int(stated)
        if found > SCHEMA:
            raise self._refused(
                f"must be of schema {SCHEMA} at most for this version; {found} came, from a newer one; "
                "update glidewright to read it"
            )
        if found < SCHEMA:
            bring_up_to_date(connection, found)

    def _refused(self, words: str) -> InputError:
        return InputError(Problem(self.where, words))

    @contextmanager
    def _write(self) -> Iterator[sa.Connection]:
        """A transaction that is alone from its begin; what the database refuses is said in a sentence."""
        try:
            with self._engine.begin() as connection:
                yield connection
        except sa.exc.OperationalError as refused:
            raise WriteError(Problem(self.where, _sentence(refused))) from refused
        except (sa.exc.DatabaseError, UnicodeDecodeError) as refused:
            raise self._refused(_BROKEN) from refused


def _inserted(connection: sa.Connection, table: sa.Table, row: Mapping[str, Any]) -> int:
    """The number that the database gives to a new row."""
    key = connection.execute(sa.insert(table).values(**row)).inserted_primary_key
    assert key is not None  # every table numbers its rows
    return int(key[0])


def _engine(url: str, where: str) -> sa.Engine:
    try:
        made = sa.engine.make_url(url)
        is_file = made.get_backend_name() == "sqlite"
        options = {"connect_args": {"timeout": WAIT_s}} if is_file else {"pool_pre_ping": True}
        engine = sa.create_engine(made, **options)
    except (sa.exc.NoSuchModuleError, ModuleNotFoundError) as refused:
        name = url.partition(":")[0]
        hint = nearest(name.partition("+")[0], ["sqlite", "postgresql"])
        words = f"must name a database that can be opened here; {name!r} needs a driver that is not installed"
        raise InputError(Problem("logbook", f"{words}; install it, or use a file; {hint}")) from refused
    except sa.exc.ArgumentError as refused:
        words = "must be a file or the URL of a database, as in postgresql://club@host/logbook"
        raise InputError(Problem("logbook", f"{words}; {url!r} came")) from refused
    if is_file:
        if made.database and not Path(made.database).parent.is_dir():
            words = "must lie in a folder that exists; it does not; correct the name"
            raise InputError(Problem(where, words))
        _alone_from_the_begin(engine)
    return engine


def _alone_from_the_begin(engine: sa.Engine) -> None:
    """Let every transaction take the write lock at once, and keep the rows of a flight together."""

    def on_connect(connection: Any, _: object) -> None:
        connection.isolation_level = None  # the driver must not begin transactions of its own
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA synchronous = FULL")

    def on_begin(connection: Any) -> None:
        connection.exec_driver_sql("BEGIN IMMEDIATE")

    sa.event.listen(engine, "connect", on_connect)
    sa.event.listen(engine, "begin", on_begin)


def _sentence(refused: Exception) -> str:
    said = str(getattr(refused, "orig", refused)).strip().splitlines()[0]
    if "locked" in said or "busy" in said:
        words = "must be free to be written; another program has held it for"
        return f"{words} {WAIT_s:.0f} s; end that program or try again"
    if "readonly" in said or "read-only" in said or "unable to open" in said:
        return "must be writable; writing is not allowed there; change the permissions or use another folder"
    if "full" in said:
        return "must be written whole and was not, nothing was changed; the disk is full; free some space"
    return f"must be a database that answers; it said: {said}; check the address, or use a file"
