"""Charts of docs/validation.md: specifications for Vega-Lite, drawn to docs/images/ as SVG.

The reference data that the studies read is not carried, so the charts hold what is packaged, what the tests
compared, and what the studies kept.
"""

import re
import sys
from collections.abc import Iterable, Mapping, Sequence
from importlib import import_module
from typing import Any

import numpy as np
import vl_convert

from glidewright.data import coefficients
from glidewright.forecast.spread import Z90
from glidewright.models.aero.section import cd_of_cl, drag_factor, section
from glidewright.models.aero.section import coefficients as section_coefficients
from marked import DOCS, ROOT
from validation_studies import found_by, level_band
from validation_tables import left_out_rows, sizes

Row = Mapping[str, Any]
Spec = dict[str, Any]
IMAGES = DOCS / "images"
_BLUE, _BROWN, _GREY = "#1f5c78", "#855400", "#8a8f8a"


def write_charts(rows: Iterable[Row]) -> None:
    """All charts; rows: what the worked examples wrote down."""
    IMAGES.mkdir(exist_ok=True)
    charts = {
        "propeller_left_out": _left_out_chart(),
        "propeller_each": _each_left_out(),
        "propeller_sizes": _sizes_chart(),
        "propeller_bands": _size_bands(),
        "section_drag": _drag_chart(list(rows)),
        "section_polars": _polars(),
        "section_lift": _lifts(),
        "motor_sets": _motors(),
        "pack_cells": _cells(),
        "launch_steps": _launch_steps(),
        "log_records": _records(),
        "coverage_levels": _levels(),
        "coverage_flights": _flights(),
    }
    for name, spec in charts.items():
        drawn = vl_convert.vegalite_to_svg(spec, allowed_base_urls=[])
        (IMAGES / f"{name}.svg").write_text(drawn + "\n", encoding="utf-8")


def frame(layers: list[Spec]) -> Spec:
    """One wide chart of some layers."""
    return {"width": 640, "height": 260, "layer": layers, **paper()}


def paper() -> Spec:
    """Colours and margins of every chart."""
    quiet = {"labelColor": "#565a56", "titleColor": "#565a56", "gridColor": "#e6e2d8", "domainColor": _GREY}
    config = {"axis": quiet, "legend": {"titleColor": "#565a56"}, "view": {"stroke": None}}
    return {"background": "#ffffff", "padding": 8, "config": config}


def axis(field: str, title: str, **scale: object) -> Spec:
    """An axis that need not begin at zero."""
    return {"field": field, "type": "quantitative", "title": title, "scale": {"zero": False, **scale}}


def _left_out_chart() -> Spec:
    rows = [
        {"blades": name, "what": what, "rms": 100.0 * float(rms), "worst": 100.0 * float(worst)}
        for name, what, unit, rms, worst, _ in left_out_rows()
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
        **paper(),
    }


def _sizes_chart() -> Spec:
    dots = [
        {
            "pitch": size["pitch_m"] / size["diameter_m"],
            "rms": 100.0 * size["useful_rms"][0],
            "blades": "folding" if size["folding"] else "fixed",
        }
        for size in sizes()
    ]
    colour = {"domain": ["folding", "fixed"], "range": [_BLUE, _BROWN]}
    encoding = {
        "x": axis("pitch", "pitch by diameter"),
        "y": axis("rms", "rms of thrust, % of the measured rows", zero=True),
        "color": {"field": "blades", "type": "nominal", "scale": colour, "title": "blades"},
    }
    aim = {"data": {"values": [{"rms": 2.0}]}, "mark": {"type": "rule", "color": _GREY, "strokeDash": [4, 3]}}
    aim["encoding"] = {"y": {"field": "rms", "type": "quantitative"}}
    return frame([aim, {"data": {"values": dots}, "mark": {"type": "point"}, "encoding": encoding}])


def _drag_chart(rows: list[Row]) -> Spec:
    dots = [
        {
            "reynolds": float(found[1].replace(" ", "")),
            "ratio": row["expected" if row["kind"] == "covers" else "found"],
            "run": "held" if row["keeps"] else "missed",
        }
        for row in rows
        if (found := re.search(r"^measured drag over computed.* Reynolds ([\d ]+)$", row["what"]))
    ]
    band = [
        {"reynolds": row["reynolds"], "low": row["low"] / row["value"], "high": row["high"] / row["value"]}
        for row in coefficients("section_bias")["drag_factor"]
    ]
    along = axis("reynolds", "Reynolds number", type="log", domain=[50_000, 330_000])
    along["axis"] = {"values": [60_000, 100_000, 150_000, 200_000, 300_000], "format": ","}
    up = "measured over computed drag"
    spread = {"x": along, "y": axis("low", up), "y2": {"field": "high"}}
    colour = {"domain": ["held", "missed"], "range": [_BLUE, _BROWN]}
    encoding = {
        "x": along,
        "y": axis("ratio", up),
        "color": {"field": "run", "type": "nominal", "scale": colour, "title": "runs"},
    }
    return frame(
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


def _quantity(field: str, title: str | None = None, **scale: object) -> Spec:
    found: Spec = {"field": field, "type": "quantitative", "title": title}
    return found | ({"scale": scale} if scale else {})


def _colour(field: str, names: Sequence[str], colours: Sequence[str], title: str | None = None) -> Spec:
    scale = {"domain": list(names), "range": list(colours)}
    return {"field": field, "type": "nominal", "scale": scale, "title": title}


def _each_left_out() -> Spec:
    families = found_by("propellers_left_out")["families"]
    rows = [
        {
            "family": name,
            "kind": kind,
            "pitch": size["pitch_ratio"],
            "error": 100.0 * error,
            "low": -100.0 * band,
            "high": 100.0 * band,
            "held": "inside" if abs(error) <= band else "outside",
        }
        for name, own in families.items()
        for size in own["sizes"]
        for kind, error, band in zip(own["kinds"], size["errors"], own["band"], strict=True)
    ]
    along = _quantity("pitch", "pitch by diameter", zero=False)
    up = _quantity("low", "error, %")
    band = {"mark": {"type": "area", "color": _BLUE, "opacity": 0.15}}
    band["encoding"] = {"x": along, "y": up, "y2": {"field": "high"}}
    dots = {
        "mark": {"type": "point", "filled": True, "size": 22},
        "encoding": {
            "x": along,
            "y": _quantity("error"),
            "color": _colour("held", ("inside", "outside"), (_BLUE, _BROWN), "the 80 % band"),
        },
    }
    facet = {
        "row": {"field": "kind", "type": "nominal", "title": None, "sort": None},
        "column": {"field": "family", "type": "nominal", "title": None, "sort": None},
    }
    inner = {"width": 150, "height": 110, "layer": [band, dots]}
    return {"data": {"values": rows}, "facet": facet, "spec": inner, **paper()}


def _size_bands() -> Spec:
    found = found_by("propellers_left_out")["sizes"]
    rows = [
        {
            "size": one["size"],
            "what": what,
            **{name: 100.0 * one[what][name] for name in ("mean", "low", "high", "band")},
            "below": -100.0 * one[what]["band"],
        }
        for one in found
        for what in ("thrust", "power")
    ]
    down = {"field": "size", "type": "nominal", "title": None, "axis": {"labelFontSize": 8}}
    along = _quantity("below", "rows of the tunnel less their own curve, %")
    layers: list[Spec] = [
        {
            "mark": {"type": "bar", "color": _BLUE, "opacity": 0.15},
            "encoding": {"y": down, "x": along, "x2": {"field": "band"}},
        },
        {
            "mark": {"type": "rule", "color": _BLUE, "strokeWidth": 2},
            "encoding": {"y": down, "x": _quantity("low"), "x2": {"field": "high"}},
        },
        {
            "mark": {"type": "point", "filled": True, "color": _BROWN, "size": 14},
            "encoding": {"y": down, "x": _quantity("mean")},
        },
    ]
    facet = {"column": {"field": "what", "type": "nominal", "title": None, "sort": ["thrust", "power"]}}
    inner = {"width": 260, "height": {"step": 9}, "layer": layers}
    return {"data": {"values": rows}, "facet": facet, "spec": inner, **paper()}


def _measured_runs() -> Any:
    """The worked file of sections with its readings."""
    for folder in ("tests/worked", "tests/support"):
        if str(ROOT / folder) not in sys.path:
            sys.path.append(str(ROOT / folder))
    return import_module("test_section_measured")


def _polars() -> Spec:
    rows = []
    for run, name, reynolds, readings in _measured_runs().RUNS:
        title = f"{run}, {reynolds / 1000:.0f} 000"
        lift = np.linspace(min(one[0] for one in readings) - 0.1, max(one[0] for one in readings) + 0.1, 25)
        drag, _ = cd_of_cl(section(name), lift, reynolds)
        factor = drag_factor(reynolds)
        for one, value in zip(lift.tolist(), drag.tolist(), strict=True):
            ends = {side: 1e4 * value * float(getattr(factor, side)) for side in ("low", "value", "high")}
            rows.append({"run": title, "lift": one, **ends})
        rows += [{"run": title, "lift": one, "drag": 1e4 * value} for one, value in readings]
    across = _quantity("lift", "lift coefficient", zero=False)
    up = _quantity("low", "drag x 10 000", zero=False)
    layers = _band_line_and_dots(across, up, "value", "drag")
    facet = {"field": "run", "type": "nominal", "title": None, "sort": None}
    inner = {"width": 118, "height": 90, "layer": layers}
    return {"data": {"values": rows}, "facet": facet, "columns": 5, "spec": inner, **_own_axes(), **paper()}


def _lifts() -> Spec:
    rows: list[Spec] = []
    for reynolds, readings in _measured_runs().SD7037B_LIFT.items():
        title = f"Reynolds {reynolds / 1000:.0f} 000"
        angles = np.linspace(readings[0][0] - 0.5, readings[-1][0] + 0.5, 60)
        lift = section_coefficients(section("sd7037"), np.radians(angles), reynolds)[0]
        rows += [
            {"run": title, "angle": a, "value": c}
            for a, c in zip(angles.tolist(), lift.tolist(), strict=True)
        ]
        rows += [{"run": title, "angle": angle, "lift": one} for angle, one in readings]
    across = _quantity("angle", "angle of attack, degrees", zero=False)
    layers = _band_line_and_dots(across, _quantity("value", "lift coefficient"), "value", "lift")[1:]
    facet = {"field": "run", "type": "nominal", "title": None, "sort": None}
    inner = {"width": 290, "height": 220, "layer": layers}
    return {"data": {"values": rows}, "facet": facet, "columns": 2, "spec": inner, **paper()}


def _own_axes() -> Spec:
    return {"resolve": {"scale": {"y": "independent"}}}


def _band_line_and_dots(across: Spec, up: Spec, line: str, dots: str) -> list[Spec]:
    """Layers of a band from low to high, a line in it, and dots; each from the rows that have it."""
    return [
        {
            "transform": [_only(line)],
            "mark": {"type": "area", "color": _BLUE, "opacity": 0.15},
            "encoding": {"x": across, "y": up, "y2": {"field": "high"}},
        },
        {
            "transform": [_only(line)],
            "mark": {"type": "line", "color": _BLUE},
            "encoding": {"x": across, "y": {**up, "field": line}},
        },
        {
            "transform": [_only(dots)],
            "mark": {"type": "point", "filled": True, "color": _BROWN, "size": 26},
            "encoding": {"x": across, "y": {**up, "field": dots}},
        },
    ]


def _only(field: str) -> Spec:
    return {"filter": f"isValid(datum.{field})"}


def _motors() -> Spec:
    rows = []
    for number, one in enumerate(found_by("motors")["sets"], start=1):
        ratio = one["kv_rpm_V"] / one["label_rpm_V"]
        sigma = (one["kv_sigma_rpm_V"] or 0.0) / one["label_rpm_V"]
        ohm, ohm_sigma = one["resistance_mohm"], one["resistance_sigma_mohm"] or 0.0
        rows.append(
            {
                "set": f"{number}: {one['label_rpm_V']:.0f} rpm/V, {one['source']}",
                "told": "warned of" if one["warnings"] else "not warned of",
                "ratio": 100.0 * ratio,
                "ratio_low": 100.0 * (ratio - Z90 * sigma),
                "ratio_high": 100.0 * (ratio + Z90 * sigma),
                "ohm": ohm,
                "ohm_low": ohm - Z90 * ohm_sigma,
                "ohm_high": ohm + Z90 * ohm_sigma,
            }
        )
    colour = _colour("told", ("not warned of", "warned of"), (_BLUE, _BROWN), "the set is")
    panels: list[Spec] = []
    for name, title in (("ratio", "fitted Kv, % of the label"), ("ohm", "fitted resistance, mΩ")):
        down: Spec = {"field": "set", "type": "nominal", "title": None, "sort": None}
        if panels:
            down["axis"] = None
        along = _quantity(name, title, zero=name == "ohm")
        span = {"x": _quantity(f"{name}_low", title, zero=name == "ohm"), "x2": {"field": f"{name}_high"}}
        layers: list[Spec] = [
            {"mark": {"type": "rule", "strokeWidth": 2}, "encoding": {"y": down, **span, "color": colour}},
            {
                "mark": {"type": "point", "filled": True, "size": 40},
                "encoding": {"y": down, "x": along, "color": colour},
            },
        ]
        panels.append({"width": 250, "height": {"step": 18}, "layer": layers})
    return {"data": {"values": rows}, "hconcat": panels, **paper()}


def _cells() -> Spec:
    found = found_by("packs")
    nodes = coefficients("pack")["cell_voltage"]
    steps = np.linspace(0.0, 100.0, len(nodes["value"])).tolist()
    sides = zip(steps, nodes["low"], nodes["value"], nodes["high"], strict=True)
    band = [{"charge": at, "low": low, "value": value, "high": high} for at, low, value, high in sides]
    dots = [
        {"charge": 100.0 * one["charge"], "volts": one[name], "cell": title}
        for one in found["readings"]
        for name, title in (
            ("measured_V", "measured, Ai et al. 2020"),
            ("second_cell_V", "Chen and Rincon-Mora 2006"),
        )
        if one["charge"] >= 0.0999
    ]
    across = _quantity("charge", "charge left, %")
    up = _quantity("low", "open-circuit volts of a cell", zero=False, domain=[3.5, 4.25])
    names = ("measured, Ai et al. 2020", "Chen and Rincon-Mora 2006")
    area, line, _ = _band_line_and_dots(across, up, "value", "volts")
    clip = {"clip": True}
    area["mark"] |= clip
    line["mark"] |= clip
    return frame(
        [
            {"data": {"values": band}, **area},
            {"data": {"values": band}, **line},
            {
                "data": {"values": dots},
                "mark": {"type": "point", "filled": True, "size": 40},
                "encoding": {
                    "x": across,
                    "y": {**up, "field": "volts"},
                    "color": _colour("cell", names, (_BROWN, _GREY), "cell"),
                },
            },
        ]
    )


def _launch_steps() -> Spec:
    found = found_by("launch_steps")
    rows = [
        {"kind": kind, "step": step, "off": off, "which": which}
        for kind, own in found["by_kind"].items()
        for which in ("worst", "median")
        for step, off in zip(found["tolerances_m"], own[which], strict=True)
        if off > 0.0  # a run that the clock stops is met to the last digit
    ]
    plain = {"axis": {"format": "~g", "tickCount": 6, "grid": False}}
    across = _quantity("step", "error of a step let pass, m", type="log") | plain
    encoding = {
        "x": across,
        "y": _quantity("off", "kernel less solver", type="log") | plain,
        "color": _colour("which", ("worst", "median"), (_BROWN, _BLUE), f"of {found['cases']} launches"),
    }
    layers: list[Spec] = [{"mark": {"type": "line", "point": True}, "encoding": encoding}]
    facet = {"field": "kind", "type": "nominal", "title": None, "sort": None}
    inner = {"width": 260, "height": 150, "layer": layers}
    return {"data": {"values": rows}, "facet": facet, "columns": 2, "spec": inner, **_own_axes(), **paper()}


def _records() -> Spec:
    rows = [
        {"record": name, "what": title, "share": 100.0 * own[key], "wished": wished}
        for name, own in found_by("segmentation")["cases"].items()
        for key, title, wished in (
            ("stop_within", "motor stop within 0.5 s", 95.0),
            ("height_within", "launch height within 0.5 m", 95.0),
            ("band_holds", "height band holds the truth", 80.0),
        )
    ]
    down = {"field": "record", "type": "nominal", "title": None, "sort": None, "axis": {"labelLimit": 330}}
    bar = {
        "mark": {"type": "bar", "color": _BLUE},
        "encoding": {"y": down, "x": _quantity("share", "% of flights")},
    }
    wished = {
        "mark": {"type": "tick", "color": _BROWN, "thickness": 2},
        "encoding": {"y": down, "x": _quantity("wished")},
    }
    facet = {"column": {"field": "what", "type": "nominal", "title": None, "sort": None}}
    inner = {"width": 150, "height": {"step": 18}, "layer": [bar, wished]}
    return {"data": {"values": rows}, "facet": facet, "spec": inner, **paper()}


def _levels() -> Spec:
    found = found_by("calibration_coverage")
    levels = found["levels"]
    rows = [
        {"level": level, "held": 100.0 * share, "what": title}
        for title, shares in found["held"].items()
        for level, share in zip(levels, shares, strict=True)
    ]
    ends = [level_band(level, found["truths"]) for level in levels]
    band = [{"level": one, "low": low, "high": high} for one, (low, high) in zip(levels, ends, strict=True)]
    across = _quantity("level", "width of the predicted range, %", domain=[0, 100])
    up = _quantity("low", "share of truths that it held, %", domain=[0, 100])
    area = {"mark": {"type": "area", "color": _GREY, "opacity": 0.25}}
    area["encoding"] = {"x": across, "y": up, "y2": {"field": "high"}}
    colour = {"field": "what", "type": "nominal", "title": None, "scale": {"scheme": "category10"}}
    lines: Spec = {"mark": {"type": "line", "point": True}}
    lines["encoding"] = {"x": across, "y": {**up, "field": "held"}, "color": colour}
    layers = [{"data": {"values": band}, **area}, {"data": {"values": rows}, **lines}]
    return {"width": 420, "height": 360, "layer": layers, **paper()}


def _flights() -> Spec:
    found = found_by("calibration_coverage")
    rows = [
        {"flights": row["flights"], "series": f"{own['truths']} truths", **_quartiles(row)}
        for own in (found, found["long"])
        for row in own["by_flights"]
    ]
    across = _quantity("flights", "flights learned from") | {"axis": {"tickMinStep": 1}}
    up = _quantity("low", "error of the launch height of the next flight, m")
    names = list(dict.fromkeys(row["series"] for row in rows))
    colour = _colour("series", names, (_BLUE, _BROWN), "median and quartiles of")
    return frame(
        [
            {
                "data": {"values": rows},
                "mark": {"type": "rule", "opacity": 0.6},
                "encoding": {"x": across, "y": up, "y2": {"field": "high"}, "color": colour},
            },
            {
                "data": {"values": rows},
                "mark": {"type": "line", "point": True},
                "encoding": {"x": across, "y": {**up, "field": "error"}, "color": colour},
            },
        ]
    )


def _quartiles(row: Row) -> dict[str, float]:
    low, middle, high = row["error_m"]
    return {"low": low, "error": middle, "high": high}
