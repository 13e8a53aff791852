"""What all pages share while the program runs: workshop, desks, crews, jobs and templates."""

import asyncio
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse

from glidewright import __version__
from glidewright.base.errors import GlidewrightError
from glidewright.domain.model import Model
from glidewright.faces.report.html_words import page_words
from glidewright.faces.report.render_html import HOW_TO_READ
from glidewright.faces.web.area import areas, grouped
from glidewright.faces.web.crew import Crew
from glidewright.faces.web.desk import Desk
from glidewright.faces.web.folders import Workshop, revision
from glidewright.faces.web.jobs import Jobs

_LONG_WORKERS = 2


@dataclass
class House:
    """One running program.

    live: the crew that answers while something moves; work: the one for reports; latest: key of the last
    long work by area and folder.
    """

    workshop: Workshop
    live: Crew = field(default_factory=lambda: Crew(1))
    work: Crew = field(default_factory=lambda: Crew(_LONG_WORKERS))
    desks: dict[str, Desk] = field(default_factory=dict)
    latest: dict[tuple[str, str], str] = field(default_factory=dict)
    warming: str = ""

    def __post_init__(self) -> None:
        self.jobs = Jobs(self.work)
        self.pages = _environment()

    def desk(self, name: str) -> Desk:
        """The desk on which a model is changed; raises MissingError for a name that is not listed."""
        folder = self.workshop.folder(name)
        if name not in self.desks:
            self.desks[name] = Desk(folder)
        return self.desks[name]

    async def warm(self) -> None:
        """Load kernels and chart engine in both crews, so that nobody waits for them at the first page."""

        def say(share: float | None, words: str) -> None:
            self.warming = "" if share == 1.0 else words

        self.warming = "starting"
        crews = (self.live, self.work)
        # one after the other: the second finds compiled kernels on disk
        for crew in crews:
            try:
                await crew.run("glidewright.faces.web.worker:warm", tell=say)
            except Exception as failed:  # a cold crew answers too, only later
                self.warming = str(failed)
                return
        self.warming = ""

    def close(self) -> None:
        """End every process."""
        self.live.close()
        self.work.close()

    def show(self, request: Request, template: str, status: int = 200, **more: Any) -> HTMLResponse:
        """A page or fragment."""
        found = self.pages.get_template(template)
        return HTMLResponse(found.render(request=request, **more), status_code=status)

    def unreadable(
        self, request: Request, refused: GlidewrightError, title: str, frame: Mapping[str, Any]
    ) -> HTMLResponse:
        """The page about a folder that cannot be read."""
        return self.show(request, "unreadable.html", 422, problems=refused.problems, title=title, **frame)

    def frame(self, request: Request, name: str, key: str) -> dict[str, Any]:
        """What the frame around a page about a model shows: where one is, and where one can go."""
        return {
            "model_name": name,
            "model_path": request.url_for("model", model=name).path,
            "groups": grouped(areas().values()),
            "here": key,
            "names": self.workshop.names(),
        }


@lru_cache(maxsize=16)
def read_cached(folder: Path, wanted: str) -> Model:
    """The model of a folder at a revision; raises InputError. wanted: only tells readings apart."""
    from glidewright.store.reading import read_model  # noqa: PLC0415 - numpy; the start does without

    del wanted
    return read_model(folder)


async def model_of(folder: Path) -> tuple[Model, str]:
    """The model of a folder with its revision, read outside of the event loop."""
    loop = asyncio.get_running_loop()
    now = await loop.run_in_executor(None, revision, folder)
    return await loop.run_in_executor(None, read_cached, folder, now), now


def _environment() -> Environment:
    found = Environment(
        loader=PackageLoader("glidewright.faces.web", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.filters["words"] = lambda text: Markup(page_words(str(text)))
    found.globals.update(version=__version__, how_to_read=Markup(HOW_TO_READ))
    return found


def safe_parts(parts: Mapping[str, str]) -> dict[str, Markup]:
    """Pieces of a report, which are HTML already."""
    return {name: Markup(text) for name, text in parts.items()}
