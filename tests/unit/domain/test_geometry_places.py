"""Where surfaces and body lie: chains of panels, edges, cross-sections."""

import math
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.base.figure import Given
from glidewright.data import packaged
from glidewright.domain.geometry import Geometry, Panel
from glidewright.domain.geometry_places import (
    body_rings,
    edges_m,
    fin_piece,
    ring_at,
    tail_pieces,
    wing_pieces,
)
from glidewright.models.aero.planform import airframe_measures, measures_of, mirrored_planform
from glidewright.store.reading import read_model


def number(value: float) -> Given:
    return Given(value=value)


def panel(length: float, tip: float, angle: float, **more: object) -> Panel:
    given = {name: number(value) if isinstance(value, float) else value for name, value in more.items()}
    return Panel(
        length_m=number(length), tip_chord_m=number(tip), dihedral_rad=number(math.radians(angle)), **given
    )


@pytest.fixture(scope="module")
def demo() -> Geometry:
    geometry = read_model(Path(str(packaged("demo", "hill-demo")))).airframe.geometry
    assert geometry is not None
    return geometry


def test_a_panel_begins_where_the_one_before_ends(demo: Geometry) -> None:
    inner, tip = wing_pieces(demo)
    assert inner.outer == tip.inner
    assert [inner.inner.section, inner.outer.section, tip.outer.section] == ["AG35", "AG36", "AG37"]
    assert math.degrees(tip.outer.incidence_rad) == pytest.approx(2 - 1)
    assert tip.outer.z_m == pytest.approx(
        0.01 + 0.53 * math.sin(math.radians(3)) + 0.479 * math.sin(math.radians(12))
    )


def test_a_stated_inner_chord_makes_a_step() -> None:
    wing = Geometry(panels=(panel(0.5, 0.2, 0, root_chord_m=0.2), panel(0.5, 0.1, 0, root_chord_m=0.15)))
    first, second = wing_pieces(wing)
    assert (first.outer.chord_m, second.inner.chord_m) == (0.2, 0.15)
    assert second.inner.x_m == first.outer.x_m


@given(
    lengths=st.lists(st.floats(0.05, 1.5), min_size=1, max_size=5),
    angle=st.floats(-30, 60),
    chord=st.floats(0.05, 0.5),
)
def test_cutting_a_panel_in_two_changes_no_measure(lengths: list[float], angle: float, chord: float) -> None:
    tip = 0.6 * chord
    whole = Geometry(panels=(panel(sum(lengths), tip, angle, root_chord_m=chord, sweep_m=0.05),))
    cuts = []
    for length in lengths:
        last = cuts[-1].tip_chord_m.value if cuts else chord
        share = length / sum(lengths)
        cuts.append(
            panel(length, last + share * (tip - chord), angle, root_chord_m=last, sweep_m=0.05 * share)
        )
    one, many = airframe_measures(whole), airframe_measures(Geometry(panels=tuple(cuts)))
    assert one == pytest.approx(many, rel=1e-9, abs=1e-12)


@given(factor=st.floats(0.2, 5.0))
def test_measures_grow_with_the_model(factor: float) -> None:
    def made(size: float) -> Geometry:
        return Geometry(panels=(panel(size, 0.1 * size, 5, root_chord_m=0.2 * size, sweep_m=0.03 * size),))

    small, large = (mirrored_planform(wing_pieces(made(size))) for size in (1.0, factor))
    assert large.area_m2 == pytest.approx(small.area_m2 * factor**2)
    assert large.mean_chord_m == pytest.approx(small.mean_chord_m * factor)
    assert (large.aspect_ratio, large.dihedral_rad) == pytest.approx((small.aspect_ratio, small.dihedral_rad))


def test_the_edges_at_a_place_along_the_span(demo: Geometry) -> None:
    wing = wing_pieces(demo)
    assert edges_m(wing, 0.0) == pytest.approx((0.0, 0.206))
    assert edges_m(wing, wing[-1].outer.y_m) == pytest.approx((0.018, 0.018 + 0.124))
    assert edges_m(wing, 1.2) is None


def test_the_body_is_closed_smooth_and_of_full_size_between_its_stations(demo: Geometry) -> None:
    assert demo.body is not None
    rings = body_rings(demo.body)
    assert [ring.x_m for ring in rings] == sorted(ring.x_m for ring in rings)
    assert (rings[0].x_m, rings[-1].x_m) == (-0.232, 0.85)
    full = ring_at(demo.body, -0.05)
    assert full is not None
    assert (full.width_m, full.height_m) == pytest.approx((0.045, 0.06))
    steps = [abs(b.width_m - a.width_m) for a, b in pairwise(rings)]
    assert max(steps) < 0.008
    assert ring_at(demo.body, -0.3) is None
    assert ring_at(demo.body, 0.9) is None


def test_tail_and_fin_stand_where_they_are_stated(demo: Geometry) -> None:
    assert demo.tail is not None
    (half,) = tail_pieces(demo.tail)
    assert (half.inner.x_m, half.outer.y_m, half.outer.x_m) == pytest.approx((0.74, 0.215, 0.76))
    upper, lower = (fin_piece(fin) for fin in demo.fins)
    assert upper.outer.z_m == pytest.approx(-0.005 + 0.21)
    assert lower.outer.z_m == pytest.approx(-0.015 - 0.038)
    assert lower.movable == 0.5


def test_a_v_tail_works_as_tail_and_fin(demo: Geometry) -> None:
    assert demo.tail is not None
    angle = math.radians(35)
    tail = demo.tail.model_copy(update={"v_tail": True, "dihedral_rad": number(angle)})
    found = measures_of(demo.model_copy(update={"tail": tail, "fins": ()}))
    true = demo.tail.span_m.value * 0.0955 / math.cos(angle)
    assert found.tail_area_m2 == pytest.approx(true * math.cos(angle) ** 2)
    assert found.fin_area_m2 == pytest.approx(true * math.sin(angle) ** 2)
    assert found.fin_arm_m == pytest.approx(found.tail_arm_m)


def test_a_wing_alone_has_no_tail_measures() -> None:
    found = measures_of(Geometry(panels=(panel(1.0, 0.1, 0, root_chord_m=0.2),)))
    assert (found.tail, found.horizontal_volume, found.vertical_volume, found.quick_neutral_x_m) == (
        None,
    ) * 4
