"""Fair limits: what rule options do to a field of entries made of this drawer, and of those beside it."""

from collections.abc import Sequence
from pathlib import Path

from glidewright.domain.model import Model
from glidewright.faces.web.area import Area, Reply, Subject, Tell, Values
from glidewright.faces.web.beside import parts_file, parts_of
from glidewright.faces.web.inputs import Choice, Input

_OTHERS = {"second": "Second airframe", "third": "Third airframe", "fourth": "Fourth airframe"}


def classes(model: Model, folder: Path | None) -> Sequence[Choice]:
    """All classes that can be read."""
    from glidewright.store.class_files import list_classes

    del model
    return [(name, name) for name in list_classes(folder)]


def airframes(model: Model, folder: Path | None) -> Sequence[Choice]:
    """Other models of the workshop."""
    from glidewright.faces.web.folders import Workshop

    del model
    others = [] if folder is None else Workshop(folder.parent).beside(folder)
    return [("", "none"), *((name, name) for name in others)]


def answer(subject: Subject, values: Values, tell: Tell) -> Reply:
    """The report for the committee."""
    from glidewright.decisions import fair as job
    from glidewright.decisions.choosing.builds import with_shared_parts
    from glidewright.decisions.fairness.nouns import FairRequest
    from glidewright.faces.report import fair as report
    from glidewright.faces.web.folders import Workshop
    from glidewright.rules.measures import MEASURE_UNITS
    from glidewright.store.class_files import read_class
    from glidewright.store.reading import read_model
    from glidewright.store.rule_options import options_beside

    name = values["class_name"]
    rule = read_class(subject.folder, name, MEASURE_UNITS)
    shop = Workshop(subject.folder.parent)
    named = dict.fromkeys(values[place] for place in _OTHERS if values.get(place))
    models = [subject.model, *(read_model(shop.folder(other)) for other in named)]
    parts = parts_of(subject, values)
    request = FairRequest.under(
        options_beside(subject.folder, name, MEASURE_UNITS),
        models=tuple(with_shared_parts(model, parts) for model in models),
        rule=rule,
        within=values.get("within") or 0.95,
        wrong=values.get("wrong") or 0.05,
    )

    def progress(done: int, total: int) -> None:
        tell(done / max(total, 1), f"launches flown: {done} of {total}")

    tell(0.0, "putting the field together")
    return Reply(report.document(job.run(request, progress=progress)))


AREA = Area(
    "fair",
    "Fair limits",
    "What rule options do to every legal build of the drawers, before a committee votes.",
    group="Decide",
    order=120,
    answer=answer,
    inputs=(
        Input("class_name", "Class", kind="choice", choices=classes, start=lambda model: model.class_id),
        *(
            Input(place, title, kind="choice", choices=airframes, default="")
            for place, title in _OTHERS.items()
        ),
        parts_file("beside the model folders, for every drawer"),
        Input(
            "within",
            "In the field from",
            "share of the best height",
            "number",
            "%",
            default=95.0,
            low=1,
            high=99.9,
        ),
        Input(
            "wrong",
            "Wrong verdicts",
            "of a check by logger that are accepted",
            "number",
            "%",
            default=5.0,
            low=0.1,
            high=49,
        ),
    ),
    is_long=True,
)
