"""Take pictures of the pages in a browser, on the demo, into docs/images/pages/.

    python docs/make_screenshots.py            take them; needs Chromium
    python docs/make_screenshots.py --check    say whether they exist and are small

A picture of a page follows the fonts of the machine, so it is compared with nothing. The packages are those
of the browser tests.
"""

import io
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from glidewright.data import packaged
from marked import DOCS, ROOT

ONLY_WITH = "--with-screenshots"
FOLDER = DOCS / "images" / "pages"
LARGEST_bytes = 150_000
_BROWSERS = ("chromium", "chromium-browser", "google-chrome")
_ADDRESS = re.compile(r"open at (http://127\.0\.0\.1:\d+)/")
_PATIENCE_ms = 60_000
_COLOURS = 64


@dataclass(frozen=True)
class Shot:
    """One picture: name of its file, page below the model, and size of the window."""

    name: str
    page: str
    width: int
    height: int
    scale: float = 1.0


SHOTS = (
    Shot("check_desktop", "check", 1280, 860),
    Shot("launch_desktop", "launch", 1280, 860),
    Shot("check_phone", "check", 390, 844, 1.5),
    Shot("balance_phone", "balance", 390, 844, 1.5),
)


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """Address of the pages on a folder while they are served."""
    words = [sys.executable, "-m", "glidewright", "serve", str(folder), "--port", "0", "--no-browser"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as program:
        try:
            found = _ADDRESS.search(program.stdout.readline() if program.stdout else "")
            if found is None:
                raise RuntimeError(
                    "the program must print its address first; run glidewright serve to see why"
                )
            yield found[1]
        finally:
            program.terminate()


def take(folder: Path, browser: str) -> None:
    """Take every picture of the demo in a folder; the browser is given by its path."""
    from PIL import Image  # noqa: PLC0415 - not needed for --check
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 - not needed for --check

    with served(folder) as address, sync_playwright() as driver:
        running = driver.chromium.launch(executable_path=browser, args=["--no-sandbox"])
        for shot in SHOTS:
            page = running.new_page(
                viewport={"width": shot.width, "height": shot.height},
                device_scale_factor=shot.scale,
                color_scheme="light",
            )
            page.goto(f"{address}/m/hill-demo/{shot.page}")
            page.wait_for_selector("#report[data-job]", state="detached", timeout=_PATIENCE_ms)
            raw = page.screenshot()
            page.close()
            picture = Image.open(io.BytesIO(raw)).convert("RGB").quantize(_COLOURS, dither=Image.Dither.NONE)
            picture.save(FOLDER / f"{shot.name}.png", optimize=True)
        running.close()


def lacking() -> list[str]:
    """What is wrong with the files, each as a sentence."""
    said = []
    for shot in SHOTS:
        path = FOLDER / f"{shot.name}.png"
        if not path.exists():
            said.append(f"{path.relative_to(ROOT)}: missing; run python docs/make_screenshots.py")
        elif path.stat().st_size > LARGEST_bytes:
            said.append(f"{path.relative_to(ROOT)}: {path.stat().st_size} bytes; at most {LARGEST_bytes}")
    return said


def main() -> int:
    """Take the pictures, or say what is wrong with them."""
    if "--check" not in sys.argv[1:]:
        browser = next((found for name in _BROWSERS if (found := shutil.which(name))), None)
        if browser is None:
            print(f"must have a browser, one of {', '.join(_BROWSERS)}; none was found; install chromium")
            return 2
        FOLDER.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory() as name:
            shutil.copytree(Path(str(packaged("demo", "hill-demo"))), Path(name) / "hill-demo")
            take(Path(name), browser)
    said = lacking()
    for line in said:
        print(line)
    return 1 if said else 0


if __name__ == "__main__":
    raise SystemExit(main())
