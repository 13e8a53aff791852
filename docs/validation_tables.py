"""Sections of docs/validation.md from the packaged coefficient tables: what studies found, and two charts.

The reference data that the studies read is not carried, so the charts hold what is packaged, and what the
tests compared. They go to docs/images/.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

import vl_convert

from glidewright.data import coefficients, packaged
from marked import table

Row = Mapping[str, Any]
Spec = dict[str, Any]
IMAGES = Path(__file__).parent / "images"
LOGS = Path(__file__).parent / "flight_logs.md"
# share wished for in per cent, and below which a record is listed: of 500 flights 80 % may come out as 75
_WISHED = {
    "Motor stop within 0.5 s": (95, 95),
    "Launch height within 0.5 m": (95, 95),
    "Height band holds the truth": (80, 75),
}
_BLUE, _BROWN, _GREY = "#1f5c78", "#855400", "#8a8f8a"
_ERRORS = (
    ("left_out_static_thrust", "thrust_sigma", "thrust at rest", "share"),
    ("left_out_static_power", "power_sigma", "power at rest", "share"),
    ("left_out_useful_thrust", "thrust_sigma", "thrust in the useful range", "share"),
    ("left_out_useful_power", "power_sigma", "power in the useful range", "share"),
    ("left_out_zero_thrust", "zero_thrust_sigma", "advance ratio without thrust", "1"),
)
_BIASES = (
    ("drag_factor", "drag", "measured over computed"),
    ("highest_lift_factor", "highest lift", "measured over computed"),
    ("slope_over_thin", "lift slope", "measured over 2 pi a radian"),
    ("zero_lift_shift", "angle of zero lift", "measured less computed, degrees"),
)

_TEXT = """## What the studies found

Errors of what is fitted, as the packaged tables in `src/glidewright/data/coefficients/` state them. The data
that the studies read is not carried; each study says where it is published, and writes its table again from
it.

### Propellers, each size left out in turn

A family model must give a size that it has not seen. Every size is left out of the fit once and compared with
what the tunnel found ([studies/propellers.py](../studies/propellers.py)); the errors of a make that is not
named are those of whole makes left out, for folding blades, of which one make was measured, wider by a root
of two on the spread alone.

{propellers}
![rms and worst error of the sizes that were left out](images/propeller_left_out.svg)

Sizes that were measured have their own curves. How far these are from the rows of the tunnel:

![rms of thrust of the measured sizes over pitch by diameter](images/propeller_sizes.svg)

{sizes}

### Sections in tunnels

Drag, lift slope and angle of zero lift of computed sections against wind tunnels
([studies/section_bias.py](../studies/section_bias.py)). The factors are applied; low and high are the 10 %
and 90 % points, and become the spread.

{sections}
Each dot is the mean of three readings of one run over the computation with its factor, as the table of the
runs above has it. The band is the stated spread.

![measured over computed drag of each run](images/section_drag.svg)

### Reading flight logs

Flights of the launch model, recorded as an instrument would, cut up again and held against what was flown
([studies/segmentation.py](../studies/segmentation.py), [flight_logs.md](flight_logs.md)). How often ranges of
a calibrated model hold a flight that it has not seen is counted by
[studies/calibration_coverage.py](../studies/calibration_coverage.py); a seeded part of it runs in the tests.

{logs}

### Motors, controllers, packs, lattice, logs

Every other coefficient that a study found, with what it was found from.

{others}"""


def studies_text() -> str:
    """The sections."""
    return _TEXT.format(
        propellers=table(
            ("Blades", "Error of", "Unit", "rms", "Worst size", "Spread used, one sigma"), _propellers()
        ),
        sizes=_sizes_sentence(),
        logs=_segmentation(),
        sections=table(
            ("What", "Is", "Reynolds number", "Value", "Low", "High", "Runs", "Readings"), _sections()
        ),
        others=table(("Table", "Value", "Low", "High", "Unit", "From", "Method", "Source"), _others()),
    )


def log_misses() -> list[str]:
    """Records whose motor stop, height or range is read less well than asked for, each as a sentence."""
    head, _, *rows = (row.strip("| ").split(" | ") for row in _segmentation().splitlines() if row[:1] == "|")
    found = []
    for record, *cells in rows:
        for name, cell in zip(head[1:], cells, strict=True):
            wished, listed = _WISHED.get(name, (0, 0))
            if listed and float(cell.removesuffix(" %")) < listed:
                what = name[0].lower() + name[1:]
                found.append(f"log of {record}: {what} in {cell}, wished for {wished} %")
    return found


def _segmentation() -> str:
    text = LOGS.read_text(encoding="utf-8")
    return text.partition("<!-- made: segmentation -->")[2].partition("<!-- end -->")[0].strip()


def write_charts(rows: Iterable[Row]) -> None:
    """The pictures of the sections, as SVG files."""
    IMAGES.mkdir(exist_ok=True)
    charts = {
        "propeller_left_out": _left_out_chart(),
        "propeller_sizes": _sizes_chart(),
        "section_drag": _drag_chart(list(rows)),
    }
    for name, spec in charts.items():
        drawn = vl_convert.vegalite_to_svg(spec, allowed_base_urls=[])
        (IMAGES / f"{name}.svg").write_text(drawn + "\n", encoding="utf-8")


def _propellers() -> Iterator[tuple[str, ...]]:
    for blades in ("folding", "fixed"):
        count = len({size["key"] for size in _sizes() if size["folding"] == (blades == "folding")})
        for band, make in (("known_family", "make known"), ("unknown_family", "make unknown")):
            found = coefficients(f"propeller_{blades}")["band"][band]
            for key, spread, what, unit in _ERRORS:
                sigma = found[spread]
                error = found[key]
                name = f"{blades}, {make}, {count} sizes"
                yield name, what, unit, f"{error['rms']:.3f}", f"{error['worst']:.3f}", f"{sigma:.3f}"


def _sizes() -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = coefficients("propeller_sizes")["size"]
    return found


def _sizes_sentence() -> str:
    thrust, power = ([size["useful_rms"][side] for size in _sizes()] for side in (0, 1))
    beyond = sorted(size["key"] for size in _sizes() if size["useful_rms"][0] > 0.02)
    dropped, rows = (
        sum(size["rows_dropped"][0] for size in _sizes()),
        sum(size["rows"] for size in _sizes()),
    )
    middle = (sorted(one)[len(one) // 2] for one in (thrust, power))
    medians = " and ".join(f"{100.0 * one:.1f} %" for one in middle)
    return (
        f"{len(thrust)} sizes, {rows} rows, of which {dropped} were set aside as far off the rest. "
        f"Median rms of thrust and power {medians}; {len(beyond)} sizes miss 2 % of thrust: "
        f"{', '.join(beyond)}."
    )


def _sections() -> Iterator[tuple[object, ...]]:
    table = coefficients("section_bias")
    for key, what, kind in _BIASES:
        for row in table[key]:
            reynolds = f"{row['reynolds']:,.0f}".replace(",", " ") if len(table[key]) > 1 else "all"
            numbers = (f"{row[name]:.3f}" for name in ("value", "low", "high"))
            yield what, kind, reynolds, *numbers, row["runs"], row["points"]


def _others() -> Iterator[tuple[object, ...]]:
    for entry in sorted(packaged("coefficients").iterdir(), key=lambda entry: entry.name):
        name = entry.name.removesuffix(".toml")
        if name.startswith(("propeller", "section")):
            continue
        for key, row in coefficients(name).items():
            if not (isinstance(row, dict) and row.get("study")):
                continue
            source = f"{row['source']}; [{row['study']}](../{row['study']})"
            numbers = [_short(row.get(side)) for side in ("value", "low", "high")]
            yield (
                f"`{name}` {key}",
                *numbers,
                row["unit"],
                row["where"],
                row["method"],
                source,
            )


def _short(value: object) -> str:
    if isinstance(value, list):
        return f"{len(value)} nodes"
    return "-" if value is None else f"{value:.4g}"


def _frame(layers: list[Spec]) -> Spec:
    return {"width": 640, "height": 260, "layer": layers, **_paper()}


def _paper() -> Spec:
    quiet = {"labelColor": "#565a56", "titleColor": "#565a56", "gridColor": "#e6e2d8", "domainColor": _GREY}
    config = {"axis": quiet, "legend": {"titleColor": "#565a56"}, "view": {"stroke": None}}
    return {"background": "#ffffff", "padding": 8, "config": config}


def _axis(field: str, title: str, **scale: object) -> Spec:
    return {"field": field, "type": "quantitative", "title": title, "scale": {"zero": False, **scale}}


def _left_out_chart() -> Spec:
    rows = [
        {"blades": name, "what": what, "rms": 100.0 * float(rms), "worst": 100.0 * float(worst)}
        for name, what, unit, rms, worst, _ in _propellers()
        if unit == "share"
    ]
    names = list(dict.fromkeys(row["blades"] for row in rows))
    along = {"field": "rms", "type": "quantitative", "title": "error, %: bar rms, mark worst size"}
    down = {"field": "what", "type": "nominal", "title": None, "sort": None}
    bar = {
        "mark": {"type": "bar", "color": _BLUE, "height": {"band": 0.6}},
        "encoding": {"x": along, "y": down},
    }
    worst = {
        "mark": {"type": "tick", "color": _BROWN, "thickness": 3},
        "encoding": {"x": {"field": "worst", "type": "quantitative"}, "y": down},
    }
    return {
        "data": {"values": rows},
        "facet": {"field": "blades", "type": "nominal", "title": None, "sort": names},
        "columns": 2,
        "spec": {"width": 220, "height": 100, "layer": [bar, worst]},
        **_paper(),
    }


def _sizes_chart() -> Spec:
    dots = [
        {
            "pitch": size["pitch_m"] / size["diameter_m"],
            "rms": 100.0 * size["useful_rms"][0],
            "blades": "folding" if size["folding"] else "fixed",
        }
        for size in _sizes()
    ]
    colour = {"domain": ["folding", "fixed"], "range": [_BLUE, _BROWN]}
    encoding = {
        "x": _axis("pitch", "pitch by diameter"),
        "y": _axis("rms", "rms of thrust, % of the measured rows", zero=True),
        "color": {"field": "blades", "type": "nominal", "scale": colour, "title": "blades"},
    }
    aim = {"data": {"values": [{"rms": 2.0}]}, "mark": {"type": "rule", "color": _GREY, "strokeDash": [4, 3]}}
    aim["encoding"] = {"y": {"field": "rms", "type": "quantitative"}}
    return _frame([aim, {"data": {"values": dots}, "mark": {"type": "point"}, "encoding": encoding}])


def _drag_chart(rows: list[Row]) -> Spec:
    dots = [
        {
            "reynolds": float(found[1].replace(" ", "")),
            "ratio": row["found"],
            "run": "held" if row["keeps"] else "missed",
        }
        for row in rows
        if (found := re.search(r"^measured drag over computed.* Reynolds ([\d ]+)$", row["what"]))
    ]
    band = [
        {"reynolds": row["reynolds"], "low": row["low"] / row["value"], "high": row["high"] / row["value"]}
        for row in coefficients("section_bias")["drag_factor"]
    ]
    along = _axis("reynolds", "Reynolds number", type="log", domain=[50_000, 330_000])
    along["axis"] = {"values": [60_000, 100_000, 150_000, 200_000, 300_000], "format": ","}
    up = "measured over computed drag"
    spread = {"x": along, "y": _axis("low", up), "y2": {"field": "high"}}
    colour = {"domain": ["held", "missed"], "range": [_BLUE, _BROWN]}
    encoding = {
        "x": along,
        "y": _axis("ratio", up),
        "color": {"field": "run", "type": "nominal", "scale": colour, "title": "runs"},
    }
    return _frame(
        [
            {
                "data": {"values": band},
                "mark": {"type": "area", "color": _BLUE, "opacity": 0.15},
                "encoding": spread,
            },
            {
                "data": {"values": dots},
                "mark": {"type": "point", "filled": True, "size": 50},
                "encoding": encoding,
            },
        ]
    )
