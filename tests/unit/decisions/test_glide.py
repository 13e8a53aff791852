"""``glide`` as a decision: consistent figures, other models, and what it says when something is missing."""

from pathlib import Path

import numpy as np
import pytest

from glidewright.base.errors import OutsideModelError
from glidewright.base.figure import Given
from glidewright.data import packaged
from glidewright.decisions import glide
from glidewright.decisions.gliding.flight import flight_of
from glidewright.decisions.gliding.nouns import GlideResult
from glidewright.domain.model import Model
from glidewright.forecast.aero_inputs import Aero, aero_of
from glidewright.forecast.aero_sources import aero_sources
from glidewright.forecast.elevator import elevator_rad, real_elevator_rad
from glidewright.forecast.predict import forecast
from glidewright.forecast.setup import prepare
from glidewright.store.reading import read_model

DRAWS = 128


@pytest.fixture(scope="module")
def model() -> Model:
    return read_model(Path(str(packaged("demo", "hill-demo"))))


@pytest.fixture(scope="module")
def result(model: Model) -> GlideResult:
    return glide.run(glide.GlideRequest(model=model, draws=DRAWS))


@pytest.fixture(scope="module")
def bare(model: Model) -> GlideResult:
    airframe = model.airframe.model_copy(update={"geometry": None})
    without = model.model_copy(update={"airframe": airframe})
    return glide.run(glide.GlideRequest(model=without, draws=DRAWS))


def figure(result: GlideResult, name: str) -> float:
    value = next(named.figure.value for named in result.figures if named.name == name)
    assert value is not None
    return value


def test_the_polar_touches_the_figures_that_are_told(result: GlideResult) -> None:
    series = {one.name: one for one in result.polar.over_airspeed}
    assert min(series["sink_m_s"].value) == pytest.approx(figure(result, "sink_least_m_s"), rel=0.02)
    assert max(series["glide_ratio"].value) == pytest.approx(figure(result, "glide_ratio_best"), rel=0.02)
    for one in series.values():
        assert all(
            low <= value <= high for low, value, high in zip(one.low, one.value, one.high, strict=True)
        )
        assert len(one.value) == len(result.polar.airspeeds_m_s)


def test_sink_times_ratio_is_airspeed(result: GlideResult) -> None:
    sink, ratio, _ = result.polar.over_airspeed
    product = np.array(sink.value) * np.array(ratio.value)
    assert product == pytest.approx(np.array(result.polar.airspeeds_m_s), rel=0.01)


def test_the_elevator_is_that_of_the_forecast(model: Model) -> None:
    found = forecast(prepare(model, None, DRAWS), with_trace=False, with_many=False)
    values = found.prediction.values
    aero = aero_of(model.airframe, model.field)
    assert isinstance(aero, Aero)
    speed = values["speed_sink_least_m_s"]
    flown = found.setup, aero, values["mass_kg"], values["cg_x_m"], speed[:, None]
    turned = real_elevator_rad(*flown)[:, 0]
    assert turned == pytest.approx(values["elevator_trim_rad"], abs=1e-12)
    # a real flap does less than a thin one, so it turns further
    assert elevator_rad(*flown)[:, 0] == pytest.approx(turned * found.setup["control.flap_effect"])


def test_the_elevator_goes_down_with_speed_and_its_edge_with_it(result: GlideResult) -> None:
    elevator, edge = result.polar.elevator, result.polar.elevator_edge
    assert elevator is not None
    assert edge is not None
    assert np.all(np.diff(elevator.value) > 0.0)
    assert np.sign(edge.value).tolist() == np.sign(elevator.value).tolist()


def test_parts_of_the_drag_make_up_the_polar(model: Model, result: GlideResult) -> None:
    assert result.drag is not None
    total = np.sum([row.coefficients for row in result.drag.rows], axis=0)
    found = forecast(prepare(model, None, DRAWS), with_trace=False, with_many=False)
    lift = flight_of(found).lift_at(np.array(result.drag.airspeeds_m_s))
    ratio = {one.name: one for one in result.polar.over_airspeed}["glide_ratio"].value
    from_polar = np.median(lift, axis=0) / np.interp(
        result.drag.airspeeds_m_s, result.polar.airspeeds_m_s, ratio
    )
    # every input at its middle here, the middle of all draws there: skewed inputs move the latter
    assert total == pytest.approx(from_polar, rel=0.05)
    assert all(share > 0.0 for row in result.drag.rows for share in row.coefficients)


def test_sources_name_what_entered(model: Model, result: GlideResult, bare: GlideResult) -> None:
    for words in ("A. Plotkin", "section AG35", "UIUC", "Hoerner", "our judgement"):
        assert any(words in source for source in result.sources), words
    assert len(set(result.sources)) == len(result.sources)
    assert [source for source in bare.sources if source.startswith("polar of a typical model")]
    assert not any("section AG35" in source for source in bare.sources)
    names = ("drag_zero", "span_efficiency", "lift_least_drag", "lift_ceiling")
    stated = dict.fromkeys(names, Given(value=0.3))
    airframe = model.airframe.model_copy(update={"geometry": None, **stated})
    assert aero_sources(airframe, model.field) == ()


def test_wind_asks_for_speed_ballast_for_more(result: GlideResult) -> None:
    flown = [row.airspeed.value or 0.0 for row in result.winds]
    assert flown == sorted(flown)
    assert flown[0] == pytest.approx(figure(result, "speed_glide_best_m_s"), rel=0.03)
    sinks = [row.sink_least.value or 0.0 for row in result.ballast]
    assert sinks == sorted(sinks)
    assert sinks[0] == pytest.approx(figure(result, "sink_least_m_s"))
    light, _, heavy = result.ballast
    # at one lift coefficient speed goes with the root of the mass
    root = ((heavy.mass.value or 0.0) / (light.mass.value or 1.0)) ** 0.5
    assert (heavy.stall_speed.value or 0.0) / (light.stall_speed.value or 1.0) == pytest.approx(
        root, rel=0.02
    )


def test_the_best_bank_is_the_best_of_the_table(result: GlideResult) -> None:
    best = max(row.climb.value or 0.0 for row in result.banks)
    climb = result.thermal.climb.value
    assert climb is not None
    assert climb == pytest.approx(best, rel=0.02)
    assert result.thermal.time_per_100_m.value == pytest.approx(100.0 / climb, rel=0.01)
    assert result.banks[0].radius.value is None


def test_what_the_numbers_rest_on_is_said(result: GlideResult) -> None:
    said = " ".join(result.rests_on)
    assert "Reynolds" in said
    assert "AG35" in said
    assert "no tunnel" in said  # tail and fin of the demo are small
    assert "vortex lattice" in result.source


def test_without_a_shape_the_polar_stands_alone(bare: GlideResult) -> None:
    assert bare.handling is None
    assert bare.polar.elevator is None
    assert bare.drag is None
    assert bare.drawing is None
    assert bare.findings == ()
    assert "[[panel]]" in bare.why_no_handling
    assert "typical" in bare.source
    assert figure(bare, "sink_least_m_s") > 0.1
    assert len(bare.winds) == 3


def test_a_model_without_a_mass_is_refused_with_what_it_lacks(model: Model) -> None:
    empty = model.model_copy(update={"items": (), "weighings": ()})
    with pytest.raises(OutsideModelError, match="must state what a glide needs; nothing is fitted"):
        glide.run(glide.GlideRequest(model=empty, draws=DRAWS))


def test_a_stated_thermal_is_circled_in(model: Model, result: GlideResult) -> None:
    wide = glide.run(
        glide.GlideRequest(model=model, draws=DRAWS, thermal_radius_m=60.0, thermal_strength_m_s=1.0)
    ).thermal
    assert (wide.core_radius_m, wide.strength_m_s) == (60.0, 1.0)
    assert "asked for" in wide.because
    narrow = result.thermal
    assert (wide.bank.value or 0.0) < (narrow.bank.value or 0.0)
    assert (wide.radius.value or 0.0) > (narrow.radius.value or 0.0)
    # by hand: the parabola at the circle's radius less the sink is the climb
    for thermal in (wide, narrow):
        radius, sink, climb = (one.value or 0.0 for one in (thermal.radius, thermal.sink, thermal.climb))
        up = thermal.strength_m_s * (1.0 - (radius / thermal.core_radius_m) ** 2)
        assert up - sink == pytest.approx(climb, abs=0.02)
        assert thermal.time_per_100_m.value == pytest.approx(100.0 / climb, rel=0.02)
