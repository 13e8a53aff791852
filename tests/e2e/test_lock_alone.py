"""With the packages of the runtime lock alone: every command, every route of the pages, every log format.

The tests run in a large environment, in which a library finds by chance what it forgot to ask for. And each
command loads only what it needs: what a quick answer must not wait for stands here, command by command.
"""

import ast
import json
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from http.client import HTTPConnection
from pathlib import Path
from typing import Any

import pytest
from lock_view import REPOSITORY, View, locked, plain, view_of

from glidewright.faces.cli import commands
from glidewright.faces.web.app import _routes
from glidewright.faces.web.area import areas
from glidewright.logs.formats import FORMATS

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="links and forks")

RECORDINGS = REPOSITORY / "tests/flight/recordings"
NMEA = "".join(
    f"$GPGGA,1235{second:02d},4807.038,N,01131.{second:03d},E,1,08,0.9,{545 + second}.4,M,46.9,M,,\n"
    for second in range(60)
)
PROJECT = tomllib.loads((REPOSITORY / "pyproject.toml").read_text(encoding="utf-8"))["project"]
DECLARED = {plain(re.split(r"[<>=\[]", wish)[0]) for wish in PROJECT["dependencies"]}
EXTRAS = {"neuralfoil", "psycopg"}  # asked for by name when somebody wants them; a sentence when they lack

# What a command may load. Of what the terminal library brings along, nothing is ever loaded.
TABLE = {"typer", "annotated-doc", "shellingham"}
TYPES = {"pydantic", "pydantic-core", "annotated-types", "typing-inspection", "typing-extensions"}
NOUNS = TABLE | TYPES | {"rich", "numpy", "tomlkit"}
NUMBERS = NOUNS | {"numba", "llvmlite"}
CHARTS, PAPER = {"vl-convert-python"}, {"typst"}
FLIGHTS = NUMBERS | {"sqlalchemy"}
PAGES = NOUNS | {
    "starlette",
    "uvicorn",
    "click",
    "h11",
    "anyio",
    "jinja2",
    "markupsafe",
    "python-multipart",
}
LOGS = FLIGHTS | {"aerofiles", "python-dateutil"}
KERNEL = """
import sys
from glidewright.base.compiled import compiled
@compiled
def double(number: float) -> float:
    return 2.0 * number
print(double(21.0), "numba" in sys.modules)
"""
SMALL = ("m28-1020", "c30", "p2-600", "p2-550", "f10x5", "f11x6")  # a drawer of few builds
Walk = tuple[Sequence[str], set[str]]


def walks(folder: Path, page: Path) -> dict[str, Walk]:
    """Words of every command and what they may load; {log} is one of each format."""
    hill, flights = str(folder / "hill"), folder / "hill-demo-flights"
    igc, nmea = str(RECORDINGS / "aerofiles_example.igc"), str(folder / "walk.nmea")
    return {
        "--help": (["--help"], TABLE),
        "serve --help": (["serve", "--help"], TABLE | TYPES),
        "serve": (
            ["serve", str(folder / "nowhere")],
            PAGES,
        ),  # refused once all is loaded; asked for real below
        "new": (["new", "Lark", "--in", str(folder)], NOUNS),
        "parts": (["parts", hill], NOUNS),
        "check": (["check", hill], NUMBERS),
        "power": (["power", hill], NUMBERS),
        "launch": (["launch", hill], NUMBERS),
        "balance": (["balance", hill], NUMBERS | {"highspy"}),
        "glide": (["glide", hill, "--html", str(page)], NUMBERS | CHARTS),
        "controls": (["controls", hill], NUMBERS),
        "choose": (["choose", hill, "--buy", "1", "--simulate", "1"], NUMBERS),
        "compare": (["compare", hill, f"{hill}/variants/windy-day.toml"], NUMBERS),
        "fair": (["fair", "hill-club-electric", "--draws", "16", "--model", str(folder / "small")], NUMBERS),
        "plan": (["plan", hill], NUMBERS),
        "sheet": (["sheet", hill, "--pdf", str(page.with_suffix(".pdf"))], NUMBERS | PAPER),
        "read igc": (["read", igc, "--model", hill, "--look"], LOGS),
        "read nmea": (["read", nmea, "--model", hill, "--look"], LOGS),
        "read delimited": (
            ["read", str(flights / "evening-1.csv"), "--model", hill, "--accept-channels"],
            LOGS,
        ),
        "calibrate": (["calibrate", hill], FLIGHTS),
    }


def walked(view: View, words: Sequence[Sequence[str]]) -> list[dict[str, Any]]:
    """What came of commands that saw only the view."""
    done = subprocess.run(
        [*view.command, str(REPOSITORY / "tests/support/walk.py"), str(view.place)],
        input=json.dumps(words),
        env=view.surroundings,
        capture_output=True,
        text=True,
        check=False,
        timeout=1200,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return [json.loads(line) for line in done.stdout.splitlines()]


@pytest.fixture(scope="module")
def view(tmp_path_factory: pytest.TempPathFactory) -> View:
    return view_of(locked(), tmp_path_factory.mktemp("libraries"))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory, demo_folder: Path) -> Path:
    place = tmp_path_factory.mktemp("models")
    shutil.copytree(demo_folder, place / "hill")
    shutil.copytree(demo_folder.parent / "hill-demo-flights", place / "hill-demo-flights")
    (place / "walk.nmea").write_text(NMEA)
    shutil.copytree(demo_folder, place / "small", ignore=shutil.ignore_patterns("options.toml"))
    drawer = place / "small/parts/power.toml"
    head, *tables = re.split(r"(?m)^(?=\[\[)", drawer.read_text(encoding="utf-8"))
    kept = [table for table in tables if any(f'"{name}"' in table for name in SMALL)]
    drawer.write_text(head + "".join(kept), encoding="utf-8")
    return place


@pytest.fixture(scope="module")
def found(view: View, folder: Path) -> Mapping[str, dict[str, Any]]:
    """What every walk came to."""
    planned = walks(folder, folder / "page.html")
    return dict(zip(planned, walked(view, [list(words) for words, _ in planned.values()]), strict=True))


WALKS = sorted(walks(Path("models"), Path("page.html")))


def test_no_command_and_no_log_format_is_left_out() -> None:
    first = {name.partition(" ")[0] for name in WALKS}
    there = {path.stem for path in Path(commands.__path__[0]).glob("*.py") if path.stem != "__init__"}
    assert there == first - {"--help"}
    assert {f"read {one.name}" for one in FORMATS} <= set(WALKS)


@pytest.mark.parametrize("walk", WALKS)
def test_a_command_runs_with_the_lock_alone(walk: str, found: Mapping[str, dict[str, Any]]) -> None:
    came = found[walk]
    assert came["code"] in ((2,) if walk == "serve" else (0, 1)), f"{came['code']}\n{came['said']}"
    assert "Traceback" not in came["said"]


@pytest.mark.parametrize("walk", WALKS)
def test_a_command_loads_only_what_it_needs(
    walk: str, found: Mapping[str, dict[str, Any]], view: View, folder: Path
) -> None:
    loaded = {view.package_of[name] for name in found[walk]["libraries"]}
    allowed = walks(folder, folder / "page.html")[walk][1]
    assert loaded <= allowed, f"{walk} loads {sorted(loaded - allowed)}"


def test_charts_and_paper_were_made(found: Mapping[str, dict[str, Any]], folder: Path) -> None:
    assert "vl_convert" in found["glide"]["libraries"]
    assert (folder / "page.html").read_text(encoding="utf-8").count("<svg") > 3
    assert (folder / "page.pdf").read_bytes().startswith(b"%PDF")


def test_a_library_that_is_not_in_the_lock_is_missed_by_name(folder: Path, tmp_path: Path) -> None:
    without = view_of(locked() - {"python-dateutil"}, tmp_path)
    words, _ = walks(folder, folder / "page.html")["read igc"]
    [came] = walked(without, [list(words)])
    assert "No module named 'dateutil'" in str(came["code"])


def test_kernels_are_compiled_with_the_lock_alone(view: View, tmp_path: Path) -> None:
    script = tmp_path / "kernel.py"
    script.write_text(KERNEL)
    own = view.surroundings | {"NUMBA_CACHE_DIR": str(tmp_path)}
    done = subprocess.run(
        [*view.command, script], env=own, capture_output=True, text=True, check=False, timeout=120
    )
    assert (done.stdout, done.stderr) == ("42.0 True\n", "")


# What our own code imports


def imported() -> Iterator[tuple[str, str]]:
    """Every module that the package imports from outside, wherever in a file, with the file."""
    inside = REPOSITORY / "src/glidewright"
    for path in inside.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom) and node.level == 0:
                names = [node.module or ""]
            for top in {name.partition(".")[0] for name in names}:
                if top not in sys.stdlib_module_names and top != "glidewright":
                    yield top, str(path.relative_to(inside))


def test_what_our_code_imports_is_declared_and_what_is_declared_is_imported(view: View) -> None:
    used = {view.package_of.get(name, name): (name, file) for name, file in imported()}
    assert {package: place for package, place in used.items() if package not in DECLARED | EXTRAS} == {}
    indirect = {"python-dateutil", "uvicorn", "python-multipart"}  # asked for by other libraries or by name
    assert DECLARED - set(used) <= indirect
    assert locked() >= DECLARED


# Pages

OWN = {"origin": "http://127.0.0.1", "sec-fetch-site": "same-origin", "accept": "text/html"}
FORM = "application/x-www-form-urlencoded"
FILE = b"""--edge\r
Content-Disposition: form-data; name="file"; filename="evening-2.csv"\r
\r
%s\r
--edge--\r
"""


class Visitor:
    """Asks a served program, and remembers which routes it has asked."""

    def __init__(self, port: int) -> None:
        self.port = port
        self.asked: list[str] = []

    def ask(self, path: str, body: bytes | None = None, kind: str = "application/json") -> tuple[int, str]:
        """Status and text of one answer; a mistake of the program fails."""
        line = HTTPConnection("127.0.0.1", self.port, timeout=120)
        headers = OWN | {"origin": f"http://127.0.0.1:{self.port}"} | ({"content-type": kind} if body else {})
        line.request("GET" if body is None else "POST", path, body, headers)
        answer = line.getresponse()
        text = answer.read().decode("latin-1")
        line.close()
        self.asked.append(path)
        assert answer.status < 500, (path, text[-2000:])
        assert "mistake of the program" not in text, path
        return answer.status, text


@pytest.fixture(scope="module")
def visitor(view: View, folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    workshop = tmp_path_factory.mktemp("workshop")
    shutil.copytree(folder / "hill", workshop / "hill", ignore=shutil.ignore_patterns("logbook*", "flights"))
    with subprocess.Popen(
        [*view.command, "-m", "glidewright", "serve", str(workshop), "--port", "0", "--no-browser"],
        env=view.surroundings,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        address = re.search(r"open at http://127\.0\.0\.1:(\d+)/", running.stdout.readline())
        assert address, running.stderr.read()
        yield Visitor(int(address[1]))
        running.terminate()
        assert "Traceback" not in running.stderr.read()


def job_in(page: str) -> str:
    """The key of the work that a page waits for; nothing when it is there already."""
    key = re.search(r'data-job="(\w+)"', page)
    return key[1] if key else ""


def test_every_page_is_answered_with_the_lock_alone(visitor: Visitor) -> None:
    status, _ = visitor.ask("/m/hill/")
    assert status == 303
    for path in ("/", "/new", "/code", "/m/hill/model", "/m/hill/drawer", "/m/hill/text/model.toml"):
        assert visitor.ask(path)[0] == 200, path
    waiting = []
    for area in areas().values():
        status, page = visitor.ask(f"/m/hill/{area.key}")
        assert status == 200, area.key
        waiting += [(area.key, key)] if (key := job_in(page)) else []
        if area.live is not None:
            assert visitor.ask(f"/m/hill/{area.key}/live")[0] == 200
            assert visitor.ask(f"/m/hill/{area.key}/scene")[0] == 200
        for ending, _ in area.files:
            status, file = visitor.ask(f"/m/hill/{area.key}/file/{ending}")
            assert (status, file[:4]) == (200, "%PDF")
    assert waiting
    for name, key in waiting:
        told = visitor.ask(f"/jobs/{key}/events")[1].strip().splitlines()[-1]
        assert '"state": "done"' in told, (name, told)
        assert visitor.ask(f"/jobs/{key}/report")[0] == 200
        assert visitor.ask(f"/jobs/{key}")[0] == 200


def test_everything_that_a_page_can_send_is_answered_with_the_lock_alone(visitor: Visitor) -> None:
    log = (REPOSITORY / "src/glidewright/data/demo/hill-demo-flights/evening-2.csv").read_bytes()
    assert visitor.ask("/demo", b"")[0] == 303
    assert visitor.ask("/new", b"name=Wren", FORM)[0] == 303
    assert visitor.ask("/code", b"code=1", FORM)[0] == 403
    status, text = visitor.ask(
        "/m/hill/flights/upload", FILE.replace(b"%s", log), "multipart/form-data; boundary=edge"
    )
    assert status == 303, text
    assert visitor.ask("/m/hill/enter", json.dumps({"log": "evening-2.csv"}).encode())[0] in (200, 422)
    for errand in ("set", "add", "outcome", "put", "remove", "undo", "redo"):
        assert visitor.ask(f"/m/hill/{errand}", b"{}")[0] in (200, 409, 422), errand
    visitor.ask("/m/hill/fields")
    assert visitor.ask("/m/hill/text/model.toml", b"text=x", FORM)[0] in (409, 422)
    visitor.ask("/m/hill/choose/start", b"", FORM)
    key = job_in(visitor.ask("/m/hill/choose?started=1")[1])
    assert key
    assert visitor.ask(f"/jobs/{key}/stop", b"")[0] == 200
    assert visitor.ask("/static/report.css")[0] == 200
    assert visitor.ask("/static/report.js")[0] == 200


def test_no_route_was_left_out(visitor: Visitor) -> None:
    patterns = [
        re.sub(r"\{file:path\}", ".+", re.sub(r"\{\w+\}", "[^/]+", route.path)) for route in _routes()
    ]
    patterns = [f"{one}/.+" if one == "/static" else one for one in patterns]
    paths = {path.partition("?")[0] for path in visitor.asked}
    assert len(paths) > len(patterns)
    assert [one for one in patterns if not any(re.fullmatch(one, path) for path in paths)] == []
