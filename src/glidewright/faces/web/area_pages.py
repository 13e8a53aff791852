"""The pages about a model: inputs, panel with what moves, report; one set of routes for every area."""

import mimetypes
import re
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

from markupsafe import Markup
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from glidewright.base.errors import GlidewrightError, Problem
from glidewright.faces.web.area import Area, areas
from glidewright.faces.web.crew import BrokenError, StoppedError
from glidewright.faces.web.house import House, model_of, safe_parts
from glidewright.faces.web.inputs import read_inputs
from glidewright.faces.web.jobs import Job, key_of, wait_for

_WORKER = "glidewright.faces.web.worker"
_PATIENCE_S = 0.4  # a report that is ready by then stands in the page at once


async def first(request: Request) -> Response:
    """The first page about a model."""
    house: House = request.app.state.house
    name = request.path_params["model"]
    house.workshop.folder(name)
    return RedirectResponse(request.url_for("area", model=name, area="check").path, status_code=303)


async def page(request: Request) -> Response:
    """The page of an area."""
    house, name, area = _asked(request)
    frame = house.frame(request, name, area.key)
    try:
        folder = house.workshop.folder(name)
        model, now = await model_of(folder)
    except GlidewrightError as refused:
        return house.unreadable(request, refused, f"{area.title} of {name}", frame)
    values, filled = read_inputs(area.inputs, request.query_params, model, folder)
    is_good = not any(one.problem for one in filled)
    job = await _job(house, area, name, now, values, request) if is_good else None
    shown: dict[str, Any] = {}
    if area.scene is not None and is_good:
        shown = await _shown(house, area, name, now, values)
    report = safe_parts(job.result["parts"]) if job is not None and job.state == "done" else {}
    extra = job.result["extra"] if job is not None and job.state == "done" else {}
    return house.show(
        request,
        "area.html",
        200 if is_good else 422,
        title=f"{area.title} of {model.name}",
        model=model,
        area=area,
        filled=filled,
        scene=shown,
        job=job,
        is_old=job is not None and not area.writes and job.key != _key(area, str(folder), now, values),
        parts=report,
        extra=extra,
        revision=now,
        undo=house.desk(name).state(),
        **frame,
    )


async def start(request: Request) -> Response:
    """Start long work with the inputs of its form, and go to where it is followed."""
    house, name, area = _asked(request)
    if area.answer is None:
        raise HTTPException(404)
    form = {key: str(text) for key, text in (await request.form()).items()}
    folder = house.workshop.folder(name)
    model, now = await model_of(folder)
    values, filled = read_inputs(area.inputs, form, model, folder)
    if not any(one.problem for one in filled):
        house.latest[area.key, str(folder)] = _ensure(house, area, str(folder), now, values).key
    place = request.url_for("area", model=name, area=area.key).path
    query = urlencode(form) or "started=1"
    return RedirectResponse(f"{place}?{query}", status_code=303)


async def live(request: Request) -> Response:
    """Numbers while something moves, in a process that does nothing else."""
    house, name, area = _asked(request)
    return await _from_live(request, house, area, name, "live")


async def scene(request: Request) -> Response:
    """The panel again, after something came to rest."""
    house, name, area = _asked(request)
    return await _from_live(request, house, area, name, "scene")


async def download(request: Request) -> Response:
    """A file of an area, made when it is asked for."""
    house, name, area = _asked(request)
    ending = request.path_params["file"]
    if ending not in [own for own, _ in area.files]:
        raise HTTPException(404)
    folder = house.workshop.folder(name)
    model, now = await model_of(folder)
    data = await house.work.run(f"{_WORKER}:made", area.key, str(folder), now, ending)
    plain = re.sub(r"[^A-Za-z0-9._-]+", "-", model.name).strip("-.") or "model"
    kind = mimetypes.guess_type(ending)[0] or "application/octet-stream"
    headers = {"content-disposition": f'attachment; filename="{plain}-{ending}"'}
    return Response(data, media_type=kind, headers=headers)


async def _from_live(request: Request, house: House, area: Area, name: str, what: str) -> Response:
    if (area.live if what == "live" else area.scene) is None:
        raise HTTPException(404)
    folder = house.workshop.folder(name)
    model, now = await model_of(folder)
    values, filled = read_inputs(area.inputs, request.query_params, model, folder)
    wrong = [
        {"where": one.input.name, "message": f"{one.input.title} {one.problem}"}
        for one in filled
        if one.problem
    ]
    if wrong:
        return JSONResponse({"ok": False, "errors": wrong}, status_code=422)
    try:
        found = await house.live.run(f"{_WORKER}:{what}", area.key, str(folder), now, values)
    except BrokenError as broken:
        return JSONResponse({"ok": False, "errors": [{"where": "", "message": str(broken)}]}, status_code=500)
    except StoppedError:
        return JSONResponse({"ok": False, "errors": [{"where": "", "message": "stopped"}]}, status_code=503)
    if what == "live":
        return JSONResponse({"ok": True, **found})
    return house.show(request, area.panel, scene=_marked(found), filled=filled, area=area, model=model)


async def _shown(house: House, area: Area, name: str, now: str, values: Mapping[str, Any]) -> dict[str, Any]:
    """What the panel shows; what is wrong stands in ``problems``."""
    folder = str(house.workshop.folder(name))
    try:
        return _marked(await house.live.run(f"{_WORKER}:scene", area.key, folder, now, values))
    except GlidewrightError as refused:
        return {"problems": refused.problems}
    except BrokenError as broken:
        return {"problems": (Problem("", str(broken)),)}
    except StoppedError:
        return {"problems": (Problem("", "stopped before its end; load the page again"),)}


async def _job(
    house: House, area: Area, name: str, now: str, values: Mapping[str, Any], request: Request
) -> Job | None:
    """The job of the report; long work is only looked up, not started."""
    if area.answer is None or (area.asks and not values.get(area.asks)):
        return None
    folder = str(house.workshop.folder(name))
    if area.is_long:
        asked = house.jobs.find(_key(area, folder, now, values)) if request.query_params else None
        return asked or house.jobs.find(house.latest.get((area.key, folder), ""))
    job = _ensure(house, area, folder, now, values)
    await wait_for(job, _PATIENCE_S)
    return job


def _ensure(house: House, area: Area, folder: str, now: str, values: Mapping[str, Any]) -> Job:
    key = _key(area, folder, now, values)
    return house.jobs.ensure(key, f"{_WORKER}:answer", (area.key, folder, now, dict(values)))


def _key(area: Area, folder: str, now: str, values: Mapping[str, Any]) -> str:
    return key_of(area.key, folder, now, dict(values))


def _marked(found: Mapping[str, Any]) -> dict[str, Any]:
    """Values of a scene; what ends in ``_html`` or ``_svg`` is markup of ours already."""
    return {
        name: Markup(value) if name.endswith(("_html", "_svg")) else value for name, value in found.items()
    }


def _asked(request: Request) -> tuple[House, str, Area]:
    house: House = request.app.state.house
    name = request.path_params["model"]
    house.workshop.folder(name)
    area = areas().get(request.path_params["area"])
    if area is None:
        raise HTTPException(404)
    return house, name, area


ROUTES = [
    Route("/m/{model}/", first, name="model"),
    Route("/m/{model}/{area}", page, name="area"),
    Route("/m/{model}/{area}/live", live),
    Route("/m/{model}/{area}/scene", scene),
    Route("/m/{model}/{area}/file/{file}", download),
    Route("/m/{model}/{area}/start", start, methods=["POST"]),
]
