"""The page at the door of the club: a code in, a session out."""

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from glidewright.faces.web.door import COOKIE, Door
from glidewright.faces.web.house import House

_SECONDS = 12 * 3600


async def ask(request: Request) -> Response:
    """The form for the code."""
    house: House = request.app.state.house
    return house.show(request, "code.html", problem="", title="Code")


async def take(request: Request) -> Response:
    """Open the door for the right code."""
    house: House = request.app.state.house
    door: Door | None = request.app.state.door
    form = await request.form()
    session = door.open(str(form.get("code", ""))) if door is not None else None
    if session is None:
        problem = "must be the code that the program printed last; another one came; each code opens once"
        return house.show(request, "code.html", 403, problem=problem, title="Code")
    answer = RedirectResponse("/", status_code=303)
    answer.set_cookie(COOKIE, session, max_age=_SECONDS, httponly=True, samesite="strict")
    return answer


ROUTES = [Route("/code", ask), Route("/code", take, methods=["POST"])]
