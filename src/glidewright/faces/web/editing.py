"""Pages on which a model folder is changed: model, drawer, and the raw text of a file."""

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from glidewright.base.errors import GlidewrightError, InputError, Problem
from glidewright.faces.web.desk import UNSEEN, Desk, State
from glidewright.faces.web.filled import written
from glidewright.faces.web.house import House, model_of
from glidewright.faces.web.tables import drawer_groups, model_groups
from glidewright.store.class_files import list_classes
from glidewright.store.tables import parsed
from glidewright.store.texts import MODEL_FILE, read_texts, text_of

_TITLES = {"model": "Model", "drawer": "Parts"}
_OUTCOME_WORDS = ("step", "went", "note", "date", "revision")
_DETAILS = ("low", "high", "because")


async def model_page(request: Request) -> Response:
    """Everything that model.toml says."""
    return await _page(request, "model")


async def drawer_page(request: Request) -> Response:
    """Everything that lies in the drawer."""
    return await _page(request, "drawer")


async def _page(request: Request, which: str) -> Response:
    house: House = request.app.state.house
    name = request.path_params["model"]
    desk = house.desk(name)
    frame = house.frame(request, name, which)
    problems: tuple[Problem, ...] = ()
    try:
        model, _ = await model_of(desk.folder)
    except GlidewrightError as refused:
        model, problems = None, refused.problems
    try:
        texts = await run_in_threadpool(read_texts, desk.folder)
        files = {file: parsed(text, file) for file, text in texts.items()}
    except GlidewrightError as refused:
        return house.unreadable(request, refused, f"{_TITLES[which]} of {name}", frame)
    if which == "model":
        groups = model_groups(files[MODEL_FILE], model, list_classes(desk.folder))
        lead = (
            "Change a value and leave the field: it is on disk at once, comments stay, and it can be undone."
        )
    else:
        groups = drawer_groups(_drawer(files))
        lead = "Parts on hand and parts that could be bought. What is fitted stands on the page of the model."
    return house.show(
        request,
        "edit.html",
        title=f"{_TITLES[which]} of {model.name if model else name}",
        head=_TITLES[which],
        of=model.name if model else name,
        lead=lead,
        groups_of_tables=groups,
        problems=problems,
        undo=await run_in_threadpool(desk.state),
        **frame,
    )


async def fields(request: Request) -> Response:
    """The fields of one of several tables, when it is opened."""
    house: House = request.app.state.house
    name = request.path_params["model"]
    desk = house.desk(name)
    texts = await run_in_threadpool(read_texts, desk.folder)
    files = {file: parsed(text, file) for file, text in texts.items()}
    try:
        model, _ = await model_of(desk.folder)
    except GlidewrightError:
        model = None
    groups = [*model_groups(files[MODEL_FILE], model, ()), *drawer_groups(_drawer(files))]
    asked = request.query_params.get("table"), request.query_params.get("file")
    found = next((one for group in groups for one in group.tables if (one.id, one.file) == asked), None)
    if found is None:
        raise HTTPException(404)
    return house.show(request, "fields.html", table=found)


def _drawer(files: Mapping[str, Any]) -> dict[str, Any]:
    return {file: table for file, table in files.items() if file != MODEL_FILE}


async def set_key(request: Request) -> Response:
    """Write one key; the answer says what can be undone, or what is wrong."""
    told = await json_object(request)
    details = {name: str(told.get(name, "")) for name in _DETAILS}
    value, problem = written(
        str(told.get("kind")), str(told.get("text", "")), str(told.get("grade", "")),
        str(told.get("base_grade", "")), details,
    )  # fmt: skip
    if problem:
        raise InputError(Problem(str(_keys(told)[-1]), problem))
    file, keys, seen = str(told.get("file")), _keys(told), str(told.get("revision"))
    was = told.get("was", UNSEEN)
    answer = await _changed(request, lambda desk: desk.set(file, keys, value, was, seen))
    return JSONResponse({**answer, "was": value})


async def add_table(request: Request) -> Response:
    """Add one of several tables."""
    told = await json_object(request)
    fields = told.get("fields")
    values: dict[str, Any] = {}
    problems = []
    for key, field in (fields if isinstance(fields, Mapping) else {}).items():
        if not isinstance(field, Mapping):
            raise InputError(Problem(str(key), "must be a field; something else came; load the page again"))
        value, problem = written(str(field.get("kind")), str(field.get("text", "")), "", "", {})
        if problem:
            problems.append(Problem(str(key), problem))
        elif value not in (None, [], False):
            values[str(key)] = value
    if problems:
        raise InputError(problems)
    file, table = str(told.get("file")), str(told.get("table"))
    return JSONResponse(await _changed(request, lambda desk: desk.add(file, table, values)))


async def add_outcome(request: Request) -> Response:
    """Write down what came out of a step of the test plan."""
    from glidewright.decisions.plan import step_keys  # noqa: PLC0415 - the other pages do without
    from glidewright.store.outcomes import write_outcome  # noqa: PLC0415 - the same

    told = {key: str(text) for key, text in (await json_object(request)).items()}
    step, went = told.get("step", ""), told.get("went", "")
    found = [f"{key}={text}" for key, text in told.items() if key not in _OUTCOME_WORDS and text.strip()]

    def change(folder: Path) -> None:
        write_outcome(
            folder,
            step_keys(),
            well=step if went == "well" else "",
            badly=step if went == "badly" else "",
            found=found,
            note=told.get("note", ""),
            day=told.get("date", ""),
        )

    return JSONResponse(await _changed(request, lambda desk: desk.apply(MODEL_FILE, f"step {step}", change)))


async def put_build(request: Request) -> Response:
    """Put a build that was chosen into the model."""
    told = await json_object(request)
    try:
        changes = json.loads(str(told.get("pick", "")))
        wanted = [(tuple(keys), value) for keys, value in changes["set"]]
        parts = [(file, kind, dict(table)) for file, kind, table in changes.get("parts", ())]
        items = [dict(table) for table in changes.get("items", ())]
    except (ValueError, LookupError, TypeError, RecursionError) as refused:
        raise InputError(Problem("", "must be a build; something else came; search again")) from refused
    tables = [*(table for _, _, table in parts), *items]
    is_plain = all(isinstance(word, str) for file, kind, _ in parts for word in (file, kind)) and all(
        isinstance(value, str | int | float | list | dict) for table in tables for value in table.values()
    )
    if not is_plain:
        raise InputError(Problem("", "must be a build of parts and items; something else came; search again"))
    if any(keys[:1] != ("fitted",) or not isinstance(value, str | int | float) for keys, value in wanted):
        raise InputError(Problem("", "must change fitted parts alone; something else came; search again"))
    seen = str(told.get("revision"))
    return JSONResponse(await _changed(request, lambda desk: desk.put(changes, seen)))


async def remove_table(request: Request) -> Response:
    """Remove one of several tables."""
    told = await json_object(request)
    file, keys, seen = str(told.get("file")), _keys(told), str(told.get("revision"))
    return JSONResponse(await _changed(request, lambda desk: desk.remove(file, keys, seen)))


async def undo(request: Request) -> Response:
    """Take the last change back."""
    return JSONResponse(await _changed(request, Desk.undo))


async def redo(request: Request) -> Response:
    """Do it again."""
    return JSONResponse(await _changed(request, Desk.redo))


async def text_page(request: Request) -> Response:
    """A file as text, for what the forms do not reach and for what cannot be read."""
    house: House = request.app.state.house
    name, file = request.path_params["model"], request.path_params["file"]
    desk = house.desk(name)
    texts = await run_in_threadpool(read_texts, desk.folder)
    return _text(request, house, name, file, text_of(texts, file), await run_in_threadpool(desk.state), ())


async def save_text(request: Request) -> Response:
    """Write a file as text, whole, if it reads as a model."""
    house: House = request.app.state.house
    name, file = request.path_params["model"], request.path_params["file"]
    desk = house.desk(name)
    form = await request.form()
    text, seen = str(form.get("text", "")).replace("\r\n", "\n"), str(form.get("revision", ""))
    try:
        await run_in_threadpool(desk.write, file, text, seen)
    except GlidewrightError as refused:
        state = await run_in_threadpool(desk.state)
        return _text(request, house, name, file, text, state, refused.problems)
    return RedirectResponse(request.url_for("edit", model=name).path, status_code=303)


def _text(
    request: Request,
    house: House,
    name: str,
    file: str,
    text: str,
    state: State,
    problems: tuple[Problem, ...],
) -> Response:
    return house.show(
        request,
        "text.html",
        422 if problems else 200,
        title=f"{file} of {name}",
        file=file,
        text=text,
        files=sorted(read_texts(house.workshop.folder(name))),
        undo=state,
        problems=problems,
        **house.frame(request, name, "model"),
    )


async def _changed(request: Request, change: Callable[[Desk], State]) -> dict[str, Any]:
    house: House = request.app.state.house
    desk = house.desk(request.path_params["model"])
    return {"ok": True, **vars(await run_in_threadpool(change, desk))}


async def json_object(request: Request) -> dict[str, Any]:
    """The body of a request, a JSON object; raises InputError for anything else."""
    try:
        told = await request.json()
    except (ValueError, RecursionError) as refused:
        raise InputError(Problem("", "must be JSON; something else came; load the page again")) from refused
    if not isinstance(told, dict):
        raise InputError(Problem("", "must be a JSON object; something else came; load the page again"))
    return told


def _keys(told: Mapping[str, Any]) -> tuple[str | int, ...]:
    keys = told.get("keys")
    is_good = isinstance(keys, list) and keys and all(isinstance(key, str | int) for key in keys)
    if not is_good:
        raise InputError(Problem("keys", "must name table and key; something else came; load the page again"))
    assert isinstance(keys, list)
    return tuple(keys)


ROUTES = [
    Route("/m/{model}/model", model_page, name="edit"),
    Route("/m/{model}/drawer", drawer_page, name="drawer"),
    Route("/m/{model}/fields", fields),
    Route("/m/{model}/set", set_key, methods=["POST"]),
    Route("/m/{model}/add", add_table, methods=["POST"]),
    Route("/m/{model}/outcome", add_outcome, methods=["POST"]),
    Route("/m/{model}/put", put_build, methods=["POST"]),
    Route("/m/{model}/remove", remove_table, methods=["POST"]),
    Route("/m/{model}/undo", undo, methods=["POST"]),
    Route("/m/{model}/redo", redo, methods=["POST"]),
    Route("/m/{model}/text/{file:path}", text_page, name="text"),
    Route("/m/{model}/text/{file:path}", save_text, methods=["POST"]),
]
