"""Logs from a browser: uploaded into the model folder, entered into its logbook."""

from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from glidewright.base.errors import GlidewrightError, InputError, Problem
from glidewright.faces.web.editing import json_object
from glidewright.faces.web.house import House, model_of

_WORKER = "glidewright.faces.web.worker"


async def upload(request: Request) -> Response:
    """Keep a log in the model folder, once it could be read; the guard limits its size."""
    from glidewright.domain.raw_log import RawLog, plain_name  # noqa: PLC0415 - the first page does without
    from glidewright.store.raw_logs import keep_raw  # noqa: PLC0415 - the same

    house: House = request.app.state.house
    name = request.path_params["model"]
    folder = house.workshop.folder(name)
    _, now = await model_of(folder)
    async with request.form(max_files=1, max_fields=4) as form:
        file = form.get("file")
        if not isinstance(file, UploadFile) or not file.filename:
            raise InputError(Problem("file", "must be a log; nothing was chosen; choose a file"))
        called, data = file.filename[:80], await file.read()
    try:
        called = plain_name(file.filename)
        await house.work.run(f"{_WORKER}:judge_log", str(folder), now, called, data)
    except GlidewrightError as refused:
        return house.show(
            request, "unreadable_log.html", 422, title="Log", problems=refused.problems, log=called,
            undo=house.desk(name).state(), **house.frame(request, name, "flights"),
        )  # fmt: skip
    path, _ = await run_in_threadpool(keep_raw, folder, RawLog.of(called, data))
    place = request.url_for("area", model=name, area="flights").path
    return RedirectResponse(f"{place}?log={quote(path.name)}", status_code=303)


async def enter(request: Request) -> Response:
    """Enter a log into the logbook."""
    house: House = request.app.state.house
    name = request.path_params["model"]
    folder = house.workshop.folder(name)
    _, now = await model_of(folder)
    told = await json_object(request)
    said = {name: str(told.get(name, "")) for name in ("log", "temperature", "wind", "landing")}
    words = await house.work.run(f"{_WORKER}:enter_log", str(folder), now, said)
    return JSONResponse({"ok": True, "words": words})


ROUTES = [
    Route("/m/{model}/flights/upload", upload, methods=["POST"]),
    Route("/m/{model}/enter", enter, methods=["POST"]),
]
