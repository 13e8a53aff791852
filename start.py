#!/usr/bin/env python3
"""Set glidewright up and run it: ``python3 start.py`` for the demo, ``python3 start.py test`` for all checks.

Standard library only. Makes ``.venv`` beside this file, installs the locked packages into it (again only when
the lock changed), then runs. Any other words are handed to the program: ``python3 start.py check my-model``.
"""

import hashlib
import os
import subprocess
import sys
import venv
from pathlib import Path

HERE = Path(__file__).resolve().parent
ENVIRONMENT = HERE / ".venv"
OLDEST, NEWEST = (3, 11), (3, 13)
DEMO = HERE / "src/glidewright/data/demo/hill-demo"
REPORT = HERE / "out/demo-check.html"
SHEET = HERE / "out/demo-sheet.pdf"
CHECKS = (
    ("lint", ("-m", "ruff", "check", ".")),
    ("format", ("-m", "ruff", "format", "--check", ".")),
    ("types", ("-m", "mypy")),
    ("rooms", ("-c", "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports())")),
    ("tests", ("-m", "pytest", "-q", "-n", "2", "--cov=glidewright", "--cov-branch", "--cov-report=")),
    ("coverage by room", ("tests/coverage_by_room.py",)),
)


def say(sentence: str) -> None:
    """One line for the person in front of the screen."""
    print(f"glidewright: {sentence}", flush=True)


def stop(sentence: str) -> None:
    """End with a sentence and the exit code of bad input."""
    print(f"glidewright: {sentence}", file=sys.stderr, flush=True)
    raise SystemExit(2)


def require_python() -> None:
    """Refuse a Python that the locked packages are not made for."""
    if not OLDEST <= sys.version_info[:2] <= NEWEST:
        oldest, newest = (".".join(map(str, version)) for version in (OLDEST, NEWEST))
        came = ".".join(map(str, sys.version_info[:3]))
        stop(f"Python must be {oldest} to {newest}; this is {came}; run start.py with one of those.")


def python_of_environment() -> Path:
    """The interpreter inside ``.venv``."""
    return ENVIRONMENT / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def run(*words: str, silent: bool = False) -> int:
    """Run the interpreter of the environment and hand back its exit code."""
    output = subprocess.DEVNULL if silent else None
    command = [str(python_of_environment()), *words]
    return subprocess.run(command, cwd=HERE, check=False, stdout=output).returncode


def set_up(lock: str) -> None:
    """Make the environment and install the lock, unless this very lock is in it already."""
    digest = hashlib.sha256((HERE / lock).read_bytes() + (HERE / "pyproject.toml").read_bytes()).hexdigest()
    stamp = ENVIRONMENT / f"{Path(lock).stem}.installed"
    if python_of_environment().exists() and stamp.exists() and stamp.read_text() == digest:
        return
    if not python_of_environment().exists():
        say(f"making {ENVIRONMENT.name} (once)")
        try:
            venv.create(ENVIRONMENT, with_pip=True, clear=ENVIRONMENT.exists())
        except (OSError, subprocess.CalledProcessError) as failed:
            stop(
                f"the environment {ENVIRONMENT} must be made and was not ({failed}); on Debian and Ubuntu "
                "run 'sudo apt-get install python3-venv', then start.py again."
            )
    say(f"installing the packages of {lock} (once, a minute or two)")
    pip = ("-m", "pip", "install", "--quiet", "--disable-pip-version-check")
    if run(*pip, "--require-hashes", "-r", lock) or run(*pip, "--no-deps", "--no-build-isolation", "-e", "."):
        stop("the packages must be installed and were not; see above, check the network, try again.")
    stamp.write_text(digest)


def demo() -> int:
    """Check the demo model, write its report and sheet; a broken limit is part of the demo, no failure."""
    REPORT.parent.mkdir(exist_ok=True)
    code = run("-m", "glidewright", "check", str(DEMO), "--html", str(REPORT))
    if code in (0, 1):
        made = run("-m", "glidewright", "sheet", str(DEMO), "--pdf", str(SHEET), "--json", silent=True)
        say(f"the same with charts: {REPORT}")
        if made in (0, 1):
            say(f"one page for the field and the test plan: {SHEET}")
        say("your own model: python3 start.py new my-model, then python3 start.py check my-model")
        say("the same in the browser: python3 start.py serve")
        return 0
    return code


def check_everything() -> int:
    """Run what continuous integration runs; the exit code is 0 only when every check passed."""
    failed = []
    for name, words in CHECKS:
        say(f"checking {name}")
        if run(*words):
            failed.append(name)
    say(f"failed: {', '.join(failed)}" if failed else "every check passed")
    return 1 if failed else 0


def main() -> int:
    """Set up, then do what the words say."""
    require_python()
    words = sys.argv[1:]
    set_up("requirements-test.lock" if words == ["test"] else "requirements.lock")
    if not words:
        return demo()
    if words == ["test"]:
        return check_everything()
    return run("-m", "glidewright", *words)


if __name__ == "__main__":
    raise SystemExit(main())
