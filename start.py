#!/usr/bin/env python3
"""Set glidewright up and run it: ``python3 start.py`` for the demo, ``python3 start.py test`` for all checks.

Standard library only. Makes ``.venv`` beside this file, installs the locked packages into it (again only when
the lock changed), then runs. Any other words are handed to the program: ``python3 start.py check my-model``.
"""

from __future__ import annotations

import hashlib
import io
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

try:
    import fcntl
except ImportError:  # Windows has none
    fcntl = None  # type: ignore[assignment]
try:
    import venv
except ImportError:  # some systems pack it apart
    venv = None  # type: ignore[assignment]

HERE = Path(__file__).resolve().parent
ENVIRONMENT = HERE / ".venv"
UNFINISHED = "unfinished"  # stands in the environment from its first package to its last
OLDEST, NEWEST = (3, 11), (3, 13)
LOCK, TEST_LOCK = "requirements.lock", "requirements-test.lock"
BUILD_LOCK = "requirements-build.lock"  # what builds the one package that comes as source; it goes again
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
# Relative, so that the folder may be renamed, and without letters that a Windows code page lacks.
_LINK = """
import os, sys, sysconfig
place = sysconfig.get_path("purelib")
with open(os.path.join(place, "glidewright.pth"), "w", encoding="utf-8") as file:
    file.write(os.path.relpath(sys.argv[1], place) + "\\n")
"""
_PIP = """
try:
    import pip._internal.cli.main
except ImportError:
    raise SystemExit(1)
"""
_VERSION = "import sys; print(sys.version_info[0], sys.version_info[1])"
_AGAIN = f"delete the folder {ENVIRONMENT}, then run start.py again."
_NO_VENV = "on Debian and Ubuntu run 'sudo apt-get install python3-venv', then start.py again."


def say(sentence: str) -> None:
    """One line for the person in front of the screen."""
    print(f"glidewright: {sentence}", flush=True)


def stop(sentence: str, code: int = 2) -> SystemExit:
    """What ends the program with a sentence, by itself with the exit code of bad input."""
    print(f"glidewright: {sentence}", file=sys.stderr, flush=True)
    return SystemExit(code)


def require_python() -> None:
    """Refuse a Python that the locked packages are not made for, and name one that is there."""
    if OLDEST <= sys.version_info[:2] <= NEWEST:
        return
    oldest, newest = (".".join(map(str, version)) for version in (OLDEST, NEWEST))
    came = ".".join(map(str, sys.version_info[:3]))
    raise stop(f"Python must be {oldest} to {newest}; this is {came}; {another_python(newest)}")


def another_python(newest: str) -> str:
    """What to do about a Python that does not fit, here."""
    for minor in range(NEWEST[1], OLDEST[1] - 1, -1):
        words = ["py", f"-3.{minor}"] if os.name == "nt" else [f"python3.{minor}"]
        with suppress(OSError):
            if subprocess.run([*words, "-c", ""], capture_output=True, check=False).returncode == 0:
                return f"run '{' '.join(words)} start.py', which is on this machine."
    return f"install Python {newest} (python.org, or the packages of your system), then run start.py with it."


def python_of_environment() -> Path:
    """The interpreter inside ``.venv``."""
    return ENVIRONMENT / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def surroundings() -> dict[str, str]:
    """Variables for what is started: without those that would bring in packages of another Python."""
    return {name: value for name, value in os.environ.items() if name not in ("PYTHONHOME", "PYTHONPATH")}


def run(*words: str, silent: bool = False) -> int:
    """Run the interpreter of the environment in this folder and hand back its exit code."""
    output = subprocess.DEVNULL if silent else None
    command = [str(python_of_environment()), *words]
    return subprocess.run(command, cwd=HERE, check=False, stdout=output, env=surroundings()).returncode


def hand_over(*words: str) -> int:
    """Run the program where the person stands; Ctrl-C and a kill reach it with nothing in between."""
    command = [str(python_of_environment()), "-P", "-m", "glidewright", *words]
    if os.name == "posix":
        os.execve(command[0], command, surroundings())
    child = subprocess.Popen(command, env=surroundings())
    while True:
        with suppress(KeyboardInterrupt):  # the program has it too, and ends in its own way
            return child.wait()


@contextmanager
def alone() -> Iterator[None]:
    """Wait until no other start.py sets up here; the system takes this back from one that was killed."""
    with Path(__file__).open(encoding="utf-8") as own:
        if fcntl is not None:
            with suppress(OSError):  # a network drive that cannot
                fcntl.flock(own, fcntl.LOCK_EX)
        yield


def set_up(lock: str) -> None:
    """Make the environment and install the lock, unless this very lock is in it already."""
    if is_installed(lock):
        return
    with alone():
        if not is_installed(lock):
            ready_environment()
            install(lock)


def digest_of(lock: str) -> str:
    """What the stamp of an installed lock holds."""
    return hashlib.sha256((HERE / lock).read_bytes() + (HERE / BUILD_LOCK).read_bytes()).hexdigest()


def stamp_of(lock: str) -> Path:
    """The file that says which text of a lock is installed."""
    return ENVIRONMENT / f"{Path(lock).stem}.installed"


def is_installed(lock: str) -> bool:
    """Whether the environment holds all of this lock."""
    ready = python_of_environment().exists() and not (ENVIRONMENT / UNFINISHED).exists()
    stamp = stamp_of(lock)
    return ready and stamp.exists() and stamp.read_text(encoding="utf-8") == digest_of(lock)


def ready_environment() -> None:
    """An environment with pip that can be installed into; one that was left half-made is made anew."""
    is_half_made = (ENVIRONMENT / UNFINISHED).exists()
    if is_half_made or not python_of_environment().exists():
        say(f"making {ENVIRONMENT.name} " + ("anew, the last try was cut" if is_half_made else "(once)"))
        make_environment()
        return
    version = version_inside()
    if not OLDEST <= version <= NEWEST:
        came = f"Python {'.'.join(map(str, version))}" if version else "one that does not run"
        limits = f"3.{OLDEST[1]} to 3.{NEWEST[1]}"
        raise stop(f"{ENVIRONMENT.name} must hold a Python {limits}; it holds {came}; {_AGAIN}")
    if run("-c", _PIP):
        say(f"putting pip into {ENVIRONMENT.name}")
        if run("-m", "ensurepip", "--upgrade", "--default-pip", silent=True):
            raise stop(f"pip must be in {ENVIRONMENT.name} and could not be put there; {_AGAIN}")


def version_inside() -> tuple[int, ...]:
    """Version of the Python in the environment; empty when it does not run."""
    command = [str(python_of_environment()), "-c", _VERSION]
    with suppress(OSError):
        said = subprocess.run(command, capture_output=True, text=True, check=False, env=surroundings()).stdout
        return tuple(map(int, said.split()))
    return ()


def make_environment() -> None:
    """Make ``.venv`` with pip and nothing else; what stood there goes."""
    if venv is None:
        raise stop(f"the module venv must come with Python; this Python has none; {_NO_VENV}")
    try:
        venv.create(ENVIRONMENT, with_pip=True, clear=ENVIRONMENT.exists())
    except OSError as failed:
        raise stop(
            f"{ENVIRONMENT} must be made and was not ({failed}); put {HERE.name} where you may write "
            "and where a gigabyte is free, then run start.py there."
        ) from None
    except (SystemExit, subprocess.CalledProcessError) as failed:  # Debian's venv ends the program
        why = f" ({failed})" if isinstance(failed, subprocess.CalledProcessError) else ""
        raise stop(f"{ENVIRONMENT} must be made with pip and was not{why}; {_NO_VENV}") from None


def install(lock: str) -> None:
    """Install a lock and make the program of this folder known to its environment."""
    half = ENVIRONMENT / UNFINISHED
    half.touch()
    say(f"installing the packages of {lock} (once, a minute or two)")
    # Byte code comes into being as modules are used, a tenth of the room - unless that is switched off here.
    byte_code = "--compile" if os.environ.get("PYTHONDONTWRITEBYTECODE") else "--no-compile"
    pip = ("-m", "pip", "install", "--quiet", "--disable-pip-version-check", byte_code, "--require-hashes")
    steps = (
        (*pip, "-r", BUILD_LOCK),
        (*pip, "--use-pep517", "--no-build-isolation", "-r", lock),
        ("-m", "pip", "uninstall", "--quiet", "--yes", "setuptools"),
        ("-c", _LINK, str(HERE / "src")),
    )
    if any(run(*step) for step in steps):
        half.unlink()  # it ended by itself: what is there is whole
        raise stop(
            "the packages must be installed and were not; see above, check network and disk, try again."
        )
    for held in {LOCK, lock}:  # the lock of the tests holds the other one
        stamp_of(held).write_text(digest_of(held), encoding="utf-8")
    half.unlink()


def demo() -> int:
    """Check the demo model, write its report and sheet; a broken limit is part of the demo, no failure."""
    try:
        REPORT.parent.mkdir(exist_ok=True)
    except OSError as failed:
        say(f"no page is written ({failed})")
        code = run("-m", "glidewright", "check", str(DEMO))
        return 0 if code == 1 else code
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
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # the folder may have letters that the screen lacks
    words = sys.argv[1:]
    try:
        set_up(TEST_LOCK if words == ["test"] else LOCK)
        if not words:
            return demo()
        if words == ["test"]:
            return check_everything()
        return hand_over(*words)
    except KeyboardInterrupt:
        raise stop("stopped; start.py takes up from here when it is run again.", 130) from None


if __name__ == "__main__":
    raise SystemExit(main())
