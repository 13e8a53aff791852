"""The first page, and the ways to a first model: the demo, or ten answers."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from glidewright.base.errors import GlidewrightError, InputError, Problem
from glidewright.base.fields import quantity_of
from glidewright.data import packaged
from glidewright.domain.model import Model
from glidewright.faces.web.folders import revision
from glidewright.faces.web.house import House, read_cached
from glidewright.faces.web.inputs import Filled, Input, read_inputs
from glidewright.store.new_folder import write_new_folder

DEMO = "hill-demo"
_NUMBERS = {
    "span_m": 2.0,
    "root_chord_m": 206.0,
    "tip_chord_m": 124.0,
    "length_m": 1080.0,
    "airframe_kg": 390.0,
}


@dataclass(frozen=True)
class Entry:
    """A model of the workshop as it is listed; words: what it is, or why it cannot be read."""

    name: str
    title: str
    words: str
    is_readable: bool


async def start(request: Request) -> Response:
    """All models of the workshop, and how to get one."""
    house: House = request.app.state.house
    entries = await run_in_threadpool(_entries, house)
    return house.show(request, "home.html", title="Models", entries=entries, root=str(house.workshop.root))


def _entries(house: House) -> list[Entry]:
    found = []
    for name in house.workshop.names():
        folder = house.workshop.folder(name)
        try:
            model = read_cached(folder, revision(folder))
        except GlidewrightError as refused:
            many = len(refused.problems)
            words = f"cannot be read: {many} {'problem' if many == 1 else 'problems'}"
            found.append(Entry(name, name, words, is_readable=False))
            continue
        flown = f"class {model.class_id}" if model.class_id else "no class"
        words = f"span {model.airframe.span_m.value:.2f} m, {flown}, {len(model.items)} items fitted"
        found.append(Entry(name, model.name, words, is_readable=True))
    return found


async def from_demo(request: Request) -> Response:
    """A copy of the demo, to look around in."""
    house: House = request.app.state.house
    _refuse_alone(house)
    taken = set(house.workshop.names())
    name = next(n for n in (DEMO, *(f"{DEMO}-{i}" for i in range(2, 100))) if n not in taken)
    texts = {
        file: packaged("demo", DEMO, *file.split("/")).read_text(encoding="utf-8")
        for file in ("model.toml", "parts/power.toml", "parts/radio.toml")
    }
    await run_in_threadpool(write_new_folder, house.workshop.root / name, texts)
    return RedirectResponse(request.url_for("model", model=name).path, status_code=303)


async def ask(request: Request) -> Response:
    """The ten questions."""
    house: House = request.app.state.house
    _refuse_alone(house)
    _, filled = await run_in_threadpool(_read, {})
    return house.show(request, "questions.html", title="Ten questions", filled=filled, problems=())


async def take(request: Request) -> Response:
    """A model of ten answers."""
    house: House = request.app.state.house
    _refuse_alone(house)
    form = {key: str(text) for key, text in (await request.form()).items()}
    values, filled = await run_in_threadpool(_read, form)
    problems: tuple[Problem, ...] = ()
    if not any(one.problem for one in filled):
        try:
            name = await run_in_threadpool(_make, house.workshop.root, values)
            return RedirectResponse(request.url_for("edit", model=name).path, status_code=303)
        except GlidewrightError as refused:
            problems = refused.problems
    return house.show(request, "questions.html", 422, title="Ten questions", filled=filled, problems=problems)


def _refuse_alone(house: House) -> None:
    if house.workshop.only is not None:
        raise InputError(
            Problem(
                "",
                "must be started on the folder that holds the models to make a new one; one model came; "
                "start it again with that folder",
            )
        )


def _questions() -> tuple[list[Input], Model]:
    """The ten questions, from the metadata of the request and the drawer of the example; and the example."""
    from glidewright.decisions import new_model  # noqa: PLC0415 - the first page does without
    from glidewright.decisions.ten_questions import Request as Asked  # noqa: PLC0415 - the same
    from glidewright.store.class_files import list_classes  # noqa: PLC0415 - the same
    from glidewright.store.reading import model_of_texts  # noqa: PLC0415 - the same

    example = model_of_texts(new_model.run(new_model.Request(name="example")).texts)
    fitted = {part.kind: part.id for item in example.items for part in (item.part,)}
    questions = []
    for name, info in Asked.model_fields.items():
        said: dict[str, Any] = {"title": str(info.title), "help": str(info.description)}
        meta = quantity_of(info)
        if meta is not None:
            said |= {
                "unit": meta.shown.symbol,
                "low": meta.at_least,
                "high": meta.at_most,
                "default": _NUMBERS[name],
            }
        elif name == "class_id":
            said |= {
                "kind": "choice",
                "choices": [("", "none yet"), *((c, c) for c in list_classes(None))],
                "default": "",
            }
        elif name == "name":
            said |= {"kind": "text", "default": ""}
        else:
            choices = [(part.id, part.name) for part in example.drawer if part.kind == name]
            said |= {"kind": "choice", "choices": choices, "default": fitted[name]}
        questions.append(Input(name, **said))
    return questions, example


def _read(form: Mapping[str, str]) -> tuple[dict[str, Any], list[Filled]]:
    questions, example = _questions()
    values, filled = read_inputs(questions, form, example)
    if not form:
        return values, filled
    checked = []
    for one in filled:
        needs = one.input.name == "name" or one.input.kind == "number"
        if needs and not one.problem and not one.text:
            checked.append(replace(one, problem="must be answered; nothing came; write it"))
        else:
            checked.append(one)
    return values, checked


def _make(root: Path, values: Mapping[str, Any]) -> str:
    """Write the model of ten answers; gives the name of its folder."""
    from glidewright.base.figure import Given  # noqa: PLC0415 - the first page does without
    from glidewright.decisions import ten_questions as job  # noqa: PLC0415 - the same
    from glidewright.store.reading import model_of_texts  # noqa: PLC0415 - the same
    from glidewright.store.toml_edit import changed_text  # noqa: PLC0415 - the same

    given = {
        name: Given(value=value, grade="guessed") if name in _NUMBERS else value
        for name, value in values.items()
    }
    answer = job.run(job.Request(**given))
    texts = dict(answer.texts)
    changes = [(setting.place, setting.value) for setting in answer.settings]
    texts[job.MODEL_FILE] = changed_text(texts[job.MODEL_FILE], job.MODEL_FILE, changes)
    model_of_texts(texts)  # raises for answers that make no model
    write_new_folder(root / answer.folder, texts)
    return answer.folder


ROUTES = [
    Route("/", start, name="home"),
    Route("/demo", from_demo, methods=["POST"]),
    Route("/new", ask, name="new"),
    Route("/new", take, methods=["POST"]),
]
