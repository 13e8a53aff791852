"""The pages in a real browser: from a slider to the redrawn line, the first page, its weight, many clients.

Run ``python benchmarks/bench_pages.py`` where Chromium is installed, with kernels compiled by an earlier run.
 Aims: operating points and balance under 100 ms in the median, a launch with its spread under
250 ms, the first page under 1 s warm and under 1 MB compressed, 20 clients without a failed request.
"""

import http.client
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from measure import DEMO, Measured, finish

BROWSERS = ("chromium", "chromium-browser", "google-chrome")
ADDRESS = re.compile(r"open at (http://127\.0\.0\.1:(\d+))/")
RUNS, CLIENTS, ASKED_EACH = 40, 20, 12
WARM_S = 60.0
# one movement of a control, and how long until what follows it has changed and was painted
MOVED = """async ([control, value, watched, attribute]) => {
  const input = document.querySelector(control);
  const place = document.querySelector(watched);
  const read = () => attribute ? place.getAttribute(attribute) : place.textContent;
  const before = read();
  const began = performance.now();
  input.value = value;
  input.dispatchEvent(new Event("input", { bubbles: true }));
  return await new Promise((done) => {
    const look = () => (read() === before && performance.now() - began < 3000)
      ? requestAnimationFrame(look) : done(performance.now() - began);
    requestAnimationFrame(look);
  });
}"""
NUDGED = """async ([key]) => {
  const handle = document.querySelector(".handle");
  const place = document.querySelector(".centre-lane");
  const before = place.getAttribute("transform");
  const began = performance.now();
  handle.dispatchEvent(new KeyboardEvent("keydown", { key, shiftKey: true, bubbles: true }));
  return await new Promise((done) => {
    const look = () => (place.getAttribute("transform") === before && performance.now() - began < 3000)
      ? requestAnimationFrame(look) : done(performance.now() - began);
    requestAnimationFrame(look);
  });
}"""


@contextmanager
def served() -> Iterator[tuple[str, int]]:
    """The program on a copy of the demo; its address and port."""
    with tempfile.TemporaryDirectory() as place:
        shutil.copytree(DEMO, Path(place) / "hill-demo")
        words = [sys.executable, "-m", "glidewright", "serve", place, "--port", "0", "--no-browser"]
        began = time.perf_counter()
        program = subprocess.Popen(words, stdout=subprocess.PIPE, text=True)
        assert program.stdout is not None
        try:
            found = ADDRESS.search(program.stdout.readline())
            assert found is not None
            get(int(found[2]), "/")
            print(f"start to first answer {time.perf_counter() - began:.2f} s")
            yield found[1], int(found[2])
        finally:
            program.terminate()
            program.wait(timeout=20)
            program.stdout.close()


def get(port: int, path: str) -> tuple[int, int]:
    """Status and compressed size of one answer."""
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    line.request("GET", path, headers={"accept-encoding": "gzip", "accept": "text/html"})
    answer = line.getresponse()
    size = len(answer.read())
    line.close()
    return answer.status, size


def wait_until_warm(port: int) -> None:
    """Ask for everything that is measured once, until it comes at once."""
    until = time.perf_counter() + WARM_S
    for path in ("check", "power", "launch", "balance"):
        while time.perf_counter() < until:
            began = time.perf_counter()
            get(port, f"/m/hill-demo/{path}")
            if time.perf_counter() - began < 0.35:
                break


def sliders(page: Page, address: str) -> dict[str, float]:
    """Median time from a movement to the redrawn line, in ms."""
    found = {}
    for area, control, watched in (
        ("power", "#in-charge_at_start", ".live .picture.wide .panel0line0_marks > path"),
        ("launch", "#in-headwind_m_s", ".live .picture.wide .panel0line0_marks > path"),
    ):
        page.goto(f"{address}/m/hill-demo/{area}")
        page.wait_for_selector("[data-ready]")
        page.wait_for_selector("#report[data-job]", state="detached")
        page.wait_for_selector(watched, state="attached")
        highest = 100 if area == "power" else 12
        values = [highest * (0.5 + 0.45 * ((7 * run) % 10) / 10) for run in range(RUNS + 1)]
        times = [page.evaluate(MOVED, [control, str(round(value, 1)), watched, "d"]) for value in values]
        found[area] = statistics.median(times[1:])
    page.goto(f"{address}/m/hill-demo/balance")
    page.wait_for_selector("[data-ready=yes]")
    page.wait_for_selector("#report[data-job]", state="detached")
    page.wait_for_selector(".centre-lane", state="attached")
    keys = ["ArrowRight" if run % 2 else "ArrowLeft" for run in range(RUNS + 1)]
    found["balance"] = statistics.median([page.evaluate(NUDGED, [key]) for key in keys][1:])
    return found


def first_page(page: Page, address: str) -> tuple[float, float]:
    """Seconds until the check page is loaded, and its weight in kB as it went over the line."""
    line = page.context.new_cdp_session(page)
    weights: list[float] = []
    line.send("Network.enable")
    line.send("Network.setCacheDisabled", {"cacheDisabled": True})
    line.on("Network.loadingFinished", lambda told: weights.append(told["encodedDataLength"]))
    times = []
    for _ in range(5):
        weights.clear()
        page.goto(f"{address}/m/hill-demo/check", wait_until="load")
        times.append(page.evaluate("performance.getEntriesByType('navigation')[0].loadEventEnd / 1000"))
        page.wait_for_timeout(300)
    return statistics.median(times), sum(weights) / 1000.0


def many(port: int) -> tuple[int, int, float]:
    """Requests and failures of many clients at once, and the slowest answer in seconds."""
    paths = (
        "/",
        "/m/hill-demo/check",
        "/m/hill-demo/model",
        "/m/hill-demo/power/live?charge_at_start=",
        "/static/app.js",
    )

    def ask(client: int) -> list[tuple[int, float]]:
        found = []
        for turn in range(ASKED_EACH):
            path = paths[(client + turn) % len(paths)]
            path += str(40 + client + turn) if path.endswith("=") else ""
            began = time.perf_counter()
            status, _ = get(port, path)
            found.append((status, time.perf_counter() - began))
        return found

    with ThreadPoolExecutor(CLIENTS) as clients:
        answers = [one for row in clients.map(ask, range(CLIENTS)) for one in row]
    return len(answers), sum(status != 200 for status, _ in answers), max(took for _, took in answers)


def main() -> dict[str, float]:
    """Print and return what was measured."""
    path = next((place for name in BROWSERS if (place := shutil.which(name))), None)
    if path is None:
        raise SystemExit("a browser is needed, one of " + ", ".join(BROWSERS))
    with served() as (address, port), sync_playwright() as driver:
        wait_until_warm(port)
        browser = driver.chromium.launch(executable_path=path, args=["--no-sandbox"])
        page = browser.new_context(viewport={"width": 1280, "height": 900}).new_page()
        found = sliders(page, address)
        for name, took in found.items():
            print(f"{name}: a movement is redrawn after {took:.0f} ms (median of {RUNS})")
        seconds, weight = first_page(page, address)
        print(f"check page, warm: loaded after {seconds:.2f} s, {weight:.0f} kB over the line")
        browser.close()
        asked, failed, slowest = many(port)
        print(f"{CLIENTS} clients: {asked} requests, {failed} failed, the slowest took {slowest:.2f} s")
    return found | {"first page": seconds, "weight": weight, "failed": float(failed), "slowest": slowest}


def measured() -> Sequence[Measured]:
    """The figures of the report."""
    found = main()
    moved = f"median of {RUNS} movements, painted"
    rows = [
        Measured(
            f"page of {area}, a change to the redrawn chart", found[area] / 1000.0, "s", goal=0.2, note=moved
        )
        for area in ("power", "launch", "balance")
    ]
    weight = f"{found['weight']:.0f} kB over the line"
    many = f"of {CLIENTS} clients at once, {found['failed']:.0f} requests failed"
    return [
        *rows,
        Measured("first page, warm", found["first page"], "s", goal=1.0, note=weight),
        Measured("slowest answer", found["slowest"], "s", note=many),
    ]


if __name__ == "__main__":
    finish(measured)
