"""How far long work is: its state as server-sent events, its result, and the way to stop it."""

import json
from collections.abc import AsyncIterator

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from glidewright.faces.web.house import House, safe_parts
from glidewright.faces.web.jobs import Job, states

_GONE = "must be work that is known; this was forgotten or never asked; load the page again"


def _job(request: Request) -> Job:
    house: House = request.app.state.house
    job = house.jobs.find(request.path_params["key"])
    if job is None:
        raise HTTPException(404, _GONE)
    return job


async def state(request: Request) -> Response:
    """The present state."""
    return JSONResponse(_job(request).told())


async def follow(request: Request) -> Response:
    """The state now and at every change, whole each time."""
    job = _job(request)

    async def lines() -> AsyncIterator[str]:
        async for told in states(job):
            yield f"data: {json.dumps(told)}\n\n"

    return StreamingResponse(lines(), media_type="text/event-stream")


async def result(request: Request) -> Response:
    """The report as a fragment, or what went wrong."""
    house: House = request.app.state.house
    job = _job(request)
    parts = safe_parts(job.result["parts"]) if job.state == "done" else {}
    extra = job.result["extra"] if job.state == "done" else {}
    return house.show(request, "report.html", job=job, parts=parts, extra=extra)


async def stop(request: Request) -> Response:
    """Stop it."""
    house: House = request.app.state.house
    job = await house.jobs.stop(_job(request).key)
    return JSONResponse(job.told() if job is not None else {})


ROUTES = [
    Route("/jobs/{key}", state),
    Route("/jobs/{key}/events", follow),
    Route("/jobs/{key}/report", result),
    Route("/jobs/{key}/stop", stop, methods=["POST"]),
]
