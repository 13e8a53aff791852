"""Choose parts: the builds that nothing beats on what one wants, one of them to be put into the model."""

from datetime import date
from typing import Any

from glidewright.domain.model import Model
from glidewright.faces.web.area import Area, Reply, Subject, Tell, Values
from glidewright.faces.web.beside import parts_file, parts_of
from glidewright.faces.web.inputs import Input

_GOALS = (
    ("height", "Launch height", True),
    ("launches", "Launches per charge", True),
    ("cost", "Cost of new parts", True),
    ("mass", "Mass", False),
    ("margin", "Least margin", False),
    ("days", "Ready soon", False),
    ("purchases", "Few purchases", False),
)
_PARTS_FILE = "parts/power.toml"


def answer(subject: Subject, values: Values, tell: Tell) -> Reply:
    """The report of the search, and what each build would change in the folder."""
    from glidewright.decisions import choose as job
    from glidewright.decisions.choosing.builds import with_more_parts
    from glidewright.domain.day import day_of
    from glidewright.faces.report import choose as report

    parts = parts_of(subject, values, [part.id for part in subject.model.drawer])
    request = job.ChooseRequest(
        model=subject.model,
        rule=subject.rule,
        parts=parts,
        goals=tuple(name for name, _, _ in _GOALS if values.get(f"goal_{name}")),
        needs=tuple(word.strip() for word in str(values.get("needs") or "").split(",") if word.strip()),
        buy=None if values.get("buy") is None else int(values["buy"]),
        today=date.today(),
        by=day_of(str(values.get("by") or ""), "Parts there by"),
        chance=values.get("chance"),
        simulated=int(values.get("simulated") or 100),
    )

    def progress(told: job.Progress) -> None:
        tell(None, f"{told.stage}: {told.done}")

    tell(None, "putting builds together")
    result = job.run(request, progress=progress)
    whole = with_more_parts(subject.model, parts)
    builds = [
        {
            "words": "; ".join(choice.does) or "as it is",
            "title": " + ".join(choice.parts),
            "changes": _changes(subject.model, whole, choice.build),
        }
        for choice in result.choices
        if choice.does
    ]
    return Reply(report.document(result), {"template": "pick_build.html", "builds": builds})


def _changes(model: Model, whole: Model, build: Any) -> dict[str, Any]:
    """What the folder must say for a build: keys to set, items and parts to add, in units of the files.

    whole: the model with all parts that the search had.
    """
    from glidewright.decisions.choosing.builds import model_of
    from glidewright.store.writing import table_of

    old = {item.name: item for item in model.items}
    known = {part.id for part in model.drawer}
    found: dict[str, Any] = {"set": [], "items": [], "parts": []}
    for item in model_of(whole, build).items:
        part, before = item.part, old.get(item.name)
        x_mm = None if part.x_m is None else round(1e3 * part.x_m.value, 1)
        if before is None:
            mass_g = 0.0 if part.mass_kg is None else round(1e3 * part.mass_kg.value, 1)
            place = {"x_mm": x_mm, "y_mm": 0, "z_mm": 0}
            own = {
                "id": item.name.replace(" ", "-"),
                "title": item.name,
                "group": "ballast",
                "mass_g": mass_g,
            }
            found["items"].append(own | place)
            continue
        if part.id != before.part.id:
            found["set"].append([["fitted", item.name, "part"], part.id])
            if part.id not in known:
                found["parts"].append([_PARTS_FILE, part.kind, table_of(part, "quoted")])
        if part.x_m != before.part.x_m:
            found["set"].append([["fitted", item.name, "x_mm"], x_mm])
    return found


AREA = Area(
    "choose",
    "Choose parts",
    "Which parts make the better model; under all limits, with the money you want to spend.",
    group="Decide",
    order=100,
    answer=answer,
    inputs=(
        parts_file("of a file beside the model folders, with those of the drawer"),
        *(Input(f"goal_{name}", title, kind="switch", default=usual) for name, title, usual in _GOALS),
        Input(
            "needs",
            "Must be reached",
            "such as launches>=6, mass<=600; several with commas",
            "text",
            default="",
        ),
        Input(
            "buy",
            "Buy at most",
            "different parts; any number when empty",
            "number",
            default=None,
            low=0,
            high=50,
        ),
        Input("by", "Parts there by", "a day as 2030-05-01; any day when empty", "text", default=""),
        Input(
            "chance",
            "Chance to keep every limit",
            "that of each limit when empty",
            "number",
            "%",
            default=None,
            low=50,
            high=99,
        ),
        Input("simulated", "Builds flown with spread", "at most", "number", default=100, low=1, high=10000),
    ),
    is_long=True,
    start_word="Search",
    switches="Compare builds by",
)
