"""What the usual commands do without: libraries for the logbook, the pages, the sheet and the studies."""

import subprocess
import sys
from pathlib import Path

import pytest

SPARED = (
    "sqlalchemy", "starlette", "uvicorn", "anyio", "multipart", "jinja2", "typst", "aerofiles", "highspy",
    "scipy", "pandas", "neuralfoil", "aerosandbox",
)  # fmt: skip
CODE = """
import sys
spared = sys.argv[1].split(",")
for name in spared:
    sys.modules[name] = None  # an import of it fails
from glidewright.faces.cli.main import main
if sys.argv[2] == "check":
    from glidewright.decisions import check
    check.best_changes = lambda *_: ()  # most of the time, and more of the same
code = main(sys.argv[2:])
print("ended with", code)
"""


def ended(*words: str) -> str:
    """The last line of a command that cannot import what it must do without."""
    done = subprocess.run(
        [sys.executable, "-c", CODE, ",".join(SPARED), *words],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert "Traceback" not in done.stderr, done.stderr[-2000:]
    return done.stdout.splitlines()[-1]


def test_check_does_without(demo_folder: Path) -> None:
    assert ended("check", str(demo_folder)) == "ended with 1"  # the demo has findings


@pytest.mark.parametrize("words", [("--help",), ("check", "--help"), ("serve", "--help")])
def test_help_does_without(words: tuple[str, ...]) -> None:
    assert ended(*words) == "ended with 0"


def test_parts_and_new_do_without(demo_folder: Path, tmp_path: Path) -> None:
    assert ended("parts", str(demo_folder)) == "ended with 0"
    assert ended("new", "Lark", "--in", str(tmp_path)) == "ended with 0"


def test_the_guard_can_fail(demo_folder: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", CODE, "numpy", "check", str(demo_folder)],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert "import of numpy halted" in done.stderr
