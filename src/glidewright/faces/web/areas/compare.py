"""Compare: models of the workshop or variants of this one, side by side."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from glidewright.domain.model import Model
from glidewright.faces.web.area import Area, Reply, Subject, Tell, Values
from glidewright.faces.web.inputs import Choice, Input

_PLACES = {
    place: f"{place.capitalize()} model or variant"
    for place in ("second", "third", "fourth", "fifth", "sixth")
}
_VARIANT, _MODEL = "variant:", "model:"


def choices(model: Model, folder: Path | None) -> Sequence[Choice]:
    """Variants of the model and other models of the workshop."""
    from glidewright.faces.web.folders import Workshop
    from glidewright.store.variants import list_variants

    del model
    if folder is None:
        return ()
    variants = [(f"{_VARIANT}{name}", f"variant {name}") for name in list_variants(folder)]
    others = Workshop(folder.parent).beside(folder)
    return [("", "nothing"), *variants, *((f"{_MODEL}{name}", name) for name in others)]


def answer(subject: Subject, values: Values, tell: Tell) -> Reply:
    """The report of all that were chosen, beside this model."""
    from glidewright.base.errors import InputError
    from glidewright.decisions import compare as job
    from glidewright.decisions.comparing.nouns import CompareRequest, Entrant
    from glidewright.faces.report import compare as report

    chosen = list(dict.fromkeys(values[place] for place in _PLACES if values.get(place)))
    if not chosen:
        said = "must be another model or a variant; none was chosen; choose one"
        raise InputError.at(_PLACES["second"], said)
    entrants = [
        Entrant(model=subject.model, rule=subject.rule),
        *(_entrant(subject, word) for word in chosen),
    ]
    tell(None, "computing every model on the same draws")
    wind = {} if values.get("wind") is None else {"headwind_m_s": values["wind"]}
    return Reply(report.document(job.run(CompareRequest(entrants=tuple(entrants), **wind))))


def _entrant(subject: Subject, word: str) -> Any:
    from glidewright.decisions.comparing.nouns import Entrant
    from glidewright.faces.web.folders import Workshop
    from glidewright.rules.measures import MEASURE_UNITS
    from glidewright.store.class_files import read_class
    from glidewright.store.reading import read_model
    from glidewright.store.variants import read_variant

    if word.startswith(_VARIANT):
        model = read_variant(subject.folder, word.removeprefix(_VARIANT))
        folder, base = subject.folder, subject.model
    else:
        folder = Workshop(subject.folder.parent).folder(word.removeprefix(_MODEL))
        model, base = read_model(folder), None
    rule = read_class(folder, model.class_id, MEASURE_UNITS) if model.class_id else None
    return Entrant(model=model, base=base, rule=rule)


AREA = Area(
    "compare",
    "Compare",
    "Two to six models or variants side by side, with the spread of every difference.",
    group="Decide",
    order=110,
    answer=answer,
    inputs=(
        *(
            Input(place, title, kind="choice", choices=choices, default="")
            for place, title in _PLACES.items()
        ),
        Input("wind", "Head wind", "to fly against", "number", "m/s", default=6.0, low=0, high=20),
    ),
    is_long=True,
    start_word="Compare",
)
