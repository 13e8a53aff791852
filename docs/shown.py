"""Run what a page shows on a copy of the demo, in the order of the page, and put what is printed into it.

A comment before a block says what is done with it:

- ``<!-- shown: head; Answers | How high; Launch / 7 -->`` before a console block: run the command and show
  these sections of its answer. ``head`` is the beginning of a report, ``end`` its last lines; after a bar
  stands the beginning of a line of the section, which is shown with all lines that are further in; after a
  slash a number of lines. What is left out between them shows as dots.
- ``<!-- refused -->`` before a console block: the command must be refused, and its sentences are shown.
- ``<!-- served -->`` before a console block: run until the pages answer, then stop it with Ctrl-C.
- ``<!-- put into hill-demo/model.toml -->`` before a toml block: put these keys into the file. A table whose
  id, name or place the file has is changed, any other is added; a file that is not there is made of the
  block, which may then be of another kind.
- ``<!-- try in hill-demo/model.toml -->``: the same, taken back after the next command.
- ``<!-- first: glidewright read ... -->`` without a block: run before, show nothing.
"""

import contextlib
import hashlib
import io
import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
import tempfile
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from urllib.request import urlopen

import tomlkit
from tomlkit.items import AoT

from glidewright.faces.cli.main import main as glidewright

ROOT = Path(__file__).resolve().parents[1]
PLACE = "~/models"  # stands in the pages for the folder in which all is run
DEMO = ROOT / "src/glidewright/data/demo"
STEP = re.compile(
    r"<!-- (?:first: (?P<first>[^\n]+?)"
    r"|(?P<how>shown|refused|served)(?:: (?P<shown>[^\n]*?))?"
    r"|(?P<edit>put into|try in) (?P<file>\S+)) -->"
    r"(?(first)|\n```(?P<kind>\w+)\n(?(how)\$ (?P<command>[^\n]*)\n)(?P<text>.*?)```)",
    re.DOTALL,
)
_HEADING = re.compile(r"^(\S.*?) -{3,}$")
_COPIED = shutil.ignore_patterns("logbook.sqlite*", "flights", "corrections.toml")
_SAID: dict[tuple[str, ...], tuple[int, str]] = {}


class WrongPageError(ValueError):
    """A page that does not do what it says."""


def made(text: str) -> str:
    """The page with what its commands print now; WrongPageError for one that cannot be run as it stands."""
    parts, at, undo = [], 0, dict[Path, str | None]()
    with _desk() as desk:
        for step in STEP.finditer(text):
            if step["edit"]:
                file = desk / step["file"]
                if step["edit"] == "try in":
                    undo.setdefault(file, file.read_text(encoding="utf-8") if file.exists() else None)
                put(file, step["text"])
                continue
            printed = _answer(step, desk)
            if step["how"]:
                parts += [text[at : step.start("text")], printed.rstrip(), "\n"]
                at = step.end("text")
            _take_back(undo)
    return "".join([*parts, text[at:]])


def answer(command: str, shown: str) -> str:
    """Parts of what one command prints on a copy of the demo."""
    block = f"<!-- shown: {shown} -->\n```console\n$ {command}\n```"
    text = made(block)
    return text[block.rindex("```") : -len("\n```")]


@contextlib.contextmanager
def _desk() -> Iterator[Path]:
    """A folder with a fresh copy of the demo, for a while."""
    with tempfile.TemporaryDirectory() as name:
        desk = Path(name).resolve()
        for entry in DEMO.iterdir():
            if entry.is_dir():
                shutil.copytree(entry, desk / entry.name, ignore=_COPIED)
            else:
                shutil.copy(entry, desk)
        yield desk


def _answer(step: re.Match[str], desk: Path) -> str:
    """What a step of a page prints, as far as it is shown."""
    command, how = step["command"] or step["first"], step["how"] or "shown"
    _, *words = shlex.split(command)
    if how == "served":
        return _served(words, desk)
    code, printed = _said(words, desk)
    if code not in ((2,) if how == "refused" else (0, 1)):
        raise WrongPageError(f"{command} ends with {code}: {printed}")
    try:
        return _as_wide_as_a_terminal(printed) if how == "refused" else picked(printed, step["shown"] or "")
    except ValueError as wrong:
        raise WrongPageError(f"{command}: {wrong}") from wrong


def _as_wide_as_a_terminal(sentences: str) -> str:
    """Sentences as a terminal breaks them, but between words."""
    return "\n".join(textwrap.fill(one, 80, break_on_hyphens=False) for one in sentences.splitlines())


def _said(words: Sequence[str], desk: Path) -> tuple[int, str]:
    """Exit code and what is printed; the same command on the same files is run once in a process."""
    key = (*words, _digest(desk))
    if key in _SAID:
        return _SAID[key]
    out, err = io.StringIO(), io.StringIO()
    with (
        contextlib.chdir(desk),
        _environment(COLUMNS="80", GLIDEWRIGHT_LOGBOOK=None),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
    ):
        code = glidewright(list(words))
    text = out.getvalue() if code in (0, 1) else out.getvalue() + err.getvalue()
    said = code, text.replace(str(desk), PLACE)
    if _digest(desk) == key[-1]:
        _SAID[key] = said
    return said


def _served(words: Sequence[str], desk: Path) -> str:
    """What is printed before the pages answer; then they are stopped."""
    printed = ""
    with subprocess.Popen(
        [sys.executable, "-m", "glidewright", *words], cwd=desk, stdout=subprocess.PIPE, text=True
    ) as served:
        for line in served.stdout or ():
            printed += line
            if "Ctrl-C" in line:
                break
        try:
            address = re.search(r"http://\S+", printed)
            with urlopen(address[0] if address else "", timeout=30):
                pass
        finally:
            served.send_signal(signal.SIGINT)
    return printed.replace(str(desk), PLACE)


@contextlib.contextmanager
def _environment(**wanted: str | None) -> Iterator[None]:
    """Variables of the environment for a while; None takes one out."""
    before = {name: os.environ.get(name) for name in wanted}
    _set(wanted)
    try:
        yield
    finally:
        _set(before)


def _set(variables: Mapping[str, str | None]) -> None:
    for name, value in variables.items():
        if value is None:
            os.environ.pop(name, None)
        else:
            os.environ[name] = value


def _digest(folder: Path) -> str:
    """One text for all files of a folder."""
    found = hashlib.sha256()
    for path in sorted(path for path in folder.rglob("*") if path.is_file()):
        found.update(f"{path.relative_to(folder)}\0".encode() + path.read_bytes() + b"\0")
    return found.hexdigest()


def put(file: Path, text: str) -> None:
    """Put the keys of a text into a TOML file, as somebody with an editor would."""
    if not file.exists():
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
        return
    had = tomlkit.parse(file.read_text(encoding="utf-8"))
    for key, value in tomlkit.parse(text).items():
        if isinstance(value, AoT):
            rows = had.setdefault(key, tomlkit.aot())
            for row in value:
                same = next((one for one in rows if _name(row) and _name(one) == _name(row)), None)
                rows.append(row) if same is None else same.update(row)
        elif isinstance(value, dict):
            had.setdefault(key, tomlkit.table()).update(value)
        else:
            had[key] = value
    file.write_text(tomlkit.dumps(had), encoding="utf-8")


def _name(row: Mapping[str, object]) -> object:
    return next((row[key] for key in ("id", "name", "surface", "place", "measure") if key in row), None)


def _take_back(undo: dict[Path, str | None]) -> None:
    for file, text in undo.items():
        if text is None:
            file.unlink()
        else:
            file.write_text(text, encoding="utf-8")
    undo.clear()


def picked(printed: str, shown: str) -> str:
    """The parts of a report that are wanted; ValueError when it has no such part."""
    lines = printed.rstrip().splitlines()
    sections = _sections(lines)
    out: list[str] = []
    at, name = 0, ""
    for wish in filter(None, (one.strip() for one in shown.split(";"))):
        title, piece, count = (one.strip() for one in _split(wish))
        if title not in sections:
            raise ValueError(f"there is no section {title!r}, only {', '.join(sections)}")
        begin, end = sections[title]
        first = _line(lines, begin, end, piece) if piece else begin
        if piece and title != name:
            out += [*_gap(out, lines, at, begin), lines[begin]]
            at = first  # a heading is followed by what was wished for, without dots
        last = first + int(count) if count else _piece_end(lines, first, end) if piece else end
        while not lines[last - 1]:
            last -= 1
        out += _gap(out, lines, at, first) + lines[first:last]
        at, name = last, title
    return "\n".join(out)


def _split(wish: str) -> tuple[str, str, str]:
    rest, _, count = wish.partition(" / ")
    title, _, piece = rest.partition(" | ")
    return title, piece, count


def _sections(lines: Sequence[str]) -> dict[str, tuple[int, int]]:
    """First line of each section and the line after its last; also of ``head`` and ``end``."""
    begins = {"head": 0} | {found[1]: at for at, line in enumerate(lines) if (found := _HEADING.match(line))}
    last = max(begins.values())
    begins["end"] = next((at + 1 for at in range(len(lines) - 1, last, -1) if not lines[at]), len(lines))
    stops = [*list(begins.values())[1:], len(lines)]
    return dict(zip(begins, zip(begins.values(), stops, strict=True), strict=True))


def _gap(out: Sequence[str], lines: Sequence[str], at: int, to: int) -> list[str]:
    """What stands for the lines that are left out: dots, but empty lines and rules as they are."""
    left = lines[at:to]
    if not out:
        return []
    return ["..."] if to < at or any(line.strip(" -") for line in left) else list(left)


def _line(lines: Sequence[str], begin: int, end: int, beginning: str) -> int:
    for at in range(begin, end):
        if lines[at].strip().startswith(beginning):
            return at
    raise ValueError(f"no line of {lines[begin]!r} begins with {beginning!r}")


def _piece_end(lines: Sequence[str], first: int, end: int) -> int:
    """Where the lines end that stand further in than the first."""
    depth = _depth(lines[first])
    return next((at for at in range(first + 1, end) if _depth(lines[at]) <= depth), end)


def _depth(line: str) -> int:
    """How far in a line stands; an empty one ends everything."""
    return len(line) - len(line.lstrip()) if line else -1


def without_digits(text: str) -> str:
    """A text in which numbers and line breaks no longer matter."""
    return re.sub(r"[\s-]+", " ", re.sub(r"\d+([.,]\d+)*", "#", text))
