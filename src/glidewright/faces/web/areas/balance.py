"""Balance: drag things along the drawing and see point, range and chance move; and the report."""

from functools import lru_cache
from typing import Any

from glidewright.faces.web.area import Area, Reply, Subject, Tell, Values
from glidewright.faces.web.inputs import Input

_KEPT = 4
_MOVES = "moves"


def answer(subject: Subject, values: Values, tell: Tell) -> Reply:
    """The report of the balance, with the ways into the range."""
    from glidewright.decisions import balance as job
    from glidewright.decisions.drawing_geometry import drawing_geometry
    from glidewright.faces.report import balance as report

    del values
    tell(None, "looking for the lightest way into the range")
    result = job.run(job.BalanceRequest(model=subject.model, rule=subject.rule))
    along, _, up = (one.figure for one in result.centre)
    drawing = drawing_geometry(subject.model, along, up.value or 0.0, result.stability.neutral_point_x)
    return Reply(report.document(result, drawing))


def live(subject: Subject, values: Values) -> dict[str, Any]:
    """Point and chance with things moved."""
    from glidewright.base.wording import chance_text, plain_text
    from glidewright.faces.report.html_words import figure_html, sign_html

    moved = _mover(subject).at(_moves(values), values.get("ballast") or 0.0, values.get("ballast_x") or 0.0)
    centre = moved.centre_x
    words = {
        "inside": "inside its range",
        "in front": f"{plain_text(moved.miss_m, 'mm')} in front of its range: nose-heavy",
        "behind": f"{plain_text(moved.miss_m, 'mm')} behind its range: tail-heavy",
        "unknown": "no range is known",
    }[moved.place]
    sign = sign_html("✓", "good") if moved.place == "inside" else sign_html("✕", "alarm")
    return {
        "centre": [None if n is None else round(1e3 * n, 3) for n in (centre.low, centre.value, centre.high)],
        "place": moved.place,
        "words": f"centre of gravity {words}",
        "outcome": [
            {"name": "centre", "title": "Centre of gravity", "html": figure_html(centre)},
            {"name": "place", "title": "It lies", "html": f"{sign}{words}"},
            {"name": "chance", "title": "Chance to be inside", "html": chance_text(moved.chance)},
            {"name": "mass", "title": "Mass", "html": figure_html(moved.mass)},
        ],
    }


def scene(subject: Subject, values: Values) -> dict[str, Any]:
    """The drawing with a handle, and what can be moved."""
    from glidewright.decisions.drawing_geometry import drawing_geometry
    from glidewright.faces.report.drawing_drag import drag_drawing

    mover = _mover(subject)
    now = mover.at({})
    balance = mover.known.balance
    drawing = drawing_geometry(subject.model, now.centre_x, float(balance.centre_m[:, 2].mean()))
    if drawing is None or now.centre_x.value is None:
        return {"no_drawing": "the folder states no shape to draw: add [[panel]] and [body] to model.toml"}
    drawn = drag_drawing(drawing, mover.edges, now.centre_x.value, mover.ends)
    drawer = {part.id for part in subject.model.drawer}
    fitted = {item.name for item in subject.model.items if item.part.id in drawer}
    items = [
        {
            "name": one.name,
            "kind": one.kind,
            "table": "fitted" if one.name in fitted else "item",
            "x": round(1e3 * one.x_m, 1),
            "bays": [[name, round(1e3 * first, 1), round(1e3 * last, 1)] for name, first, last in one.bays],
        }
        for one in mover.movable()
    ]
    return {
        "drawing_svg": drawn.svg,
        "frame": drawn.frame,
        "items": sorted(items, key=lambda one: (one["table"] == "item", one["kind"] != "pack")),
        "ends": [round(1e3 * end, 1) for end in mover.ends],
        "range": None if mover.edges is None else [round(1e3 * edge, 1) for edge in mover.edges],
        "range_source": mover.range_source,
        "now": live(subject, values),
        "places": {name: round(1e3 * x_m, 1) for name, x_m in _moves(values).items()},
    }


def _moves(values: Values) -> dict[str, float]:
    """Places in metres by item, from ``pack@-90;controller@-60`` in millimetres; no number, no place."""
    found = {}
    for word in str(values.get(_MOVES) or "").split(";"):
        name, _, place = word.rpartition("@")
        try:
            found[name] = 1e-3 * float(place)
        except ValueError:
            continue
    return {name: x_m for name, x_m in found.items() if name}


def _mover(subject: Subject) -> Any:
    """The model made ready for moving, kept while the folder stays as it is."""
    from glidewright.decisions.move import MoveRequest, prepare_moves

    kept = _kept(str(subject.folder), subject.revision)
    if not kept:
        kept.append(prepare_moves(MoveRequest(model=subject.model, rule=subject.rule)))
    return kept[0]


@lru_cache(maxsize=_KEPT)
def _kept(folder: str, revision: str) -> list[Any]:
    """A place to keep what was prepared for a folder at a revision."""
    del folder, revision
    return []


AREA = Area(
    "balance",
    "Balance",
    "Drag the pack, a part or ballast along the drawing, and see where the balance goes.",
    order=20,
    answer=answer,
    inputs=(
        Input(_MOVES, "Moved", kind="text", default=""),
        Input("ballast", "Ballast", "added", "number", "g", default=0.0, low=0, high=500),
        Input(
            "ballast_x",
            "Place of the ballast",
            "from the datum",
            "number",
            "mm",
            default=0.0,
            low=-3000,
            high=3000,
        ),
    ),
    panel="panel_balance.html",
    scene=scene,
    live=live,
)
