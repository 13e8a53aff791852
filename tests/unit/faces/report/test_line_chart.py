"""Lines in panels: what is shaded is named once, above the first panel, without one name over another."""

from glidewright.faces.report.charts import chart_svg, specification
from glidewright.faces.report.document import Axis, Line, LineChart, Panel, Span


def chart(*spans: Span) -> LineChart:
    panel = Panel(Axis("Height", "m"), (Line("", (0.0, 400.0), (0.0, 100.0)),), spans=spans)
    return LineChart("log", "Log", "What happened.", Axis("Time", "s"), (panel, panel), None)


def names(shown: LineChart) -> list[list[str]]:
    panels = specification(shown, is_wide=True)["vconcat"]
    return [
        [
            layer["data"]["values"][0]["name"]
            for layer in panel["layer"]
            if layer["mark"]["type"] == "text" and layer["mark"].get("baseline") == "bottom"
        ]
        for panel in panels
    ]


def shades(shown: LineChart) -> list[int]:
    panels = specification(shown, is_wide=True)["vconcat"]
    return [sum(layer["mark"]["type"] == "rect" for layer in panel["layer"]) for panel in panels]


def test_a_span_is_shaded_in_every_panel_and_named_over_the_first() -> None:
    shown = chart(Span(50.0, 80.0, "motor run"), Span(200.0, 240.0, "lift"))
    assert names(shown) == [["motor run", "lift"], []]
    assert shades(shown) == [2, 2]


def test_of_names_that_would_run_into_each_other_the_first_stays() -> None:
    # 840 units for 400 s, 6.8 a letter: ten letters reach 33 s
    crowd = [Span(50.0 + 8.0 * n, 55.0 + 8.0 * n, "motor run") for n in range(10)]
    shown = chart(*reversed(crowd))
    assert names(shown)[0] == ["motor run"] * 2
    assert shades(shown) == [10, 10]


def test_a_name_stands_above_the_picture() -> None:
    drawn = chart_svg(chart(Span(50.0, 80.0, "motor run")))
    assert drawn.count(">motor run<") == 1
