"""The app: routes, what starts and ends with the program, and what a person sees when something is wrong."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from importlib.resources import as_file, files
from pathlib import Path

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles

from glidewright.base.errors import GlidewrightError, MissingError, Problem
from glidewright.faces.web import area_pages, door_page, editing, events, home, logs
from glidewright.faces.web.desk import ConflictError
from glidewright.faces.web.door import Door
from glidewright.faces.web.folders import Workshop
from glidewright.faces.web.guard import LOOPBACK_NAMES, Guard
from glidewright.faces.web.house import House

_BAD_INPUT, _MISSING, _CONFLICT = 422, 404, 409


def make_app(
    workshop: Workshop,
    door: Door | None = None,
    names: frozenset[str] = LOOPBACK_NAMES,
    *,
    is_warmed: bool = True,
) -> Guard:
    """The pages of a workshop behind their guard; is_warmed: load the kernels at once."""
    house = House(workshop)

    @asynccontextmanager
    async def lifespan(_: Starlette) -> AsyncIterator[None]:
        warming = asyncio.create_task(house.warm()) if is_warmed else None
        try:
            yield
        finally:
            house.close()
            if warming is not None:
                warming.cancel()
                with suppress(asyncio.CancelledError):
                    await warming

    app = Starlette(
        routes=_routes(),
        lifespan=lifespan,
        middleware=[Middleware(GZipMiddleware, minimum_size=700, compresslevel=5)],
        exception_handlers={
            GlidewrightError: _refused,
            HTTPException: _http,
            404: _http,
            Exception: _mistaken,
        },
    )
    app.state.house = house
    app.state.door = door
    return Guard(app, door, names)


def _routes() -> list[BaseRoute]:
    with as_file(files("glidewright.faces.web")) as web:
        static = Path(web) / "static"
    return [
        *home.ROUTES,
        *door_page.ROUTES,
        *events.ROUTES,
        *editing.ROUTES,
        *logs.ROUTES,
        *area_pages.ROUTES,
        Route("/static/report.css", _report_style),
        Mount("/static", StaticFiles(directory=static), name="static"),
    ]


def _report_style(_: Request) -> Response:
    """The style sheet that reports and pages share."""
    style = files("glidewright.faces.report").joinpath("page.css").read_text(encoding="utf-8")
    return Response(style, media_type="text/css", headers={"cache-control": "max-age=60"})


async def _refused(request: Request, error: Exception) -> Response:
    """What a person wrote or asked for cannot be used: sentences, as a page or as JSON."""
    assert isinstance(error, GlidewrightError)
    status = (
        _MISSING
        if isinstance(error, MissingError)
        else _CONFLICT
        if isinstance(error, ConflictError)
        else _BAD_INPUT
    )
    return _said(request, error.problems, status)


async def _http(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    words = {
        400: "must be a request that can be read; something else came; load the page again",
        404: "must be a page of this program; there is none at this address; go back to the start",
        405: "must be asked in the way of this page; another one came; go back to the start",
    }
    return _said(request, (Problem("", words.get(error.status_code, error.detail)),), error.status_code)


async def _mistaken(request: Request, error: Exception) -> Response:
    """A mistake of the program itself: said as such; its traceback goes to the terminal."""
    del error
    words = "this is a mistake of the program, not of yours; nothing was changed; the terminal shows where"
    return _said(request, (Problem("", words),), 500)


def _said(request: Request, problems: tuple[Problem, ...], status: int) -> Response:
    if "text/html" not in request.headers.get("accept", ""):
        told = [{"where": problem.where, "message": problem.message} for problem in problems]
        return JSONResponse({"ok": False, "errors": told}, status_code=status)
    house: House = request.app.state.house
    return house.show(request, "problem.html", status, problems=problems, title="That did not work")
