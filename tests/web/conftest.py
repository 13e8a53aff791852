"""A real browser on the program as it is started by a person: own server, own workshop, no other host."""

import hashlib
import os
import re
import secrets
import shutil
import subprocess
import sys
import tarfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Route, sync_playwright

BROWSERS = ("chromium", "chromium-browser", "google-chrome")
WIDE, NARROW = (1280, 900), (390, 844)
AXE_VERSION = "4.14.1"
AXE_SHA256 = "e6b0ce02b84d892e2e33e403485e7f3d6c29e2be6df65daf44d89ba564139745"
ADDRESS = re.compile(r"open at (http://127\.0\.0\.1:\d+)/")
SHOTS = Path(os.environ.get("GLIDEWRIGHT_SHOTS") or Path.home() / ".cache/glidewright-tests/screenshots")
PATIENCE_MS = 30_000


def missing(reason: str) -> None:
    """Skip on a machine without it; under continuous integration its absence is a failure."""
    if os.environ.get("CI"):
        pytest.fail(reason)
    pytest.skip(reason)


@dataclass
class Served:
    """A running program: its address and the folder that it serves."""

    address: str
    workshop: Path


@dataclass
class Visit:
    """A page of a browser, and what it asked and said."""

    page: Page
    address: str
    foreign: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def open(self, path: str) -> Page:
        """Go to a page and wait until its report is there."""
        self.page.goto(self.address + path)
        self.page.wait_for_selector("#report[data-job]", state="detached", timeout=PATIENCE_MS)
        return self.page

    def keep(self, name: str) -> None:
        """A picture for whoever wants to look, outside of the repository."""
        SHOTS.mkdir(parents=True, exist_ok=True)
        self.page.screenshot(path=SHOTS / f"{name}.png", full_page=True)


def violations(visit: Visit, axe: str) -> list[str]:
    """What the accessibility checker finds wrong with the page as it is."""
    visit.page.evaluate(axe)
    found = visit.page.evaluate(
        "async () => (await axe.run(document, {resultTypes: ['violations']})).violations"
    )
    return [f"{one['id']}: {node['html'][:160]}" for one in found for node in one["nodes"][:3]]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    found = next((path for name in BROWSERS if (path := shutil.which(name))), None)
    if found is None:
        missing(f"a browser is needed, one of {', '.join(BROWSERS)}; install chromium")
    with sync_playwright() as driver:
        running = driver.chromium.launch(executable_path=found, args=["--no-sandbox"])
        yield running
        running.close()


@pytest.fixture(scope="session")
def serve() -> Iterator[Callable[[Path], Served]]:
    """Start the program on a folder; every one is ended with the tests."""
    running: list[subprocess.Popen[str]] = []

    def start(folder: Path) -> Served:
        words = [sys.executable, "-m", "glidewright", "serve", str(folder), "--port", "0", "--no-browser"]
        program = subprocess.Popen(words, stdout=subprocess.PIPE, text=True)
        running.append(program)
        assert program.stdout is not None
        found = ADDRESS.search(program.stdout.readline())
        assert found is not None, "the program must print its address first"
        return Served(found[1], folder)

    yield start
    for program in running:
        program.terminate()
        program.wait(timeout=20)
        assert program.stdout is not None
        program.stdout.close()


@pytest.fixture(scope="session")
def shop(
    serve: Callable[[Path], Served], tmp_path_factory: pytest.TempPathFactory, demo_folder: Path
) -> Served:
    """A workshop with the demo in it, not to be changed."""
    folder = tmp_path_factory.mktemp("workshop")
    shutil.copytree(demo_folder, folder / "hill-demo")
    return serve(folder)


@pytest.fixture
def own(shop: Served, demo_folder: Path) -> Iterator[Path]:
    """A copy of the demo in the workshop that a test may change; its pages stand below ``/m/<its name>/``."""
    folder = shop.workshop / f"own-{secrets.token_hex(4)}"
    shutil.copytree(demo_folder, folder)
    yield folder
    shutil.rmtree(folder)


@pytest.fixture
def visit_of(browser: Browser) -> Iterator[Callable[..., Visit]]:
    """Open a window on a served workshop; at the end nothing foreign was asked, nothing complained of."""
    open_contexts: list[tuple[BrowserContext, Visit]] = []

    def start(served: Served, size: tuple[int, int] = WIDE, **more: Any) -> Visit:
        context = browser.new_context(viewport={"width": size[0], "height": size[1]}, **more)
        page = context.new_page()
        page.set_default_timeout(PATIENCE_MS)
        visit = Visit(page, served.address)

        def watch(route: Route) -> None:
            if route.request.url.startswith((served.address + "/", "data:")):
                route.continue_()
            else:
                visit.foreign.append(route.request.url)
                route.abort()

        def hear(message: ConsoleMessage) -> None:
            # a refusal with a status of its own is an answer, not a complaint
            if message.type in ("error", "warning") and "status of 4" not in message.text:
                visit.complaints.append(message.text)

        context.route("**/*", watch)
        page.on("console", hear)
        page.on("pageerror", lambda error: visit.complaints.append(str(error)))
        open_contexts.append((context, visit))
        return visit

    yield start
    for context, visit in open_contexts:
        context.close()
        assert visit.foreign == []
        assert visit.complaints == []


@pytest.fixture(scope="session")
def axe() -> str:
    """The accessibility checker, from the package registry once, then from the cache, its digest pinned."""
    cache = Path.home() / ".cache/glidewright-tests"
    packed = cache / f"axe-core-{AXE_VERSION}.tgz"
    if not packed.exists():
        cache.mkdir(parents=True, exist_ok=True)
        npm = shutil.which("npm")
        if npm is None:
            missing("npm is needed to fetch axe-core; install npm")
        assert npm is not None
        fetched = subprocess.run(
            [npm, "pack", "--silent", f"axe-core@{AXE_VERSION}"], cwd=cache, capture_output=True, check=False
        )
        if fetched.returncode:
            missing(f"axe-core {AXE_VERSION} must be fetched and was not; check the network")
    assert hashlib.sha256(packed.read_bytes()).hexdigest() == AXE_SHA256
    with tarfile.open(packed) as archive:
        member = archive.extractfile("package/axe.min.js")
        assert member is not None
        return member.read().decode("utf-8")
