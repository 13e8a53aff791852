"""Run every maker of the docs, each in a process of its own, two at a time, in the right order.

    python docs/build.py                      write everything but what takes long
    python docs/build.py --with-benchmarks    the benchmarks too; other makers that take long have flags alike
    python docs/build.py --check              only say what is behind, without the makers that are slow to ask
    python docs/build.py --check --all        ask the slow ones too

A maker is a file ``docs/make_*.py`` with ``main()`` that writes, or compares with ``--check``, and gives the
exit code. It may state, as plain values at its top level:

- ``AFTER``: makers, without ``make_``, whose pages it reads; they run first;
- ``IS_SLOW``: True where even the comparison takes more than some seconds;
- ``ONLY_WITH``: the flag without which it is left out altogether, such as ``"--with-benchmarks"``.
"""

import ast
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from dataclasses import dataclass
from graphlib import TopologicalSorter
from pathlib import Path

FOLDER = Path(__file__).resolve().parent
AT_A_TIME = 2
_LAST_LINES = 12  # of what a maker says that failed


@dataclass(frozen=True)
class Maker:
    """One script that writes pages, and what it states of itself."""

    path: Path
    after: tuple[str, ...] = ()
    is_slow: bool = False
    only_with: str = ""

    @property
    def name(self) -> str:
        """Its name without ``make_``."""
        return self.path.stem.removeprefix("make_")


@dataclass(frozen=True)
class Ran:
    """One maker that ran: its exit code, its time in s, and what it printed."""

    maker: Maker
    code: int
    took_s: float
    said: str


def makers(folder: Path = FOLDER) -> list[Maker]:
    """Every maker of a folder, in the order of the alphabet; read, but not run."""
    return [_maker(path) for path in sorted(folder.glob("make_*.py"))]


def _maker(path: Path) -> Maker:
    stated = dict(_stated(path))
    after = stated.get("AFTER")
    return Maker(
        path,
        after=tuple(map(str, after)) if isinstance(after, tuple) else (),
        is_slow=bool(stated.get("IS_SLOW", False)),
        only_with=str(stated.get("ONLY_WITH", "")),
    )


def _stated(path: Path) -> Iterator[tuple[str, object]]:
    """The constants of a script by name, those that are plain values."""
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
            try:
                yield node.targets[0].id, ast.literal_eval(node.value)
            except ValueError:
                continue


def wanted(found: Sequence[Maker], words: Sequence[str]) -> list[Maker]:
    """Those that these words of the command line ask for."""
    with_slow = "--check" not in words or "--all" in words
    return [
        one
        for one in found
        if (not one.only_with or one.only_with in words) and (with_slow or not one.is_slow)
    ]


def run_all(asked: Sequence[Maker], words: Sequence[str]) -> Iterator[Ran]:
    """Run makers two at a time, each after those whose pages it reads; ValueError for makers in a ring."""
    by_name = {one.name: one for one in asked}
    in_line = sorted(asked, key=lambda one: not one.is_slow)
    order = TopologicalSorter({one.name: [name for name in one.after if name in by_name] for one in in_line})
    order.prepare()
    with ThreadPoolExecutor(AT_A_TIME) as pool:
        under_way: set[Future[Ran]] = set()
        while order.is_active():
            under_way |= {pool.submit(_run, by_name[name], words) for name in order.get_ready()}
            done, under_way = wait(under_way, return_when=FIRST_COMPLETED)
            for one in done:
                order.done(one.result().maker.name)
                yield one.result()


def _run(maker: Maker, words: Sequence[str]) -> Ran:
    start = time.monotonic()
    line = [sys.executable, str(maker.path), *words]
    ran = subprocess.run(line, cwd=FOLDER.parent, capture_output=True, text=True, check=False)
    wrong = ran.stderr.strip().splitlines()[-_LAST_LINES:] if ran.returncode else []
    said = "\n".join(filter(None, (ran.stdout.strip(), *wrong)))
    return Ran(maker, ran.returncode, time.monotonic() - start, said)


def flags(found: Sequence[Maker]) -> Mapping[str, str]:
    """Every word of the command line that is understood, with what it asks for."""
    own = {one.only_with: f"{one.name} too" for one in found if one.only_with}
    return {"--check": "compare only", "--all": "with --check: the slow ones too"} | own


def main(words: Sequence[str]) -> int:
    """Run what is asked for; 1 when a maker failed or a page is behind, 2 for a word that is not known."""
    found = makers()
    unknown = [word for word in words if word not in flags(found)]
    if unknown:
        known = ", ".join(flags(found))
        print(f"build.py: must be one of {known}; {' '.join(unknown)} came; see the head of docs/build.py")
        return 2
    start = time.monotonic()
    code = 0
    for ran in run_all(wanted(found, words), [word for word in words if word == "--check"]):
        code = code or int(ran.code != 0)
        print(
            f"{ran.maker.name:12} {'done' if ran.code == 0 else 'FAILED':7} {ran.took_s:5.1f} s", flush=True
        )
        if ran.said:
            print("    " + ran.said.replace("\n", "\n    "), flush=True)
    left_out = [one.name for one in found if one not in wanted(found, words)]
    print(f"{time.monotonic() - start:.0f} s" + (f"; left out: {', '.join(left_out)}" if left_out else ""))
    return code


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
