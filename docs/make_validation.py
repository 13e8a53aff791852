"""Write docs/validation.md: every check against the outside, what was expected, found and allowed.

``python docs/make_validation.py`` runs the worked examples and writes the page; ``--check`` says whether the
page still holds the same checks with the same answers. What is found may differ in the last digits on another
machine, so the comparison goes by names, sources and verdicts.

Studies that take minutes are not run: the page shows what they kept in docs/studies/. Both ways say of every
study whose code does other things since it ran; that alone is no failure, since most such changes move no
figure and the run is somebody's to decide. Before a release it is one: ``--check --fresh`` fails by it.
"""

import ast
import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from glidewright import __version__
from marked import anchor, table
from validation_charts import write_charts
from validation_studies import coverage_misses, log_misses, stale_studies, studies_text
from validation_tables import fitted_text, others_text

IS_SLOW = True
ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs/validation.md"
WORKED = "tests/worked"
Row = Mapping[str, Any]
GROUPS = {
    "Air and loggers": {
        "air_standard_atmosphere": "Standard atmosphere and shown heights",
        "logger_verdicts": "Verdicts of a check by a logger",
    },
    "Mass and balance": {
        "balance_worked": "Balance and inertia",
        "balance_of_the_demo": "Balance of the demo",
        "least_weight": "Least dead weight",
    },
    "Propeller, motor and pack": {
        "propeller_measured": "Propellers in the tunnel",
        "motor_drela": "Motor, and identification of bench sets",
        "motor_sets_learned": "Motor sets learned by calibration",
        "typical_motors": "Typical motors and packs",
        "pack_published_cells": "Pack",
        "operating_point_outside": "Operating point",
    },
    "Wing, tail and sections": {
        "planform": "Plan form",
        "section_measured": "Sections in tunnels",
        "lattice_worked": "Vortex lattice",
        "lattice_oracle": "Vortex lattice against another",
        "buildup": "Drag of what has no section",
        "brake": "Open brake",
    },
    "Glide and handling": {
        "glide_worked": "Glide",
        "circling_and_steering": "Circling and steering",
        "modes_worked": "Natural modes",
        "manoeuvres": "Manoeuvres of the test plan",
        "handling_of_the_demo": "Handling of the demo",
    },
    "Launch": {
        "launch_solve_ivp": "Launch by another solver",
        "zoom_and_glide": "Zoom and glide",
        "trade_launch": "Launch of a common model",
    },
    "Controls": {
        "controls_worked": "Linkages, hinges and rods",
        "controls_of_the_demo": "Controls of the demo",
    },
    "Classes and fairness": {
        "class_arithmetic": "Class arithmetic",
        "fair_consequences": "What rules do to a field",
    },
}
TITLES = {name: title for files in GROUPS.values() for name, title in files.items()}
OTHERS = "Others"

_HEAD = """# Validation

Every row is a number of this program against one from outside: a publication, a standard, measured data,
arithmetic of the trade, or a general-purpose library that solves the same problem another way. The tests fail
when a row does not hold, so this page and the tests cannot differ. Allowed is the tolerance, with its reason
in the last column; none was widened to pass. Where a range stands under Expected, it comes from outside and
the number found must lie in it; where one stands under Found, it is ours and must hold the number expected.

A source of "common practice" or "from memory" says honestly that there is none to open. What studies of many
cases found stands [behind the checks](#what-the-studies-found), each with its date, command and seed; what
happens when files are broken, disks full and programs killed is counted in [faults.md](faults.md).

Made by `python docs/make_validation.py` with version {version}: {count} checks, {kept} hold, {missed} are
known misses.

{summary}"""

_MISSES = """## Known misses

What does not reach the number that one would wish for, in plain sight. Each is a test that is expected to
fail, and that fails the build on the day the number is met.

{table}
Of the study of [calibration](#calibrated-by-flights): {coverage}.

Of the study of flight logs ([below](#reading-flight-logs)):

{logs}
"""


def rows_found() -> list[Row]:
    """Run the worked examples and collect what they wrote down, each check once."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "checks.jsonl"
        words = [sys.executable, "-m", "pytest", "-q", WORKED, "-p", "no:xdist"]
        subprocess.run(
            words, cwd=ROOT, env=os.environ | {"GLIDEWRIGHT_CHECKS": str(file)}, check=True, stdout=sys.stderr
        )
        lines = file.read_text(encoding="utf-8").splitlines() if file.exists() else []
    unique = {(row["test"], row["what"]): row for row in map(json.loads, lines)}
    return list(unique.values())


def page(rows: Iterable[Row]) -> str:
    """The whole page as text."""
    found = list(rows)
    kept, missed = ([row for row in found if (row["kind"] == "missed") is gone] for gone in (False, True))
    holding = sum(row["keeps"] for row in kept)
    head = {"version": __version__, "count": len(found), "kept": holding, "missed": len(missed)}
    parts = [_HEAD.format(**head, summary=_summary(found))]
    logs = "\n".join(f"- {one}" for one in log_misses())
    coverage = "; ".join(coverage_misses()) or "no known miss"
    parts.append(_MISSES.format(table=_missed_table(missed), coverage=coverage, logs=logs))
    for group, files in _groups(found).items():
        parts.append(f"## {group}\n")
        for file in files:
            own = [row for row in kept if _file(row) == file]
            parts.append(f"### {_title(file)}\n\n{_sentence(file)} ([{file}](../{file}))\n\n{_table(own)}")
    parts += [fitted_text(), studies_text(), others_text()]
    return "\n".join(parts)


def _file(row: Row) -> str:
    name: str = row["test"].split("::")[0]
    return name


def _groups(rows: Iterable[Row]) -> dict[str, list[str]]:
    """Worked files of each group in the order of the page."""
    left = sorted({_file(row) for row in rows})
    found = {}
    for group, names in GROUPS.items():
        found[group] = [file for name in names if (file := f"{WORKED}/test_{name}.py") in left]
        left = [file for file in left if file not in found[group]]
    return {group: files for group, files in {**found, OTHERS: left}.items() if files}


def _title(file: str) -> str:
    name = Path(file).stem.removeprefix("test_")
    return TITLES.get(name, name.replace("_", " ").capitalize())


def _sentence(file: str) -> str:
    """First sentence of the file."""
    told = ast.get_docstring(ast.parse((ROOT / file).read_text(encoding="utf-8"))) or ""
    return " ".join(told.split("\n\n")[0].split())


def _summary(rows: list[Row]) -> str:
    made = []
    for group, files in _groups(rows).items():
        kinds = [row["kind"] for row in rows if _file(row) in files]
        counts = kinds.count("held"), kinds.count("within") + kinds.count("covers"), kinds.count("missed")
        made.append((f"[{group}](#{anchor(group)})", *counts))
    head = ("Topic", "Numbers", "Ranges", "Known misses")
    return table(head, made, right=head[1:])


def _table(rows: Iterable[Row]) -> str:
    head = ("What", "Unit", "Expected", "Found", "Off", "Allowed", "Source", "Why")
    return table(head, [[*_told(row), row["source"], row["because"]] for row in rows], right=head[2:6])


def _missed_table(rows: Iterable[Row]) -> str:
    head = ["What", "Unit", "Wished for", "Found", "Off", "Would be allowed", "Source", "Why it misses"]
    made = []
    for row in rows:
        test = f"[{_title(_file(row))}](../{_file(row)})"
        made.append([*_told(row), row["source"], row["why"], test])
    return table([*head, "Test"], made, right=head[2:6])


def _told(row: Row) -> list[str]:
    return [row["what"], row["unit"] or "-", *_numbers(row)]


def _numbers(row: Row) -> Iterator[str]:
    """Expected, found, off and allowed."""
    if row["kind"] == "within":
        yield from (_range(row["low"], row["high"]), _number(row["found"]), "-", "-")
    elif row["kind"] == "covers":
        yield from (_number(row["expected"]), _range(row["low"], row["high"]), "-", "-")
    else:
        off = abs(row["found"] - row["expected"])
        yield from (_number(row["expected"]), _number(row["found"]), f"{off:.3g}", f"{row['allowed']:.3g}")


def _number(value: float) -> str:
    return f"{value:.5g}"


def _range(low: float, high: float) -> str:
    return f"{low:.4g} to {high:.4g}"


def without_digits(text: str) -> str:
    """The page without its numbers."""
    return re.sub(r"-?\d+(\.\d+)?(e[+-]?\d+)?", "#", text)


def main() -> int:
    """Write the page and its charts, or compare the page."""
    rows = rows_found()
    made = page(rows)
    if "--check" in sys.argv:
        same = PAGE.exists() and without_digits(made) == without_digits(PAGE.read_text(encoding="utf-8"))
        print("docs/validation.md is what the tests say" if same else "run python docs/make_validation.py")
        old = _say_stale()
        return 0 if same and not (old and "--fresh" in sys.argv) else 1
    write_charts(rows)
    PAGE.write_text(made, encoding="utf-8")
    _say_stale()
    return 0


def _say_stale() -> list[str]:
    """Print which studies ran with other code than today's."""
    said = stale_studies()
    print(*said, sep="\n", end="\n" if said else "")
    return said


if __name__ == "__main__":
    raise SystemExit(main())
