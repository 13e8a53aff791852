"""Pictures that are redrawn while something moves: held axes, lines that can be found, marks that follow."""

import re

import pytest

from glidewright.decisions.drawing_geometry import drawing_geometry
from glidewright.decisions.try_out import Trial, try_power
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.faces.report.charts import chart_svg, held_frame
from glidewright.faces.report.document import Axis, Line, LineChart, Panel
from glidewright.faces.report.drawing_drag import drag_drawing
from glidewright.faces.report.try_out import live_lines, power_chart

LINE = re.compile(r'class="mark-line role-mark panel0line0_marks"[^>]*><path [^>]*d="([^"]+)"')


def test_a_held_axis_says_where_a_line_lies() -> None:
    line = Line("", (0.0, 1.0, 2.0), (1.0, 2.0, 4.0), (0.0, 1.0, 3.0), (2.0, 3.0, 5.0))
    chart = LineChart(
        "k", "t", "s", Axis("x", "s", (0.0, 2.0)), (Panel(Axis("y", "m", (0.0, 5.0)), (line,)),), None
    )
    frame = held_frame(chart)
    drawn = LINE.search(chart_svg(chart))
    assert drawn is not None
    points = [tuple(map(float, pair.split(","))) for pair in drawn[1][1:].split("L")]
    for (x, y), (at, value) in zip(points, zip(line.x, line.value, strict=True), strict=True):
        assert x == pytest.approx(frame["width"] * at / 2.0, abs=0.01)
        assert y == pytest.approx(frame["height"] * (1.0 - value / 5.0), abs=0.01)


def test_every_panel_has_lines_of_its_own_name(demo: Model, hill_class: ClassLimits) -> None:
    trial = try_power(Trial(model=demo, rule=hill_class, draws=16))
    chart = power_chart(trial)
    drawn = chart_svg(chart, is_beside=True)
    for number in range(len(chart.panels)):
        assert drawn.count(f"panel{number}line0_marks") == 1
        assert drawn.count(f"panel{number}band0_marks") == 1
    panels = live_lines(trial.airspeeds_m_s, trial.over_airspeed, "m/s")
    frame = held_frame(chart, is_beside=True)
    for panel, (low, high) in zip(panels, frame["y"], strict=True):
        assert all(
            low <= value <= high for name in ("low", "high") for value in panel[name] if value is not None
        )


def test_a_chart_with_a_free_axis_has_no_frame() -> None:
    line = Line("", (0.0, 1.0), (1.0, 2.0))
    free = LineChart("k", "t", "s", Axis("x", "s"), (Panel(Axis("y", "m"), (line,)),), None)
    with pytest.raises(ValueError, match="must be held"):
        held_frame(free)


def test_a_chart_has_one_role_and_no_nameless_ones() -> None:
    line = Line("", (0.0, 1.0), (1.0, 2.0))
    drawn = chart_svg(LineChart("k", "t", "s", Axis("x", "s"), (Panel(Axis("y", "m"), (line,)),), None))
    assert re.findall(r'role="[^"]*"', drawn) == ['role="img"']
    assert "aria-roledescription" not in drawn


def test_the_drawing_to_drag_in_is_to_scale(demo: Model) -> None:
    geometry = drawing_geometry(demo)
    assert geometry is not None
    drawn = drag_drawing(geometry, (0.064, 0.079), 0.06, (-0.232, 0.85))
    left, scale = drawn.frame["left"], drawn.frame["scale"]
    pack = re.search(r'data-item="pack"[^>]*transform="translate\(([-\d.]+) ', drawn.svg)
    assert pack is not None
    assert float(pack[1]) == pytest.approx(left + scale * -0.165, abs=0.06)
    for name in ("centre-here", "centre-lane", "spread-here", "handle"):
        assert drawn.svg.count(f'class="{name}"') == 1
    assert drawn.frame["lane"]["scale"] > 3.0 * scale
    assert " style=" not in drawn.svg
