"""Run the commands of docs/tutorial.md on a copy of the demo, in order, and put what they print into it.

``python docs/make_tutorial.py`` writes the page; ``--check`` says whether it still shows what the commands
print, digits left out. Before a block a comment says which sections of the answer are shown, the head of the
report as ``head``, its last lines as ``end``; a number after a section keeps that many lines of it. Sections
that are left out show as dots.
"""

import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs/tutorial.md"
DEMO = ROOT / "src/glidewright/data/demo"
FOLDERS = ("hill-demo", "hill-demo-flights")
BLOCK = re.compile(
    r"<!-- shown: (?P<shown>[^>]*?) -->\n```console\n\$ (?P<command>[^\n]*)\n(?P<text>.*?)```", re.DOTALL
)
_HEADING = re.compile(r"^(\S.*?) -{3,}$")
_COPIED = shutil.ignore_patterns("logbook.sqlite*", "flights", "corrections.toml")


def run_in_order(text: str) -> Iterator[tuple[str, str, int, str]]:
    """Command, sections to show, exit code and printed text of every block, run in a copy of the demo."""
    own = {name: value for name, value in os.environ.items() if name != "GLIDEWRIGHT_LOGBOOK"}
    own["COLUMNS"] = "80"
    with tempfile.TemporaryDirectory() as folder:
        for name in FOLDERS:
            shutil.copytree(DEMO / name, Path(folder) / name, ignore=_COPIED)
        for block in BLOCK.finditer(text):
            _, *words = shlex.split(block["command"])
            done = subprocess.run(
                [sys.executable, "-m", "glidewright", *words],
                cwd=folder,
                env=own,
                capture_output=True,
                text=True,
                check=False,
            )
            printed = done.stdout if done.returncode in (0, 1) else done.stdout + done.stderr
            yield block["command"], block["shown"], done.returncode, printed


def picked(printed: str, shown: str) -> str:
    """The sections of a report that are wanted; ValueError when it has no such section."""
    parts: dict[str, list[str]] = {"head": []}
    name = "head"
    for line in printed.rstrip().splitlines():
        if heading := _HEADING.match(line):
            name = heading[1]
            parts[name] = []
        parts[name].append(line)
    last = parts[name]
    gap = len(last) - 1 - last[::-1].index("") if "" in last else len(last)
    parts[name], parts["end"] = last[:gap], last[gap + 1 :]
    out: list[str] = []
    at = -1
    places = list(parts)
    for wish in filter(None, (one.strip() for one in shown.split(";"))):
        title, _, count = wish.partition(" / ")
        if title not in parts:
            raise ValueError(f"there is no section {title!r}, only {', '.join(places)}")
        if out:
            out.append("" if places.index(title) == at + 1 else "...")
        lines = "\n".join(parts[title]).rstrip().splitlines()
        out += lines[: int(count)] if count else lines
        at = places.index(title)
        if count and int(count) < len(lines):
            at = -2
    return "\n".join(out)


def made(text: str) -> str:
    """The page with what its commands print now; ValueError for one that cannot be used."""
    parts, at = [], 0
    blocks = BLOCK.finditer(text)
    for block, (command, shown, code, printed) in zip(blocks, run_in_order(text), strict=True):
        if code not in (0, 1):
            raise ValueError(f"{command} ends with {code}: {printed}")
        parts += [text[at : block.start("text")], picked(printed, shown), "\n"]
        at = block.end("text")
    return "".join([*parts, text[at:]])


def without_digits(text: str) -> str:
    """A text in which numbers and line breaks no longer matter."""
    return re.sub(r"[\s-]+", " ", re.sub(r"\d+([.,]\d+)*", "#", text))


def main() -> int:
    """Write the page, or compare."""
    text = PAGE.read_text(encoding="utf-8")
    new = made(text)
    if "--check" in sys.argv:
        same = without_digits(new) == without_digits(text)
        print("docs/tutorial.md shows what is printed" if same else "run python docs/make_tutorial.py")
        return 0 if same else 1
    PAGE.write_text(new, encoding="utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
