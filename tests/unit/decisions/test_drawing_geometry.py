"""Outlines for the drawing: true to the stated measures, and nothing without a shape."""

from pathlib import Path

import pytest

from glidewright.base.figure import Figure
from glidewright.data import packaged
from glidewright.decisions.drawing_geometry import DrawingGeometry, Outline, drawing_geometry
from glidewright.domain.model import Model
from glidewright.store.reading import read_model


@pytest.fixture(scope="module")
def model() -> Model:
    return read_model(Path(str(packaged("demo", "hill-demo"))))


@pytest.fixture(scope="module")
def drawing(model: Model) -> DrawingGeometry:
    found = drawing_geometry(model)
    assert found is not None
    return found


def area_m2(outline: Outline) -> float:
    """Shoelace formula."""
    points = outline.points_m
    turned = zip(points, points[1:] + points[:1], strict=True)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in turned)) / 2


def test_the_drawn_wing_and_tail_have_the_stated_areas(drawing: DrawingGeometry, model: Model) -> None:
    wing = sum(area_m2(outline) for outline in drawing.top if outline.kind == "wing")
    assert wing == pytest.approx(model.airframe.wing_area_m2.value, rel=0.005)
    tail = sum(area_m2(outline) for outline in drawing.top if outline.kind == "tail")
    assert model.airframe.tail_area_m2 is not None
    assert tail == pytest.approx(model.airframe.tail_area_m2.value, rel=0.005)


def test_the_top_view_is_its_own_mirror_image(drawing: DrawingGeometry) -> None:
    points = {(round(x, 9), round(y, 9)) for one in drawing.top if one.kind != "bay" for x, y in one.points_m}
    assert points == {(x, -y if y else 0.0) for x, y in points}


def test_the_blade_ends_ahead_of_the_trailing_edge_as_stated(drawing: DrawingGeometry) -> None:
    right = next(one for one in drawing.top if one.kind == "spoiler" and one.points_m[0][1] > 0)
    assert min(y for _, y in right.points_m) == pytest.approx(0.08)
    assert max(y for _, y in right.points_m) == pytest.approx(0.38)
    # trailing edge at y = 80 mm by hand: 206 mm less 9 mm of 529.3 mm times 80 mm
    assert max(x for x, _ in right.points_m) == pytest.approx(0.206 - 0.009 * 80 / 529.274 - 0.07, abs=1e-5)


def test_every_item_with_a_station_is_in_it(drawing: DrawingGeometry, model: Model) -> None:
    assert [item.name for item in drawing.items] == [item.name for item in model.items]
    motor = next(item for item in drawing.items if item.name == "motor")
    assert (motor.x_m, motor.length_m, motor.group) == (-0.215, 0.03, "power")


def test_an_unknown_figure_is_not_drawn(model: Model) -> None:
    found = drawing_geometry(model, Figure.unknown("m", "mm", "no mass"), 0.0, None)
    assert found is not None
    assert found.centre is None


def test_a_model_without_a_shape_has_no_drawing(model: Model) -> None:
    bare = model.airframe.model_copy(update={"geometry": None})
    assert drawing_geometry(model.model_copy(update={"airframe": bare})) is None
