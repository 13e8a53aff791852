"""Flights: logs of the model, read and held against what was expected, and entered into the logbook."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from glidewright.base.units import unit
from glidewright.domain.model import Model
from glidewright.faces.web.area import Area, Reply, Subject, Tell, Values
from glidewright.faces.web.inputs import Choice, Input, read_inputs

_SAID = ("temperature", "wind", "landing")


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
        "said": {name: _as_typed(name, values.get(name)) for name in _SAID},
    }
    return Reply(report.document(reading.result), extra)


def reading_of(subject: Subject, values: Values, *, accept: bool = False) -> Any:
    """A log of the folder as it is read, with the flights of the logbook beside it."""
    from glidewright.base.errors import InputError
    from glidewright.base.figure import Given
    from glidewright.decisions.read import ReadRequest, run
    from glidewright.domain.logbook import Weather
    from glidewright.store.channel_maps import read_maps
    from glidewright.store.logbook import LOGBOOK_FILE, Logbook, logbook_url
    from glidewright.store.raw_logs import kept_name, kept_raws, read_raw

    path = next((path for path in kept_raws(subject.folder) if path.name == values.get("log")), None)
    if path is None:
        raise InputError.at("Log", "must be a log of this model; none was chosen; upload one or choose one")
    raw = read_raw(path)
    earlier: Any = ()
    if (subject.folder / LOGBOOK_FILE).exists():  # looking at a log writes nothing
        with Logbook(logbook_url(subject.folder)) as book:
            earlier = book.flights(subject.model.name)
    weather = {
        field: Given(value=values[name], grade="measured")
        for name, field in (("temperature", "temperature_K"), ("wind", "headwind_m_s"))
        if values.get(name) is not None
    }
    request = ReadRequest(
        model=subject.model,
        rule=subject.rule,
        raw=raw,
        name=kept_name(raw),
        maps=read_maps(subject.folder),
        accept=accept,
        earlier=earlier,
        weather=Weather(**weather),
        landing_m=values.get("landing"),
        invented=subject.model.invented,
    )
    return run(request)


def _as_typed(name: str, value: float | None) -> str:
    """A value as it would stand in its input; empty when nothing was said."""
    one = next(entry for entry in AREA.inputs if entry.name == name)
    return "" if value is None else f"{unit(one.unit).from_si(value):.6g}"


def enter(subject: Subject, said: Mapping[str, str]) -> str:
    """Enter a log into the logbook, its channels accepted; gives what became of it, in words.

    said: log, weather and landing as the form has them. Raises InputError for what cannot be used.
    """
    from glidewright.base.errors import InputError, Problem
    from glidewright.store.entering import enter_log
    from glidewright.store.logbook import Logbook, logbook_url
    from glidewright.store.raw_logs import read_raw

    values, filled = read_inputs(AREA.inputs, said, subject.model, subject.folder)
    wrong = [Problem(one.input.title, one.problem) for one in filled if one.problem]
    if wrong:
        raise InputError(wrong)
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
    "Upload a log, see its launches, glides and lift, and let it teach.",
    group="Fly",
    order=230,
    answer=answer,
    inputs=(
        Input("log", "Log", "of this model", kind="choice", choices=logs, default=""),
        Input(
            "temperature", "Air at the ground", "empty: as the field states it", unit="°C", low=-30, high=50
        ),
        Input("wind", "Head wind at the launch", "mean of the launches", unit="m/s", low=-20, high=20),
        Input(
            "landing", "Distance from the spot", "of the last flight of the log", unit="m", low=0, high=1000
        ),
    ),
    panel="panel_flights.html",
    asks="log",
)
