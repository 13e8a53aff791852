"""What a worker process does for the pages: read the folder, compute, write the report as HTML."""

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from glidewright.base.errors import InputError, Problem
from glidewright.faces.web.area import Subject, Tell, areas
from glidewright.faces.web.folders import revision

_KEPT_SUBJECTS = 8


def answer(area: str, folder: str, wanted: str, values: Mapping[str, Any], tell: Tell) -> dict[str, Any]:
    """The report of an area as pieces of HTML, with the severities of what was found.

    wanted: the revision of the folder that is asked about. Raises InputError when it is another one by now.
    """
    from glidewright.faces.report.render_html import document_parts  # noqa: PLC0415 - the server does not need it

    job = areas()[area]
    subject = _read(folder, wanted)
    if job.answer is None:
        raise ValueError(f"{area} gives no report")
    reply = job.answer(subject, values, tell)
    return {"parts": document_parts(reply.document, folds_details=True), "extra": dict(reply.extra)}


def made(area: str, folder: str, wanted: str, ending: str, tell: Tell) -> bytes:
    """A file of an area for a download."""
    del tell
    job = areas()[area]
    if job.make is None:
        raise ValueError(f"{area} makes no file")
    return job.make(_read(folder, wanted), ending)


def judge_log(folder: str, wanted: str, name: str, data: bytes, tell: Tell) -> None:
    """Raise InputError for what is no log that can be read; nothing is kept."""
    from glidewright.decisions.read import ReadRequest, run  # noqa: PLC0415 - the server does not need it
    from glidewright.domain.raw_log import RawLog  # noqa: PLC0415 - the same
    from glidewright.store.raw_logs import kept_name  # noqa: PLC0415 - the same

    del tell
    subject = _read(folder, wanted)
    raw = RawLog.of(name, data)
    run(ReadRequest(model=subject.model, rule=subject.rule, raw=raw, name=kept_name(raw)))


def enter_log(folder: str, wanted: str, said: Mapping[str, str], tell: Tell) -> str:
    """Enter a log of the folder into its logbook; what became of it, in words."""
    from glidewright.faces.web.areas.flights import enter  # noqa: PLC0415 - the server does not need it

    del tell
    return enter(_read(folder, wanted), said)


def scene(area: str, folder: str, wanted: str, values: Mapping[str, Any], tell: Tell) -> dict[str, Any]:
    """What the panel of an area shows at first."""
    del tell
    job = areas()[area]
    if job.scene is None:
        raise ValueError(f"{area} has no panel")
    return dict(job.scene(_read(folder, wanted), values))


def live(area: str, folder: str, wanted: str, values: Mapping[str, Any], tell: Tell) -> dict[str, Any]:
    """The numbers of an area while something moves."""
    del tell
    job = areas()[area]
    if job.live is None:
        raise ValueError(f"{area} has nothing that moves")
    return dict(job.live(_read(folder, wanted), values))


def warm(tell: Tell) -> None:
    """Compile or load the kernels and the chart engine, so that the first page does not wait for them."""
    from glidewright.data import packaged  # noqa: PLC0415 - heavy, and only here
    from glidewright.decisions.first_run import COMPILE_TIME_s, must_compile  # noqa: PLC0415 - the same
    from glidewright.decisions.launch import LaunchRequest, run  # noqa: PLC0415 - the same
    from glidewright.faces.report.charts import chart_svg  # noqa: PLC0415 - the same
    from glidewright.faces.report.document import Axis, Line, LineChart, Panel  # noqa: PLC0415 - the same
    from glidewright.store.reading import read_model  # noqa: PLC0415 - the same

    if must_compile():
        tell(None, f"compiling the flight kernels, about {COMPILE_TIME_s:.0f} seconds, once")
    run(LaunchRequest(model=read_model(Path(str(packaged("demo", "hill-demo")))), draws=16))
    line = Line("", (0.0, 1.0), (0.0, 1.0))
    chart_svg(LineChart("warm", "", "", Axis("", ""), (Panel(Axis("", ""), (line,)),), None))
    tell(1.0, "ready")


def _read(folder: str, wanted: str) -> Subject:
    place = Path(folder)
    if revision(place) != wanted:
        raise InputError(
            Problem(
                place.name, "must stay as it is while it is computed; it was changed meanwhile; ask again"
            )
        )
    return _subject(place, wanted)


@lru_cache(maxsize=_KEPT_SUBJECTS)
def _subject(folder: Path, wanted: str) -> Subject:
    from glidewright.rules.measures import MEASURE_UNITS  # noqa: PLC0415 - the server does not need it
    from glidewright.store.class_files import read_class  # noqa: PLC0415 - the same
    from glidewright.store.reading import read_model  # noqa: PLC0415 - the same

    model = read_model(folder)
    rule = read_class(folder, model.class_id, MEASURE_UNITS) if model.class_id else None
    return Subject(folder, wanted, model, rule)
