"""Set up and run everything where there is nothing of ours: no packages, no caches, no compiled kernels.

    python studies/fresh_machines.py [--tests] [--bare] [VERSION ...]

For every Python of the project that is found (pyenv, or ``python3.1x`` on the path), or those given as 3.12:
a clone of HEAD in an empty folder with a space and an umlaut in its name, the first command of the README
twice, with ``--tests`` the second one too, wheel and source archive, and the wheel with the lock in another
clean environment, used from outside of the checkout. With ``--bare``, as root and with debootstrap, only a
Debian of its smallest set of packages, in a folder of its own. What was found goes into docs/machines.json,
the other runs there stay; ``docs/make_machines.py`` makes the page of it. A step that fails ends the run.
"""

import argparse
import json
import os
import platform
import re
import shutil
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any
from urllib.request import urlopen

ROOT = Path(__file__).resolve().parents[1]
KEPT = ROOT / "docs/machines.json"
VERSIONS = ("3.11", "3.12", "3.13")
PASSED_ON = ("PIP_INDEX_URL", "PIP_CERT", "SSL_CERT_FILE", "HTTP_PROXY", "HTTPS_PROXY", "NO_PROXY")
LARGEST = 10
DEBIAN = "bookworm"
MB = 1e6
SIZES = """
import importlib.metadata as metadata, json, os, sys
def room(path):
    if not os.path.isdir(path):
        return os.path.getsize(path) if os.path.exists(path) else 0
    return sum(os.path.getsize(os.path.join(at, name)) for at, _, names in os.walk(path) for name in names)
found = {}
for package in metadata.distributions():
    tops = {file.parts[0] for file in package.files or ()} - {"..", "__pycache__"}
    size = sum(room(package.locate_file(top)) for top in tops)
    found[package.metadata["Name"]] = [package.version, size]
print(json.dumps(found))
"""
Found = dict[str, Any]


class FailedError(RuntimeError):
    """A step that did not do what it must."""


@dataclass(frozen=True)
class Desk:
    """An empty place to work at: the folder, and variables without anything of this machine's user."""

    place: Path

    @property
    def surroundings(self) -> dict[str, str]:
        """Variables of a user who has just logged in for the first time."""
        own = {name: os.environ[name] for name in PASSED_ON if name in os.environ}
        home = str(self.place / "home")
        own |= {
            "HOME": home,
            "DEBIAN_FRONTEND": "noninteractive",
            "XDG_CACHE_HOME": f"{home}/.cache",
            "LANG": "C.UTF-8",
        }
        return own | {
            "PATH": "/usr/local/bin:/usr/bin:/bin:/usr/sbin:/sbin",
            "PIP_DISABLE_PIP_VERSION_CHECK": "1",
        }

    def run(self, *words: object, at: Path, good: Sequence[int] = (0,)) -> tuple[float, str]:
        """Seconds and output of a command; FailedError for an exit code that is not good."""
        begin = time.monotonic()
        done = subprocess.run(
            [str(word) for word in words],
            cwd=at,
            env=self.surroundings,
            capture_output=True,
            text=True,
            check=False,
        )
        line = " ".join(map(str, words))
        if done.returncode not in good:
            said = (done.stdout + done.stderr)[-3000:]
            raise FailedError(f"{line}\nended with {done.returncode}\n{said}")
        return round(time.monotonic() - begin, 1), done.stdout


@contextmanager
def desk(prefix: str = "fresh ", inside: str = "Flügel") -> Iterator[Desk]:
    """A desk that is cleared away afterwards."""
    with tempfile.TemporaryDirectory(prefix=prefix) as name:
        place = Path(name).resolve() / inside
        (place / "home").mkdir(parents=True)
        yield Desk(place)


def pythons(wanted: Sequence[str]) -> dict[str, Path]:
    """An interpreter for each version that is found and runs, the newest of pyenv before that on the path."""
    found = {}
    for version in wanted:
        kept = sorted(Path.home().glob(f".pyenv/versions/{version}.*/bin/python{version}"), key=_patch)
        on_path = shutil.which(f"python{version}")
        for python in [*kept[::-1], *([Path(on_path)] if on_path else [])]:
            if subprocess.run([python, "-c", ""], check=False, capture_output=True).returncode == 0:
                found[version] = python
                break
    return found


def _patch(path: Path) -> int:
    return int(path.parents[1].name.rpartition(".")[2])


def pins(lock: Path) -> dict[str, set[str]]:
    """Versions that a lock has of each package, on whatever system."""
    found: dict[str, set[str]] = {}
    for name, version in re.findall(r"^([\w.-]+)==([\w.]+)", lock.read_text(encoding="utf-8"), re.MULTILINE):
        found.setdefault(_plain(name), set()).add(version)
    return found


def _plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def installed(at: Desk, python: Path, folder: Path, own: Sequence[str]) -> Found:
    """Number and size of what is installed; FailedError for a package that the lock does not name."""
    said = json.loads(at.run(python, "-c", SIZES, at=folder)[1])
    packages = {_plain(name): (version, size) for name, (version, size) in said.items()}
    lock = pins(ROOT / "requirements.lock")
    foreign = {
        name: version
        for name, (version, _) in packages.items()
        if name not in own and version not in lock.get(name, ())
    }
    if foreign:
        raise FailedError(f"installed and not in the lock: {foreign}")
    by_size = sorted(((size, name) for name, (_, size) in packages.items()), reverse=True)
    return {
        "packages": len(set(packages) - set(own)),
        "MB": _room(python.parents[1]),
        "largest_MB": {name: round(size / MB, 1) for size, name in by_size[:LARGEST]},
    }


def _room(folder: Path) -> float:
    files = (path for path in folder.rglob("*") if path.is_file() and not path.is_symlink())
    return round(sum(path.stat().st_size for path in files) / MB, 1)


def readme(at: Desk, python: Path, with_tests: bool) -> tuple[Path, Found]:
    """A clone, and the commands of the README in it."""
    clone = at.place / "a clone"
    at.run("git", "clone", "--quiet", "--no-hardlinks", ROOT, clone, at=at.place)
    first, said = at.run(python, "start.py", at=clone)
    _hold("In short:" in said, "the demo must be answered", said)
    for name in ("demo-check.html", "demo-sheet.pdf"):
        _hold((clone / "out" / name).stat().st_size > 20_000, f"{name} must be written", said)
    again, _ = at.run(python, "start.py", at=clone)
    inside = clone / ".venv/bin/python"
    at.run(inside, "-m", "pip", "check", at=clone)
    found = {"first_s": first, "again_s": again} | installed(at, inside, clone, own=("pip",))
    if with_tests:
        found["tests_s"], said = at.run(python, "start.py", "test", at=clone)
        _hold("every check passed" in said, "every check must pass", said)
        found["tests"] = re.findall(r"\d+ passed.*", said)[-1]
    return clone, found


def _hold(is_so: bool, wish: str, said: str) -> None:
    if not is_so:
        raise FailedError(f"{wish}\n{said[-3000:]}")


def archives(at: Desk, python: Path, clone: Path) -> tuple[Path, Found]:
    """Wheel and source archive, and that the archive gives the same wheel."""
    tools = at.place / "tools"
    at.run(python, "-m", "venv", tools, at=at.place)
    at.run(tools / "bin/pip", "install", "--quiet", "hatchling", at=at.place)
    out = at.place / "dist"
    at.run(tools / "bin/python", "-m", "hatchling", "build", "-d", out, at=clone)
    [wheel], [archive] = out.glob("*.whl"), out.glob("*.tar.gz")
    at.run(tools / "bin/pip", "wheel", "--quiet", "--no-deps", "-w", at.place / "again", archive, at=at.place)
    [again] = (at.place / "again").glob("*.whl")
    names = _names(wheel)
    _hold(names == _names(again), "the archive must give the same wheel", str(names ^ _names(again)))
    sizes = {
        "wheel_MB": round(wheel.stat().st_size / MB, 2),
        "archive_MB": round(archive.stat().st_size / MB, 2),
    }
    return wheel, sizes | {"wheel_files": len(names)}


def _names(wheel: Path) -> set[str]:
    with zipfile.ZipFile(wheel) as opened:
        return set(opened.namelist())


def from_wheel(at: Desk, python: Path, wheel: Path, lock: Path) -> Found:
    """The wheel with the lock in an environment of its own, used from an empty folder."""
    own, desk_of_user = at.place / "own", at.place / "models"
    desk_of_user.mkdir()
    at.run(python, "-m", "venv", own, at=at.place)
    pip, program = own / "bin/pip", own / "bin/glidewright"
    at.run(pip, "install", "--quiet", "--require-hashes", "-r", lock, at=at.place)
    at.run(pip, "install", "--quiet", "--no-deps", wheel, at=at.place)
    at.run(pip, "check", at=at.place)
    where = at.run(
        own / "bin/python", "-c", "import glidewright; print(glidewright.__path__[0])", at=desk_of_user
    )
    package = Path(where[1].strip())
    _hold(own in package.parents, "the program must be the installed one", str(package))
    at.run(program, "new", "Lark", at=desk_of_user)
    first, _ = at.run(program, "check", "Lark", at=desk_of_user, good=(0, 1))
    warm, said = at.run(program, "check", "Lark", at=desk_of_user, good=(0, 1))
    _hold("Launch" in said, "the model must be answered for", said)
    at.run(program, "sheet", "Lark", "--pdf", "sheet.pdf", at=desk_of_user, good=(0, 1))
    _hold((desk_of_user / "sheet.pdf").read_bytes()[:5] == b"%PDF-", "the sheet must be a PDF", "")
    log = package / "data/demo/hill-demo-flights/evening-1.csv"
    at.run(program, "read", log, "--model", "Lark", "--accept-channels", at=desk_of_user, good=(0, 1))
    _hold((desk_of_user / "Lark/logbook.sqlite").exists(), "the log must be in the logbook", "")
    found = {"check_first_s": first, "check_warm_s": warm, "serve_s": served(at, program, desk_of_user)}
    return found | installed(at, own / "bin/python", at.place, own=("pip", "setuptools", "glidewright"))


def served(at: Desk, program: Path, folder: Path) -> float:
    """Seconds from the start of the pages to their first answer."""
    begin = time.monotonic()
    words = [str(program), "serve", str(folder), "--port", "0", "--no-browser"]
    with subprocess.Popen(words, env=at.surroundings, stdout=subprocess.PIPE, text=True) as running:
        try:
            assert running.stdout is not None
            address = re.search(r"http://\S+", running.stdout.readline())
            _hold(address is not None, "an address must be printed", "")
            assert address is not None
            with urlopen(address[0], timeout=60) as answer:
                _hold("Lark" in answer.read().decode(), "the first page must list the model", "")
            return round(time.monotonic() - begin, 1)
        finally:
            running.terminate()


def fresh(python: Path, with_tests: bool) -> Found:
    """Everything with one Python."""
    with desk() as at:
        clone, of_readme = readme(at, python, with_tests)
        wheel, of_archives = archives(at, python, clone)
        of_wheel = from_wheel(at, python, wheel, clone / "requirements.lock")
        head = at.run("git", "rev-parse", "--short=10", "HEAD", at=clone)[1].strip()
    return {
        "date": date.today().isoformat(),
        "commit": head,
        "machine": machine(),
        "readme": of_readme,
        "archives": of_archives,
        "wheel": of_wheel,
    }


def bare() -> Found:
    """A Debian of its smallest set of packages: what start.py says there, and that its way out is one."""
    with desk("fresh-", "bare") as at:  # debootstrap knows no spaces
        root = at.place / "debian"
        at.run(
            "debootstrap", "--variant=minbase", "--include=python3,ca-certificates", DEBIAN, root, at=at.place
        )
        for file in ("/etc/resolv.conf", "/etc/ssl/certs/ca-certificates.crt"):
            if Path(file).exists():
                shutil.copy(file, root / file[1:])
        at.run("git", "clone", "--quiet", "--no-hardlinks", ROOT, root / "srv/clone", at=at.place)
        inside = ("chroot", root, "env", "HOME=/srv", "PATH=/usr/sbin:/usr/bin:/sbin:/bin", "sh", "-c")
        said = at.run(*inside, "cd /srv/clone && python3 start.py 2>&1", at=at.place, good=(2,))[1]
        [sentence] = re.findall(r"^glidewright: .*python3-venv.*$", said, re.MULTILINE)
        packages = at.run(*inside, "dpkg-query -W | wc -l", at=at.place)[1].strip()
        at.run(*inside, "apt-get install -y -qq --no-install-recommends python3-venv", at=at.place)
        took, answer = at.run(*inside, "cd /srv/clone && python3 start.py", at=at.place)
        _hold("In short:" in answer, "the demo must be answered", answer)
        version = at.run(*inside, "python3 -V", at=at.place)[1].split()[1]
        head = at.run("git", "rev-parse", "--short=10", "HEAD", at=root / "srv/clone")[1].strip()
    return {
        "date": date.today().isoformat(),
        "commit": head,
        "machine": machine(),
        "system": f"Debian {DEBIAN}, minbase",
        "python": version,
        "packages_of_system": int(packages),
        "said": sentence,
        "then_s": took,
    }


def machine() -> str:
    """The machine in words; the load tells how far the times may be trusted."""
    cores, load = os.cpu_count() or 1, os.getloadavg()[0]
    system = f"{platform.system()} {platform.release().split('-')[0]} {platform.machine()}"
    return f"{system}, {cores} cores, load {load:.1f} at the end"


def keep(what: str, found: Mapping[str, Any]) -> None:
    """Put one run into the stored file; the others stay."""
    stored = json.loads(KEPT.read_text(encoding="utf-8")) if KEPT.exists() else {}
    stored[what] = found
    text = json.dumps(dict(sorted(stored.items())), indent=1, ensure_ascii=False)
    KEPT.write_text(text + "\n", encoding="utf-8")


def main(words: Sequence[str]) -> int:
    """Run what is asked for; 1 when a step failed."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("versions", nargs="*", metavar="VERSION", help="3.12, for one")
    parser.add_argument("--tests", action="store_true", help="run all checks too, ten minutes a version")
    parser.add_argument("--bare", action="store_true", help="a bare Debian, and no other run")
    asked = parser.parse_args(words)
    if asked.bare:
        keep("bare", bare())
        return 0
    found = pythons(asked.versions or VERSIONS)
    for missing in set(asked.versions or VERSIONS) - set(found):
        print(f"Python {missing}: none found")
    for version, python in found.items():
        print(f"Python {version}: {python}", flush=True)
        try:
            run = fresh(python, asked.tests)
        except FailedError as failed:
            print(failed)
            return 1
        full = subprocess.run([python, "-V"], capture_output=True, text=True, check=True).stdout.split()[1]
        keep(version, {"python": full, **run})
        print(json.dumps(run, indent=1), flush=True)
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
