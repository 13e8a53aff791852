"""Find parts: the drawer searched, and what is missing in it."""

from collections.abc import Sequence
from pathlib import Path

from glidewright.domain.model import Model
from glidewright.faces.web.area import Area, Reply, Subject, Tell, Values
from glidewright.faces.web.inputs import Choice, Input


def kinds(model: Model, folder: Path | None) -> Sequence[Choice]:
    """Every kind that lies in the drawer."""
    del folder
    found = {part.kind: part.kind_title for part in model.drawer}
    return [("", "any"), *sorted(found.items(), key=lambda pair: pair[1])]


def answer(subject: Subject, values: Values, tell: Tell) -> Reply:
    """What fits the search, and which value is missing where."""
    from glidewright.decisions import parts as job
    from glidewright.faces.report import parts as report

    tell(None, "looking through the drawer")
    request = job.Request(
        query=str(values.get("query") or ""),
        kind=str(values.get("kind") or ""),
        on_hand=bool(values.get("on_hand")),
        ready_in_days=values.get("ready_in"),
    )
    return Reply(report.document(job.run(subject.model, request)))


AREA = Area(
    "parts",
    "Find parts",
    "The drawer searched by words and conditions, and what nobody stated of a part yet.",
    group="Decide",
    order=90,
    answer=answer,
    inputs=(
        Input("query", "Words or conditions", "such as folding, mass_g<40", "text", default=""),
        Input("kind", "Kind", kind="choice", choices=kinds, default=""),
        Input("ready_in", "At the door within", "days; any time when empty", "number", low=0, high=1000),
        Input("on_hand", "Only what lies in the drawer", kind="switch", default=False),
    ),
    start_word="Search",
)
