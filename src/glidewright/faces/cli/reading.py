"""Reading a log from the command line: what the pilot says of it, the question on its columns, entering."""

import sys
from contextlib import nullcontext
from dataclasses import dataclass
from pathlib import Path

from glidewright.base.door import read_noun
from glidewright.base.errors import InputError, Problem
from glidewright.decisions.read import Reading, ReadRequest, nothing_read, of_day, run
from glidewright.decisions.reading.nouns import LoggedFlight, ReadResult
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.logbook import Flight, SetUp, Weather
from glidewright.domain.model import Model
from glidewright.domain.raw_log import RawLog
from glidewright.faces.cli.first_run import say_first_run
from glidewright.faces.cli.model_and_class import model_and_class
from glidewright.faces.cli.output import write
from glidewright.store.channel_maps import read_maps
from glidewright.store.entering import enter_log, forget_log
from glidewright.store.logbook import LOGBOOK_FILE, Logbook, logbook_url
from glidewright.store.raw_logs import kept_name, read_raw

_YES = ("y", "yes", "j", "ja", "o", "oui", "s", "si", "sì")


@dataclass(frozen=True)
class Pilot:
    """What only the pilot knows of a flight, in the units of the command line."""

    day: str = ""
    pack: str = ""
    propeller: str = ""
    is_charged: bool | None = None
    temperature_C: float | None = None
    wind_m_s: float | None = None
    mass_g: float | None = None
    landing_m: float | None = None
    target_time_s: float | None = None


def told_by(
    folder: Path,
    file: Path | None,
    pilot: Pilot,
    place: str,
    *,
    accept: bool,
    look: bool,
    forget: bool,
    may_ask: bool,
) -> ReadResult:
    """What a log tells, entered; without a log what a day of the logbook tells.

    place: file or URL of the logbook, empty for that of the folder; accept: its columns are read as shown;
    look: nothing is written; forget: the log is taken out; may_ask: a person may be asked. Raises InputError.
    """
    model, rule = model_and_class(folder)
    if file is None and not pilot.day:
        message = "must be a log, or --day a day of the logbook; neither came; name one of them"
        raise InputError(Problem("FILE", message))
    if file is None and forget:
        raise InputError(Problem("FILE", "must be the log that is to be taken out; none came; name it"))
    say_first_run()
    # who only looks leaves no new logbook behind
    has_book = bool(place) or not look or (folder / LOGBOOK_FILE).exists()
    with Logbook(logbook_url(folder, place)) if has_book else nullcontext() as book:
        if file is None:
            flights = () if book is None else book.flights(model.name)
            return of_day(model, rule, flights, pilot.day, pilot.target_time_s)
        if forget and book is not None:
            return _forgotten(folder, model, file, book)
        return _read_and_enter(
            folder, model, rule, file, book, pilot, accept=accept, may_write=not look, may_ask=may_ask
        )


def _read_and_enter(
    folder: Path,
    model: Model,
    rule: ClassLimits | None,
    file: Path,
    book: Logbook | None,
    pilot: Pilot,
    *,
    accept: bool,
    may_write: bool,
    may_ask: bool,
) -> ReadResult:
    """Read a log and enter it unless it is only looked at, or nobody has accepted how it is read."""
    raw = read_raw(file)
    earlier = book.flights(model.name) if book is not None else ()
    request = _request(folder, model, rule, raw, earlier, pilot, accept=accept)
    reading = run(request)
    if not reading.may_enter and may_write and may_ask and _is_talk() and _ask(reading):
        reading = run(request.model_copy(update={"accept": True}))
    result = reading.result
    if not may_write or book is None:
        return result.model_copy(update={"entered": "only looked at: nothing was entered"})
    if not reading.may_enter:
        words = "not entered: nobody has accepted yet how the columns are read"
        step = "look at the channels of the log; if they are right, run the same again with --accept-channels"
        return result.model_copy(update={"entered": words, "next_steps": (step,)})
    entered = enter_log(folder, book, model.name, raw, reading.flights, reading.channel_map)
    for flight in reading.flights:
        if flight not in entered.new:
            book.change(
                model.name,
                flight.source_sha256,
                flight.part,
                landing_m=pilot.landing_m,
                is_charged=pilot.is_charged,
            )
    return _told(result, folder, entered.path, entered.new)


def _forgotten(folder: Path, model: Model, file: Path, book: Logbook) -> ReadResult:
    """Take a log out of the logbook again."""
    raw = read_raw(file)
    count = forget_log(folder, book, model.name, raw)
    flights = "1 flight" if count == 1 else f"{count} flights"
    words = f"taken out of the logbook: {flights}, and the copy of the log"
    return nothing_read(model, raw.name, words, f"let the others teach anew: glidewright calibrate {folder}")


def _request(
    folder: Path,
    model: Model,
    rule: ClassLimits | None,
    raw: RawLog,
    earlier: tuple[Flight, ...],
    pilot: Pilot,
    *,
    accept: bool,
) -> ReadRequest:
    _check(pilot)
    air = {"temperature_C": pilot.temperature_C, "headwind_m_per_s": pilot.wind_m_s}
    weather = read_noun(Weather, {k: v for k, v in air.items() if v is not None}, "read", "measured")
    parts = {"pack": pilot.pack, "propeller": pilot.propeller}
    mass = {} if pilot.mass_g is None else {"mass_g": pilot.mass_g}
    return ReadRequest(
        model=model,
        rule=rule,
        raw=raw,
        name=kept_name(raw),
        maps=read_maps(folder),
        accept=accept,
        earlier=earlier,
        date=pilot.day,
        set_up=read_noun(SetUp, {**parts, **mass}, "read", "measured"),
        weather=weather,
        is_charged=pilot.is_charged,
        landing_m=pilot.landing_m,
        target_time_s=pilot.target_time_s,
        invented=model.invented,
    )


def _check(pilot: Pilot) -> None:
    for name, value in (("--landing", pilot.landing_m), ("--target", pilot.target_time_s)):
        if value is not None and not 0.0 <= value < 1e5:
            raise InputError(Problem(name, f"must be a number from 0; {value:g} came; correct it"))


def _is_talk() -> bool:
    """Whether a person sits at both ends."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def _ask(reading: Reading) -> bool:
    channels = reading.result.channels
    assert channels is not None  # only a log of columns is not accepted
    lines = [f"  {row.place:3d}  {row.header}: {row.channel}, {row.unit}\n" for row in channels.rows]
    lines += [f"  ? {question}\n" for question in channels.questions]
    write(sys.stdout, "The columns of this log are read so:\n" + "".join(lines))
    write(sys.stdout, "Is that right? It will be kept for every log with this header. [y/N] ")
    return sys.stdin.readline().strip().lower() in _YES


def _told(result: ReadResult, folder: Path, path: Path, new: tuple[Flight, ...]) -> ReadResult:
    parts = {flight.part for flight in new}
    flights: tuple[LoggedFlight, ...] = tuple(
        flight.model_copy(update={"is_new": flight.part in parts}) for flight in result.flights
    )
    launches = sum(len(flight.launches) for flight in new)
    if new:
        what = "1 flight" if len(new) == 1 else f"{len(new)} flights"
        words = f"entered {what} with {launches} launch{'es' if launches != 1 else ''} as flights/{path.name}"
        steps: tuple[str, ...] = (f"let it teach: glidewright calibrate {folder}",)
    else:
        words, steps = f"was in the logbook already, as flights/{path.name}; nothing was entered twice", ()
    return result.model_copy(update={"flights": flights, "entered": words, "next_steps": steps})
