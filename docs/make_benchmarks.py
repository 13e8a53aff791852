"""Run every benchmark and write docs/benchmarks.md, its raw figures to docs/benchmarks.json, and the charts.

    python docs/make_benchmarks.py                all, about ten minutes on an idle machine
    python docs/make_benchmarks.py --only logs    one benchmark, growth or ``where``, put in with the others
    python docs/make_benchmarks.py --page         only write the page again from the figures
    python docs/make_benchmarks.py --check        say whether the page is what the figures give; times nothing

A benchmark is a file ``benchmarks/bench_NAME.py``; growths are those of ``benchmarks/growth.py``, asked for
as ``growth-NAME``. One that fails keeps its older figures, says so on the page, and makes the exit code 1.
"""

import json
import re
import sys
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import vl_convert

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "benchmarks"))

import growth
import where
from glidewright import __version__
from marked import DOCS, ROOT, table
from measure import QUIET_CORES, Measured, Others, child, exponent, load, machine, used_by_others

ONLY_WITH = "--with-benchmarks"
PAGE, FIGURES, IMAGES = DOCS / "benchmarks.md", DOCS / "benchmarks.json", DOCS / "images"
Figures = dict[str, Any]
TITLES = {
    "operating_point": "Operating points",
    "launch": "Launches",
    "choose": "A search over a million sets of parts",
    "trimmed_polar": "Polar of a new airframe",
    "lattice": "Vortex lattice",
    "logs": "Flight logs",
    "commands": "Commands",
    "reading": "Reading a folder",
    "pages": "Pages",
    "balance": "Balance",
    "calibration": "Calibration",
    "fair": "Fair limits",
    "start": "Start",
}
UNCOUNTED = ("pages",)
"""Their browser leaves processes that are not counted as their own: others are counted just before."""
_BLUE, _GREY = "#1f5c78", "#8a8f8a"

_HEAD = """# Benchmarks

How fast the program is, as ratios to another way to the same answer wherever there is one, measured in one
run on one machine. Times alone belong to that machine. The goals were set before the program was written.

Made by `python docs/make_benchmarks.py` with version {version}; raw figures in
[benchmarks.json](benchmarks.json).

{machine}
{quiet}

## Goals

{goals}
## Every measurement

Reference over ours is the ratio. The sizes of a sample, what is extrapolated and how far both answers differ
stand under Remarks; the file says how it is measured.

{all}
## Growth

Time of a job at several sizes, each in a process of its own, after a small job has loaded what is loaded
once. Memory is the highest of the process, libraries and all; of a season it is that of the largest of its
processes. The power is the slope in logarithms over the upper half of the sizes: 1 doubles with the size,
less says that something fixed still counts.

{growth}
## Where time goes

{where}

## Costs that were removed

{removed}

## How to run

`python docs/make_benchmarks.py` runs all and writes this page, `--only NAME` one of them, such as
`--only logs` or `--only growth-log`. Each file of `benchmarks/` also runs by itself and prints more than
stands here. Run them on an idle machine: what other programs use is measured, and said above when it is more
than {quiet_cores:g} of a core. The kernels are compiled by the first run. The pages need Chromium, the other
lattice `pip install aerosandbox`.
"""

_WHERE = """Processor time of one warm `check` of the demo, from the start of Python on:

{parts}
Share of the processor time that is spent in compiled kernels, when all is loaded:

{shares}
The largest single costs, in the order in which a flyer meets them:

1. Starting: libraries, modules and machine code are {fixed} of that `check`; a part comes with each command.
2. A process works out the lattice and the section tables of an airframe once, at its first forecast.
3. What `check` says would help: some dozens of variants of the model, each flown again.
4. `choose`, `fair` and `calibrate` fly launches; the growth above says how they go with their sizes.
5. Where kernels must be compiled, because the system is another one or a kernel was changed: {cold}.
"""

_REMOVED = """**Compiling at the first run, and reading the compiler at every start.** The compiler took
seconds for the launch kernel once, and numba then filled its tables at every start before it could load
that from its own cache. Now the text that it hands to its assembler comes with the program, and the machine
code made of it is a file that the assembler alone links ([decisions.md](decisions.md)). Other systems than
Linux on x86-64 still run by numba, so both sides can be measured here:

{start}
**Taking kernels apart at every start.** The file of a kernel is named after a digest of its byte code. To
look there for names that are not defined yet took 32 ms of each start (measured with the version before);
the digest is now taken when a kernel is called, when all names are defined, and that of all takes {digest}.

**Transforms of awkward lengths.** Long logs are smoothed by fast Fourier transforms. A length with a large
prime factor takes tens of times as long as the next one without, so now the next one is taken; and figures of
a launch look at its own samples, not at the whole log. Processor time of one log at 10 Hz, in turn with the
version before (2026-11-25, fastest of five): 2 hours 0.28 to 0.20 s, 4 hours 0.77 to 0.41 s, the readings the
same to 14 digits.
"""


def measured_all(names: Iterable[str], figures: Figures) -> bool:
    """Measure what is named into the figures; False when one of them failed."""
    went_well = True
    for name in names:
        before, quiet, others = load(), used_by_others(), Others()
        print(f"{name} ...", file=sys.stderr, flush=True)
        started = datetime.now(UTC)
        kind, _, what = name.partition("-")
        entry: Figures = figures.setdefault(kind if what else "benches", {}).setdefault(what or name, {})
        try:
            entry |= _growth(what) if what else _where() if name == "where" else _bench(name)
            entry["failed"] = ""
        except (SystemExit, ValueError, OSError) as error:
            told = str(error).replace(f"{ROOT}/", "").strip()
            went_well, entry["failed"] = False, told[-300:] or "it gave no reason"
            print(f"{name} failed: {error}", file=sys.stderr)
        took = (datetime.now(UTC) - started).total_seconds()
        entry |= {"at": f"{started:%Y-%m-%d %H:%M} UTC", "took_s": round(took, 1)}
        used = quiet if name in UNCOUNTED else others.cores()
        entry |= {"load_before": before, "others_cores": used, "machine": machine()}
    return went_well


def _bench(name: str) -> Figures:
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "rows.json"
        ran = child([f"benchmarks/bench_{name}.py", "--json", str(file)])
        print(ran.said, file=sys.stderr)
        if ran.code or not file.exists():
            raise SystemExit(ran.said)
        return {"rows": json.loads(file.read_text(encoding="utf-8")), "memory_MB": ran.memory_MB}


def _growth(name: str) -> Figures:
    points = []
    for point in growth.measured(name):
        print(f"  {point.size:,}: {point.seconds:.3f} s, {point.memory_MB:.0f} MB", file=sys.stderr)
        points.append(vars(point))
    return {"points": points}


def _where() -> Figures:
    return dict(where.main())


def every_name() -> list[str]:
    """Everything that can be measured, benchmarks first."""
    found = sorted(path.stem.removeprefix("bench_") for path in (ROOT / "benchmarks").glob("bench_*.py"))
    order = [name for name in TITLES if name in found]
    order += [name for name in found if name not in TITLES]
    return [*order, *(f"growth-{name}" for name in growth.GROWTHS), "where"]


def page(figures: Figures) -> str:
    """The whole page."""
    return _HEAD.format(
        version=figures.get("version", __version__),
        machine=_machine(figures),
        quiet="\n".join(_quiet(figures)),
        goals=_goals(figures),
        all="\n".join(_all(figures)),
        growth="\n".join(_growths(figures)),
        where=_where_text(figures),
        removed=_removed_text(figures),
        quiet_cores=QUIET_CORES,
    )


def _entries(figures: Figures) -> Iterator[tuple[str, Figures]]:
    for name in every_name():
        kind, _, what = name.partition("-")
        entry = figures.get(kind if what else "benches", {}).get(what or name)
        if entry:
            yield name, entry


def _rows(figures: Figures) -> Iterator[tuple[str, Measured]]:
    for name, entry in _entries(figures):
        for row in entry.get("rows", ()):
            yield name, Measured(**row)


def _machine(figures: Figures) -> str:
    told: Mapping[str, str] = figures.get("machine", {})
    return table(("The machine", ""), told.items())


def _quiet(figures: Figures) -> Iterator[str]:
    entries = list(_entries(figures))
    days = sorted(entry["at"] for _, entry in entries)
    if days:
        took = sum(entry["took_s"] for _, entry in entries) / 60.0
        yield f"Measured from {days[0]} to {days[-1]}, {took:.0f} minutes in all."
    busy = [(name, entry) for name, entry in entries if _is_busy(entry)]
    if busy:
        told = ", ".join(f"{name} ({_busy_words(entry)})" for name, entry in busy)
        yield "\n**Not idle.** Other programs used the processor while these ran, so that times are too long"
        yield f"and ratios uncertain; in brackets the cores they used: {told}."
    elif entries:
        yield "The machine was idle otherwise."
    for name, entry in entries:
        if entry["failed"]:
            yield f"\n**{name} failed** in the last run: {' '.join(entry['failed'].split())}"
        if entry["machine"] != figures.get("machine"):
            yield f"\n{name} was measured on another machine or with other versions; see the raw figures."


def _is_busy(entry: Figures) -> bool:
    others = entry["others_cores"]
    if others is None:  # a system that does not tell: the load before is all there is
        return (entry["load_before"] or 0.0) > 1.0
    return bool(others > QUIET_CORES)


def _busy_words(entry: Figures) -> str:
    others = entry["others_cores"]
    return f"load {entry['load_before']:.1f} before" if others is None else f"{others:.1f}"


def _goals(figures: Figures) -> str:
    rows = []
    for name, row in _rows(figures):
        if row.goal is not None:
            link = f"[{name}](../benchmarks/bench_{name}.py)"
            if row.goal_of == "ours":
                found, goal = f"{_number(row.ours)} {row.unit}", f"at most {row.goal:g} {row.unit}"
            else:
                found, goal = f"{_number(row.ratio)} times as fast", f"{row.goal:g} times"
            against = row.reference_is if row.goal_of == "ratio" else ""
            disturbed = ", not idle" if _is_busy(figures["benches"][name]) else ""
            verdict = "met" if row.is_met else f"**MISSED**{disturbed}"
            rows.append((row.name, against, goal, found, verdict, link))
    return table(("What", "Against", "Goal", "Found", "", "Benchmark"), rows, ("Goal", "Found"))


def _all(figures: Figures) -> Iterator[str]:
    head = ("What", "Ours", "Reference", "Unit", "Ratio", "Reference is", "Memory, MB", "Remarks")
    for name, entry in _entries(figures):
        rows = [Measured(**row) for row in entry.get("rows", ())]
        if rows:
            cells = (
                (
                    row.name,
                    _number(row.ours),
                    _number(row.reference),
                    row.unit,
                    _number(row.ratio),
                    row.reference_is or "-",
                    _number(row.memory_MB),
                    row.note,
                )
                for row in rows
            )
            yield f"### {TITLES.get(name, name)}\n\n[bench_{name}.py](../benchmarks/bench_{name}.py)\n"
            yield table(head, cells, ("Ours", "Reference", "Ratio", "Memory, MB"))


def _points(figures: Figures, name: str) -> list[Figures]:
    """Points of a growth, the last one from a benchmark where it names one."""
    points = list(figures.get("growth", {}).get(name, {}).get("points", ()))
    last = growth.GROWTHS[name].last_of
    if points and last:
        rows = [row for found, row in _rows(figures) if found == last and row.size]
        points += [{"size": r.size, "seconds": r.ours, "memory_MB": r.memory_MB} for r in rows]
    return points


def _growths(figures: Figures) -> Iterator[str]:
    for name, one in growth.GROWTHS.items():
        points = _points(figures, name)
        if points:
            power = exponent([p["size"] for p in points], [p["seconds"] for p in points])
            head = (one.size_is.capitalize(), *(f"{p['size']:,}".replace(",", " ") for p in points))
            rows = [
                ("seconds", *(_number(p["seconds"]) for p in points)),
                ("memory, MB", *(_number(p["memory_MB"]) for p in points)),
            ]
            yield f"### {one.title[0].upper()}{one.title[1:]}\n\nGrows with the power {power:.2f}.\n"
            yield table(head, rows, head[1:])
            yield f"![time and memory over {one.size_is}](images/growth_{name}.svg)\n"


def _where_text(figures: Figures) -> str:
    entry = figures.get("benches", {}).get("where", {})
    if "check" not in entry:
        return "Not measured yet."
    parts: Mapping[str, float] = entry["check"]
    whole = sum(parts.values())
    rows = [(name, f"{1e3 * seconds:.0f}", f"{seconds / whole:.0%}") for name, seconds in parts.items()]
    shares = [(name, f"{share:.0%}") for name, share in entry["kernels"].items()]
    fixed = sum(list(parts.values())[:4])
    cold = [row.reference for name, row in _rows(figures) if name == "start" and not row.memory_MB]
    return _WHERE.format(
        parts=table(("Part", "ms", "Share"), rows, ("ms", "Share")),
        shares=table(("Job", "In kernels"), shares, ("In kernels",)),
        cold=f"{cold[0]:.0f} s of the processor here" if cold and cold[0] else "not measured",
        fixed=f"{1e3 * fixed:.0f} ms, or {fixed / whole:.0%}",
    ).rstrip()


def _removed_text(figures: Figures) -> str:
    rows = [row for name, row in _rows(figures) if name == "start"]
    if not rows:
        return "Not measured yet."
    cells = (
        (row.name, f"{row.reference or 0:.2f} s", f"{row.ours:.2f} s", _number(row.ratio), row.note)
        for row in rows
    )
    digest = figures.get("benches", {}).get("where", {}).get("digest_ms")
    return _REMOVED.format(
        start=table(("What", "By numba", "Without", "Ratio", "Remarks"), cells),
        digest=f"{digest:.1f} ms" if digest else "a few ms",
    ).rstrip()


def _number(value: float | None) -> str:
    if value is None or value != value:  # noqa: PLR0124 - only a number that is none differs from itself
        return "-"
    if value >= 1e6:
        return f"{value:.1e}"
    return f"{value:.0f}" if value >= 100 else f"{value:.3g}"


def write_charts(figures: Figures) -> None:
    """One chart a growth, as SVG."""
    for name, one in growth.GROWTHS.items():
        points = _points(figures, name)
        if points:
            drawn = vl_convert.vegalite_to_svg(_chart(one.size_is, points), allowed_base_urls=[])
            (IMAGES / f"growth_{name}.svg").write_text(drawn + "\n", encoding="utf-8")


def _chart(size_is: str, points: list[Figures]) -> Figures:
    quiet = {"labelColor": "#565a56", "titleColor": "#565a56", "gridColor": "#e6e2d8", "domainColor": _GREY}

    def side(field: str, title: str) -> Figures:
        along = {"field": "size", "type": "quantitative", "title": size_is, "scale": {"type": "log"}}
        up = {"field": field, "type": "quantitative", "title": title, "scale": {"type": "log"}}
        mark = {"type": "line", "point": {"color": _BLUE}, "color": _BLUE}
        return {"width": 270, "height": 180, "mark": mark, "encoding": {"x": along, "y": up}}

    return {
        "data": {"values": points},
        "hconcat": [side("seconds", "seconds"), side("memory_MB", "memory, MB")],
        "background": "#ffffff",
        "padding": 8,
        "config": {"axis": {**quiet, "format": "~s", "labelOverlap": True}, "view": {"stroke": None}},
    }


def is_behind(figures: Figures, text: str) -> str:
    """Why the page is not what the figures and the benchmarks ask for; nothing when it is."""
    gone = [name for name in every_name() if not any(name == found for found, _ in _entries(figures))]
    if gone:
        return f"not measured yet: {', '.join(gone)}; run python docs/make_benchmarks.py"
    if text != page(figures):
        return "run python docs/make_benchmarks.py --page"
    charts = re.findall(r"\]\((images/[\w.]+)\)", text)
    lost = [chart for chart in charts if not (DOCS / chart).exists()]
    return f"no {lost[0]}; run python docs/make_benchmarks.py --page" if lost else ""


def main() -> int:
    """Measure and write, or compare."""
    figures: Figures = json.loads(FIGURES.read_text(encoding="utf-8")) if FIGURES.exists() else {}
    if "--check" in sys.argv:
        behind = is_behind(figures, PAGE.read_text(encoding="utf-8") if PAGE.exists() else "")
        print(behind or "docs/benchmarks.md is what the figures give")
        return 1 if behind else 0
    went_well = True
    if "--page" not in sys.argv:
        names = every_name()
        if "--only" in sys.argv:
            asked = sys.argv[sys.argv.index("--only") + 1]
            if asked not in names:
                print(f"--only must be one of {', '.join(names)}; {asked!r} came", file=sys.stderr)
                return 2
            names = [asked]
        figures |= {"version": __version__, "machine": machine()}
        for name in names:
            went_well = measured_all([name], figures) and went_well
            FIGURES.write_text(json.dumps(figures, indent=1) + "\n", encoding="utf-8")
    write_charts(figures)
    PAGE.write_text(page(figures), encoding="utf-8")
    return 0 if went_well else 1


if __name__ == "__main__":
    raise SystemExit(main())
