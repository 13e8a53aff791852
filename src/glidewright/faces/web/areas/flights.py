"""Flights: logs of the model, read and held against what was expected, and entered into the logbook."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from glidewright.domain.model import Model
from glidewright.faces.web.area import Area, Reply, Subject, Tell, Values
from glidewright.faces.web.inputs import Choice, Input


def logs(model: Model, folder: Path | None) -> Sequence[Choice]:
    """The logs that lie in the model folder."""
    from glidewright.store.raw_logs import kept_raws

    del model
    found = [] if folder is None else [(path.name, path.name) for path in kept_raws(folder)]
    return [("", "none"), *found]


def answer(subject: Subject, values: Values, tell: Tell) -> Reply:
    """What one log tells."""
    from glidewright.faces.report import read as report

    tell(None, "finding launches, glides and lift")
    reading = reading_of(subject, values)
    channels = reading.result.channels
    asks = () if channels is None else tuple(channels.questions)
    extra = {
        "template": "enter_log.html",
        "log": values["log"],
        "may_enter": reading.may_enter,
        "questions": asks,
    }
    return Reply(report.document(reading.result), extra)


def reading_of(subject: Subject, values: Values, *, accept: bool = False) -> Any:
    """A log of the folder as it is read, with the flights of the logbook beside it."""
    from glidewright.base.errors import InputError
    from glidewright.decisions.read import ReadRequest, run
    from glidewright.store.channel_maps import read_maps
    from glidewright.store.logbook import LOGBOOK_FILE, Logbook, logbook_url
    from glidewright.store.raw_logs import kept_name, kept_raws, read_raw

    path = next((path for path in kept_raws(subject.folder) if path.name == values.get("log")), None)
    if path is None:
        raise InputError.at("Log", "must be a log of this model; none was chosen; load one up or choose one")
    raw = read_raw(path)
    earlier: Any = ()
    if (subject.folder / LOGBOOK_FILE).exists():  # looking at a log writes nothing
        with Logbook(logbook_url(subject.folder)) as book:
            earlier = book.flights(subject.model.name)
    request = ReadRequest(
        model=subject.model,
        rule=subject.rule,
        raw=raw,
        name=kept_name(raw),
        maps=read_maps(subject.folder),
        accept=accept,
        earlier=earlier,
        invented=subject.model.invented,
    )
    return run(request)


def enter(subject: Subject, values: Values) -> str:
    """Enter a log into the logbook, its channels accepted; gives what became of it, in words."""
    from glidewright.store.entering import enter_log
    from glidewright.store.logbook import Logbook, logbook_url
    from glidewright.store.raw_logs import read_raw

    reading = reading_of(subject, values, accept=True)
    raw = read_raw(subject.folder / "flights" / str(values["log"]))
    with Logbook(logbook_url(subject.folder)) as book:
        entered = enter_log(
            subject.folder, book, subject.model.name, raw, reading.flights, reading.channel_map
        )
    count = len(entered.new)
    return (
        f"{count} {'flight' if count == 1 else 'flights'} entered" if count else "was in the logbook already"
    )


AREA = Area(
    "flights",
    "Flights",
    "Load a log up, see its launches, glides and lift, and let it teach.",
    group="Fly",
    order=230,
    answer=answer,
    inputs=(Input("log", "Log", "of this model", kind="choice", choices=logs, default=""),),
    panel="panel_flights.html",
    asks="log",
)
