"""Power and launch while sliders move: the inputs of both, and what their panel shows."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from glidewright.domain.model import Model
from glidewright.faces.report.document import LineChart
from glidewright.faces.web.area import Subject, Values
from glidewright.faces.web.inputs import Choice, Input

_PARTS = ("motor", "pack", "propeller")
STANDARD_TEMPERATURE_C = 15.0


def part_inputs() -> tuple[Input, ...]:
    """Which parts of the drawer are tried."""
    return tuple(
        Input(
            word,
            word.capitalize(),
            "",
            kind="choice",
            choices=_choices(word),
            start=_fitted(word),
        )
        for word in _PARTS
    )


def air_inputs(*, with_wind: bool) -> tuple[Input, ...]:
    """The day."""
    found = (
        Input(
            "temperature_K",
            "Air temperature at the ground",
            "",
            "slider",
            "°C",
            low=-10,
            high=40,
            step=1,
            start=_temperature,
        ),
        Input(
            "elevation_m",
            "Elevation of the field",
            "",
            "slider",
            "m",
            low=0,
            high=3000,
            step=10,
            start=_elevation,
        ),
        Input(
            "charge_at_start",
            "Charge of the pack at the start",
            "",
            "slider",
            "%",
            low=30,
            high=100,
            step=1,
            start=_charge,
        ),
    )
    wind = Input("headwind_m_s", "Head wind", "", "slider", "m/s", low=0, high=12, step=0.5, start=_wind)
    return (*found, wind) if with_wind else found


def trial_of(subject: Subject, values: Values) -> Any:
    """The trial that inputs ask for; what is as in the folder is left out, so that its spread stays."""
    from glidewright.decisions.try_out import Trial  # noqa: PLC0415 - only the worker computes

    model = subject.model
    asked: dict[str, Any] = {}
    for word in _PARTS:
        part = values.get(word) or ""
        asked[word] = "" if part == _fitted(word)(model) else part
    begin = {
        "temperature_K": _temperature,
        "elevation_m": _elevation,
        "charge_at_start": _charge,
        "headwind_m_s": _wind,
    }
    shown = {one.name: one for one in air_inputs(with_wind=True)}
    for name, start in begin.items():
        value = values.get(name)
        if value is not None and not _is_same(value, start(model), shown[name].unit):
            asked[name] = value
    return Trial(model=model, rule=subject.rule, **asked)


def panel(subject: Subject, chart: LineChart, figures: Sequence[tuple[str, str, Any]]) -> dict[str, Any]:
    """What the panel shows: the chart at both widths with their frames, and figures under their names."""
    from glidewright.faces.report.charts import chart_svg, held_frame  # noqa: PLC0415 - only the worker draws

    return {
        "title": chart.title,
        "sentence": chart.sentence,
        "wide_svg": chart_svg(chart, is_beside=True),
        "narrow_svg": chart_svg(chart),
        "frames": {"wide": held_frame(chart, is_beside=True), "narrow": held_frame(chart)},
        "outcome": outcome(figures),
        "fitted": {word: _place(subject.model, word) for word in _PARTS},
    }


def outcome(figures: Sequence[tuple[str, str, Any]]) -> list[dict[str, str]]:
    """Figures as HTML: name, title and value with its bar."""
    from markupsafe import Markup  # noqa: PLC0415 - only the worker draws

    from glidewright.faces.report.html_words import figure_html  # noqa: PLC0415 - the same
    from glidewright.faces.report.spread_bar import spread_bar  # noqa: PLC0415 - the same

    return [
        {"name": name, "title": title, "html": Markup(figure_html(figure) + spread_bar(figure))}
        for name, title, figure in figures
    ]


def _is_same(value: float, begin: float, symbol: str) -> bool:
    from glidewright.base.units import unit  # noqa: PLC0415 - only the worker computes

    return abs(unit(symbol).from_si(value) - begin) < 1e-6


def _choices(word: str) -> Callable[[Model, Path | None], Sequence[Choice]]:
    def of(model: Model, folder: Path | None) -> Sequence[Choice]:
        del folder
        fitted = _fitted(word)(model)
        rest = sorted(
            (part for part in model.drawer if part.kind == word), key=lambda part: part.id != fitted
        )
        names = [part.name for part in rest]
        return [
            (part.id, _words(part.name, part.id, names.count(part.name) > 1, part.id == fitted))
            for part in rest
        ] or [("", "none in the drawer")]

    return of


def _words(name: str, part_id: str, is_shared: bool, is_fitted: bool) -> str:
    return f"{name}{f' [{part_id}]' if is_shared else ''}{', as fitted' if is_fitted else ''}"


def _fitted(word: str) -> Callable[[Model], str]:
    def of(model: Model) -> str:
        return next((item.part.id for item in model.items if item.part.kind == word), "")

    return of


def _place(model: Model, word: str) -> Mapping[str, str]:
    return next(
        ({"name": item.name, "part": item.part.id} for item in model.items if item.part.kind == word),
        {"name": "", "part": ""},
    )


def _temperature(model: Model) -> float:
    given = model.field.temperature_K
    return STANDARD_TEMPERATURE_C if given is None else round(given.value - 273.15, 6)


def _elevation(model: Model) -> float:
    return model.field.elevation_m.value


def _charge(model: Model) -> float:
    return round(100.0 * model.launch.charge_at_start.value, 6)


def _wind(model: Model) -> float:
    return model.field.headwind_m_s.value
