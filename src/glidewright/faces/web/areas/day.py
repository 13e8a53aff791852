"""A day of flying from the logbook: launches left, trend of the height, what next, and the score sheet."""

from collections.abc import Sequence
from pathlib import Path

from glidewright.domain.model import Model
from glidewright.faces.web.area import Area, Reply, Subject, Tell, Values
from glidewright.faces.web.inputs import Choice, Input


def days(model: Model, folder: Path | None) -> Sequence[Choice]:
    """The days of this model in its logbook, the last one first."""
    from glidewright.store.logbook import LOGBOOK_FILE, Logbook, logbook_url

    if folder is None or not (folder / LOGBOOK_FILE).exists():  # looking makes no logbook
        return [("", "none in the logbook yet")]
    with Logbook(logbook_url(folder)) as book:
        found = sorted({flight.date for flight in book.flights(model.name) if flight.date}, reverse=True)
    return [("", "none" if found else "none in the logbook yet"), *((day, day) for day in found)]


def answer(subject: Subject, values: Values, tell: Tell) -> Reply:
    """What one day of the logbook tells."""
    from glidewright.decisions.read import of_day
    from glidewright.faces.report import read as report
    from glidewright.store.logbook import Logbook, logbook_url

    tell(None, "reading the logbook")
    with Logbook(logbook_url(subject.folder)) as book:
        flights = book.flights(subject.model.name)
    target = values.get("target")
    result = of_day(
        subject.model, subject.rule, flights, str(values["day"]), None if target is None else float(target)
    )
    return Reply(report.document(result))


AREA = Area(
    "day",
    "Contest day",
    "Launches left in the pack, the trend of the height, what next, and the score sheet.",
    group="Fly",
    order=235,
    answer=answer,
    inputs=(
        Input("day", "Day", "with flights in the logbook", kind="choice", choices=days, default=""),
        Input(
            "target", "Target time", "of the task; empty: as the class has it", unit="s", low=1, high=36000
        ),
    ),
    asks="day",
)
