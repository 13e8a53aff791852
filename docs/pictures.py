"""The pictures of the docs: charts, drawing and figures of the demo, drawn by the program's own code."""

import contextlib
import io
import re
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from html import escape
from pathlib import Path

from glidewright.base.figure import Figure
from glidewright.base.wording import spread_digits, unit_text
from glidewright.data import packaged
from glidewright.decisions import balance, calibrate, check, choose, fair, glide, power
from glidewright.decisions.choosing.nouns import ChooseRequest
from glidewright.decisions.fairness.nouns import FairRequest
from glidewright.decisions.nouns import CheckResult
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.faces.cli.fair_input import fair_input
from glidewright.faces.cli.main import main as glidewright
from glidewright.faces.report import balance as balance_report
from glidewright.faces.report import calibrate as calibrate_report
from glidewright.faces.report import check as check_report
from glidewright.faces.report import choose as choose_report
from glidewright.faces.report import fair as fair_report
from glidewright.faces.report import glide as glide_report
from glidewright.faces.report import power as power_report
from glidewright.faces.report.charts import PRINT_COLOURS, chart_svg
from glidewright.faces.report.document import (
    BarChart,
    Block,
    Chart,
    Details,
    Document,
    Drawing,
    LineChart,
    ScatterChart,
)
from glidewright.faces.report.drawing import drawing_svg
from glidewright.faces.report.spread_bar import spread_bar
from glidewright.rules.measures import MEASURE_UNITS
from glidewright.store.class_files import read_class
from glidewright.store.logbook import Logbook, logbook_url
from glidewright.store.reading import read_model

DEMO, FLIGHTS = "hill-demo", "hill-demo-flights"
_EVENINGS = ("evening-1.csv", "evening-2.csv", "club-contest.csv")
_PAPER, _INK, _QUIET, _HAIR, _ACCENT, _WARNING = (
    "#fdfcf8", "#1f2326", "#565a56", "#d8d2c4", "#1f5c78", "#855400",
)  # fmt: skip
_COLOURS = {"paper": _PAPER, "sheet": _PAPER, "ink": _INK, "hair": _HAIR, "warning": _WARNING}
_FONT = "system-ui, -apple-system, 'Segoe UI', Roboto, 'Liberation Sans', sans-serif"
_PAD = 14.0
_LONG = re.compile(r"-?\d+\.\d{3,}")  # more digits than a screen shows
_KEY_HEIGHT = 22.0
_SHOWN_AT = 1.25  # pixels of a screen for a unit of the picture, where there is room
_KEYS = {
    "band": (
        '<path d="M0 -9H26V3H0Z" fill="{accent}" opacity=".18"/>'
        '<path d="M0 -3H26" stroke="{accent}" stroke-width="2"/>',
        "line: median; band: 10 to 90 %",
    ),
    "bars": (
        '<path d="M0 -8H17V2H0Z" fill="{accent}" opacity=".55"/>'
        '<path d="M10 -3H26M10 -6V0M26 -6V0" stroke="{ink}" stroke-width="1.5"/>',
        "bar: median; whisker: 10 to 90 %",
    ),
    "entries": (
        '<path d="M0 -8H17V2H0Z" fill="{accent}" opacity=".55"/>'
        '<path d="M10 -3H26M10 -6V0M26 -6V0" stroke="{ink}" stroke-width="1.5"/>',
        "bar: typical entry; whisker: 10 to 90 % of them; dark: unbeaten",
    ),
    "dots": (
        '<path d="M0 -3H26M13 -9V3" stroke="{quiet}"/><circle cx="13" cy="-3" r="4" fill="{accent}"/>',
        "dot: what is compared; whiskers: 10 to 90 %",
    ),
}


def pictures() -> Mapping[str, Callable[[], str]]:
    """How every picture is drawn, by the name of its file without its ending."""
    return {
        "figure": figure_rows,
        "drawing": lambda: _drawing(glide_document(), "drawing"),
        "chances": lambda: _chart(check_document(), "chances"),
        "power": lambda: _chart(power_document(), "airspeed"),
        "launch": lambda: _chart(check_document(), "trace"),
        "launches": lambda: _chart(check_document(), "launches"),
        "balance": lambda: _chart(balance_document(), "record"),
        "polar": lambda: _chart(glide_document(), "polar"),
        "choose": lambda: _chart(choose_document(), "choices"),
        "fair": lambda: _chart(fair_document(), "heights", "entries"),
        "calibrate": lambda: _chart(calibrate_document(), "held-back-heights"),
    }


# ------------------------------------------------------------------ what is computed


@cache
def _demo() -> tuple[Model, ClassLimits | None]:
    model = read_model(Path(str(packaged("demo", DEMO))))
    return model, read_class(None, model.class_id, MEASURE_UNITS) if model.class_id else None


@cache
def checked() -> CheckResult:
    """The check of the demo."""
    model, rule = _demo()
    return check.run(check.CheckRequest(model=model, rule=rule))


@cache
def check_document() -> Document:
    """The report of the check."""
    return check_report.document(checked())


def power_document() -> Document:
    """The report of the power train."""
    model, rule = _demo()
    return power_report.document(power.run(power.PowerRequest(model=model, rule=rule)))


@cache
def glide_document() -> Document:
    """The report of the glide."""
    model, rule = _demo()
    return glide_report.document(glide.run(glide.GlideRequest(model=model, rule=rule)))


def balance_document() -> Document:
    """The report of the balance."""
    model, rule = _demo()
    return balance_report.document(balance.run(balance.BalanceRequest(model=model, rule=rule)))


def choose_document() -> Document:
    """The report of a choice by height, cost and launches, with any number of purchases."""
    model, rule = _demo()
    request = ChooseRequest(model=model, rule=rule, goals=("height", "cost", "launches"), simulated=40)
    return choose_report.document(choose.run(request))


def fair_document() -> Document:
    """The report on the rule options of the demo, few launches of each entry."""
    found = fair_input("hill-club-electric", (), (), None)
    request = FairRequest.under(
        found.options,
        models=found.models,
        rule=found.rule,
        draws=16,
    )
    return fair_report.document(fair.run(request))


def calibrate_document() -> Document:
    """The report of a calibration by the flights of the demo, entered into a copy of it."""
    with tempfile.TemporaryDirectory() as name:
        for part in (DEMO, FLIGHTS):
            shutil.copytree(Path(str(packaged("demo", part))), Path(name) / part)
        folder = Path(name) / DEMO
        for log in _EVENINGS:
            words = ["read", str(folder.parent / FLIGHTS / log), "--model", str(folder), "--accept-channels"]
            with contextlib.redirect_stdout(io.StringIO()):
                code = glidewright([*words, "--json"])
            if code not in (0, 1):
                raise ValueError(f"{log} must be read; it was refused; run: glidewright {' '.join(words)}")
        model, rule = _demo()
        with Logbook(logbook_url(folder, "")) as book:
            flights = book.flights(model.name)
    request = calibrate.CalibrateRequest(model=model, rule=rule, flights=flights, day="2025-05-03")
    return calibrate_report.document(calibrate.run(request).result)


# ------------------------------------------------------------------ what is drawn


def blocks(document: Document) -> Iterator[Block]:
    """Every block of a report, those in details too."""
    for section in document.sections:
        for block in section.blocks:
            yield from block.blocks if isinstance(block, Details) else (block,)


def _chart(document: Document, key: str, words: str = "") -> str:
    found = (one for one in blocks(document) if isinstance(one, LineChart | BarChart | ScatterChart))
    chart = next((one for one in found if one.key == key), None)
    if chart is None:
        raise ValueError(f"the report {document.title!r} has no chart {key!r}")
    return on_paper(chart_svg(chart, PRINT_COLOURS), words or _kind(chart))


def _kind(chart: Chart) -> str:
    """The key that a chart needs, as on a page: none where nothing has a spread."""
    if isinstance(chart, LineChart):
        return "band" if any(line.low for panel in chart.panels for line in panel.lines) else ""
    if isinstance(chart, ScatterChart):
        return "dots"
    return "bars" if any(bar.figure.low != bar.figure.high for bar in chart.bars) else ""


def _drawing(document: Document, key: str) -> str:
    found = (one for one in blocks(document) if isinstance(one, Drawing))
    return on_paper(drawing_svg(next(one for one in found if one.key == key).drawing))


def on_paper(svg: str, kind: str = "") -> str:
    """A picture of a page as a file of its own: on a light sheet, so that it reads on any ground.

    kind: whose key of ``_KEYS`` stands below; none when empty.
    """
    box = re.search(r'viewBox="([^"]+)"', svg)
    if box is None:
        raise ValueError("a picture must have a viewBox")
    left, top, width, height = map(float, box[1].split())
    head, _, inner = svg.partition(">")
    kept = re.sub(r'^<svg|(?:class|viewBox)="[^"]*"', "", head).strip()
    low = height + (_KEY_HEIGHT if kind else 0.0)
    full = (width + 2.0 * _PAD, low + 2.0 * _PAD)
    drawn = _LONG.sub(lambda found: f"{float(found[0]):.2f}", _own_font(_without_title(inner)))
    drawn = re.sub(r"var\(--(\w+)(?:, ?[^)]*)?\)", lambda found: _COLOURS[found[1]], drawn)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {kept} width="{_SHOWN_AT * full[0]:.0f}" '
        f'height="{_SHOWN_AT * full[1]:.0f}" '
        f'viewBox="{left - _PAD:g} {top - _PAD:g} {full[0]:.0f} {full[1]:.0f}" '
        f'color="{_INK}" font-family="{_FONT}">'
        f"{_title(inner)}{_sheet(left, top, *full)}"
        f"{drawn.removesuffix('</svg>')}"
        f"{_key(kind, left, top + low - 4.0)}</svg>\n"
    )


def _sheet(left: float, top: float, width: float, height: float) -> str:
    return (
        f'<rect x="{left - _PAD + 0.5:g}" y="{top - _PAD + 0.5:g}" width="{width - 1.0:.0f}" '
        f'height="{height - 1.0:.0f}" rx="4" fill="{_PAPER}" stroke="{_HAIR}" stroke-width="1"/>'
    )


def _title(inner: str) -> str:
    return "".join(re.findall(r"^<title>.*?</title><desc>.*?</desc>", inner, re.DOTALL))


def _without_title(inner: str) -> str:
    return re.sub(r"^<title>.*?</title><desc>.*?</desc>", "", inner, flags=re.DOTALL)


def _own_font(inner: str) -> str:
    return inner.replace(' font-family="sans-serif"', "")


def _key(kind: str, left: float, line: float) -> str:
    if not kind:
        return ""
    mark, words = _KEYS[kind]
    drawn = mark.format(accent=_ACCENT, ink=_INK, quiet=_QUIET)
    return (
        f'<g transform="translate({left + 4.0:g} {line:g})">{drawn}'
        f'<text x="34" y="1" font-size="11" fill="{_QUIET}" stroke="none">{words}</text></g>'
    )


# ------------------------------------------------------------------ a figure and its bar


def figure_rows() -> str:
    """Three figures of the check as a page shows them: value, range, unit, and the bar of the range."""
    found = checked()
    if found.mass is None or found.launch is None:
        raise ValueError("the demo must have a mass and a launch")
    rows = (
        ("Mass, ready to fly", found.mass.total),
        ("Least sink", next(one.figure for one in found.glide if one.name == "sink_least_m_s")),
        ("Launch height, as counted", found.launch.figures[0].figure),
    )
    width, step = 344.0, 44.0
    parts = [
        _figure_row(label, figure, 6.0 + step * place, width) for place, (label, figure) in enumerate(rows)
    ]
    height = step * len(rows) + 4.0
    title = "Three figures of the demo, each with its range and a bar of it"
    said = "; ".join(f"{label.lower()} {_words(figure)}" for label, figure in rows)
    head = f'<svg role="img" aria-label="{title}" viewBox="0 0 {width:g} {height:g}">'
    return on_paper(f"{head}<title>{title}</title><desc>{escape(said)}</desc>{''.join(parts)}</svg>")


def _words(figure: Figure) -> str:
    value, low, high = spread_digits(figure) or ("not known", "", "")
    return f"{value} ({low} to {high}) {unit_text(figure.shown)}"


def _figure_row(label: str, figure: Figure, top: float, width: float) -> str:
    value, low, high = spread_digits(figure) or ("not known", "", "")
    bar = spread_bar(figure)
    bar = bar.replace(
        '<svg class="bar"', f'<svg x="{width - 132.0:g}" y="{top + 17.0:g}" width="132" height="13.2"'
    )
    bar = re.sub(r' aria-hidden="true" focusable="false"', f' color="{_ACCENT}"', bar)
    return (
        f'<text x="4" y="{top + 8.0:g}" font-size="11" fill="{_QUIET}">{escape(label)}</text>'
        f'<text x="4" y="{top + 28.0:g}" font-size="16" font-weight="600" fill="{_INK}">{value}'
        f'<tspan dx="5" font-size="12.5" font-weight="400" fill="{_QUIET}">({low} to {high}) '
        f"{escape(unit_text(figure.shown))}</tspan></text>{bar}"
    )
