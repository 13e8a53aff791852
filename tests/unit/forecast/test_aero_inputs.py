"""The computed polar in a forecast: when it is used, what is drawn of it, and what follows from it."""

import numpy as np
import pytest

from glidewright.base.errors import InputError, OutsideModelError
from glidewright.base.figure import Given
from glidewright.decisions.mass_answer import balance_range
from glidewright.domain.model import Model
from glidewright.forecast import aero_inputs
from glidewright.forecast.aero_inputs import NO_SHAPE, Aero, aero_of, drag_is_computed, polar_remarks
from glidewright.forecast.aero_results import BALANCE_RESULTS, GLIDE_RESULTS, usual_margins
from glidewright.forecast.kernel_rows import air, polar_rows
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import Setup, prepare
from glidewright.models.aero.glide import glide_at
from glidewright.models.aero.polar import TABLE_SPEED_STEP, drag_coefficients, lift_ceilings
from glidewright.models.aero.trim import Factors, trimmed_polar
from glidewright.models.air.atmosphere import viscosity_Pa_s

POLAR_KEYS = {"drag_zero", "span_efficiency", "lift_least_drag", "lift_ceiling"}


def with_airframe(model: Model, **update: object) -> Model:
    return model.model_copy(update={"airframe": model.airframe.model_copy(update=update)})


@pytest.fixture(scope="module")
def setup(demo: Model) -> Setup:
    return prepare(demo, None, 256)


@pytest.fixture(scope="module")
def found(setup: Setup) -> Forecast:
    return forecast(setup, with_trace=False, with_many=False)


def median(found: Forecast, name: str) -> float:
    return float(np.median(found.prediction.values[name]))


def test_a_shape_makes_the_polar(demo: Model, setup: Setup) -> None:
    assert drag_is_computed(demo.airframe, demo.field)
    assert not {f"airframe.{key}" for key in POLAR_KEYS} & set(setup.inputs)
    assert np.all(polar_rows(setup)[:, TABLE_SPEED_STEP] > 0.0)
    assert polar_remarks(demo.airframe, demo.field) == ()


def test_without_a_shape_a_typical_parabola_stands_in(demo: Model) -> None:
    flat = prepare(with_airframe(demo, geometry=None), None, 16)
    assert {f"airframe.{key}" for key in POLAR_KEYS} <= set(flat.inputs)
    assert np.all(polar_rows(flat)[:, TABLE_SPEED_STEP] == 0.0)
    unknown = forecast(flat, with_trace=False, with_many=False).prediction.unknown
    assert {unknown[name] for name in BALANCE_RESULTS} == {NO_SHAPE}


def test_a_stated_drag_wins_and_is_said(demo: Model) -> None:
    stated = with_airframe(demo, drag_zero=Given(value=0.03, grade="measured"))
    own = prepare(stated, None, 16)
    rows = polar_rows(own)
    lift, speed = np.full((16, 1), 0.3), np.full((16, 1), 7.0)
    away = 0.3 - own["airframe.lift_least_drag"][:, None]
    drag = drag_coefficients(rows, lift, speed)
    rise = 1.0 / (
        np.pi * own["airframe.span"] ** 2 / own["airframe.wing_area"] * own["airframe.span_efficiency"]
    )
    assert drag == pytest.approx(own["airframe.drag_zero"][:, None] + rise[:, None] * away**2)
    # the ceiling is not stated and still follows from the shape
    assert np.all(lift_ceilings(rows, speed + 5.0) != lift_ceilings(rows, speed))
    (remark,) = polar_remarks(stated.airframe, stated.field)
    assert "drag_zero" in remark


def test_a_stated_ceiling_wins_and_drag_is_still_computed(demo: Model) -> None:
    own = prepare(with_airframe(demo, lift_ceiling=Given(value=1.3, low=1.3, high=1.3)), None, 4)
    assert lift_ceilings(polar_rows(own), np.array([[5.0, 9.0]] * 4)) == pytest.approx(1.3)
    assert "airframe.section_drag" in own.inputs


def test_an_airframe_that_cannot_be_worked_out_says_why_and_flies_on_a_typical_polar(
    demo: Model, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OutsideModelError.at("tail", "no lattice can be laid on it")

    shape = demo.airframe.geometry
    assert shape is not None
    odd = with_airframe(demo, geometry=shape.model_copy(update={"bays": ()}))
    monkeypatch.setattr(aero_inputs, "_glider", refuse)
    (remark,) = polar_remarks(odd.airframe, odd.field)
    assert "no lattice can be laid on it" in remark
    assert "airframe.drag_zero" in prepare(odd, None, 4).inputs


def test_a_section_that_nobody_knows_is_refused(demo: Model) -> None:
    shape = demo.airframe.geometry
    assert shape is not None
    panels = (shape.panels[0].model_copy(update={"section": "nosuch99"}), *shape.panels[1:])
    odd = with_airframe(demo, geometry=shape.model_copy(update={"panels": panels}))
    with pytest.raises(InputError, match=r"must be a known section or .*; 'nosuch99' came"):
        aero_of(odd.airframe, odd.field)


def test_it_is_worked_out_once(demo: Model) -> None:
    assert aero_of(demo.airframe, demo.field) is aero_of(demo.airframe.model_copy(), demo.field)


def test_the_row_at_the_centre_of_all_inputs_is_the_trimmed_polar(demo: Model, setup: Setup) -> None:
    """Both roads to one polar: tables between nodes against a trim at each speed."""
    aero = aero_of(demo.airframe, demo.field)
    assert isinstance(aero, Aero)
    nominal = setup.nominal()
    density, temperature = air(nominal)
    speeds = np.linspace(5.6, 13.0, 23)
    roughness = float(nominal["airframe.roughness"][0])
    whole = trimmed_polar(
        aero.glider,
        speeds,
        mass_kg=0.6,
        centre_m=aero.centre_m,
        density_kg_m3=float(density[0]),
        viscosity_Pa_s=float(viscosity_Pa_s(temperature[0])),
        factors=Factors(rough=roughness),
    )
    loading = 0.6 * 9.80665 / aero.glider.reference.area_m2 * np.ones(1)
    _, sink, _ = glide_at(polar_rows(nominal), whole.lift_coefficient[None], loading, density)
    assert sink[0] == pytest.approx(whole.sink_m_s, rel=0.015)
    assert lift_ceilings(polar_rows(nominal), speeds[None])[0] == pytest.approx(whole.lift_ceiling, rel=0.01)


def test_results_of_the_glide_agree_with_each_other(found: Forecast) -> None:
    assert set(GLIDE_RESULTS + BALANCE_RESULTS) <= set(found.prediction.values)
    values = found.prediction.values
    assert np.all(values["stall_speed_m_s"] < values["speed_sink_least_m_s"])
    assert np.all(values["speed_sink_least_m_s"] <= values["speed_glide_best_m_s"] + 1e-9)
    at_best = values["speed_glide_best_m_s"] / values["glide_ratio_best"]
    assert np.all(values["sink_least_m_s"] <= at_best)


def test_static_margin_is_what_lies_between_balance_and_neutral_point(demo: Model, found: Forecast) -> None:
    chord = demo.airframe.mean_chord_m
    assert chord is not None
    values = found.prediction.values
    between = values["neutral_point_x_m"] - values["cg_x_m"]
    assert values["static_margin"] == pytest.approx(between / chord.value, rel=2e-3)


def test_a_balance_further_aft_needs_less_up_elevator(found: Forecast) -> None:
    values = found.prediction.values
    by_balance = np.corrcoef(values["static_margin"], values["elevator_trim_rad"])[0, 1]
    assert by_balance < -0.5
    words, _ = found.causes.sentence(values["elevator_trim_rad"])
    assert "neutral point" in words


@pytest.mark.parametrize(
    ("name", "result", "sign"),
    [
        ("airframe.section_drag", "sink_least_m_s", 1.0),
        ("airframe.build_up", "sink_least_m_s", 1.0),
        ("airframe.induced_drag", "sink_least_m_s", 1.0),
        ("airframe.stall", "stall_speed_m_s", -1.0),
        ("airframe.roughness", "glide_ratio_best", -1.0),
    ],
)
def test_every_input_acts_in_its_own_direction(
    setup: Setup, found: Forecast, name: str, result: str, sign: float
) -> None:
    score, value = setup.scores[name], found.prediction.values[result]
    assert sign * np.corrcoef(score, value)[0, 1] > 0.05


def test_usual_margins_lie_ahead_of_the_neutral_point(demo: Model, found: Forecast) -> None:
    usual = usual_margins(demo.airframe, demo.field)
    assert usual is not None
    assert usual.rear_x_m - usual.front_x_m == pytest.approx(0.10 * 0.18416, rel=1e-3)
    assert usual.rear_x_m == pytest.approx(median(found, "neutral_point_x_m") - 0.05 * 0.18416, abs=1e-3)
    shapeless = with_airframe(demo, geometry=None)
    assert usual_margins(shapeless.airframe, shapeless.field) is None


def test_they_are_the_range_where_the_designer_gives_none(demo: Model, found: Forecast) -> None:
    front, rear, _, source = balance_range(found)
    assert (front.value, rear.value, source) == (0.064, 0.079, demo.airframe.balance_source)
    own = with_airframe(demo, balance_front_x_m=None, balance_rear_x_m=None)
    front, rear, chance, source = balance_range(forecast(prepare(own, None, 256), with_many=False))
    usual = usual_margins(own.airframe, own.field)
    assert usual is not None
    assert (front.value, rear.value) == (usual.front_x_m, usual.rear_x_m)
    assert front.grade == "typical"
    assert "usual static margins" in source
    assert chance is not None
    assert 0.0 < chance < 0.5  # the demo is nose-heavy
