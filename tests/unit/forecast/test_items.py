"""Mass and balance draws: planned, weighed, and what is not known."""

import numpy as np
import pytest

from glidewright.base.figure import Given
from glidewright.domain.model import Item, Model
from glidewright.domain.weighing import Support, Weighing
from glidewright.forecast.items import ItemDraws, item_draws
from glidewright.forecast.predict import forecast
from glidewright.forecast.setup import prepare


def measured(value: float, half: float = 0.0005) -> Given:
    return Given(value=value, low=value - half, high=value + half, grade="measured")


def draws_of(model: Model) -> ItemDraws:
    setup = prepare(model, None, 512)
    return item_draws(model, setup.inputs, setup.scores)


def test_group_masses_add_up_to_the_whole(demo: Model) -> None:
    items = draws_of(demo)
    np.testing.assert_allclose(sum(items.group_mass_kg().values()), items.now.mass_kg, rtol=1e-12)


def test_weighing_the_whole_model_fixes_its_mass(demo: Model) -> None:
    weighed = demo.model_copy(update={"weighings": (Weighing(of=("all",), mass_kg=measured(0.612)),)})
    items = draws_of(weighed)
    low, mid, high = np.quantile(items.now.mass_kg, (0.1, 0.5, 0.9))
    assert (low, mid, high) == pytest.approx((0.6115, 0.612, 0.6125), abs=2e-5)
    assert np.ptp(np.quantile(items.planned.mass_kg, (0.1, 0.9))) > 0.01


def test_a_group_weighing_moves_most_what_was_least_sure(demo: Model) -> None:
    weighed = demo.model_copy(update={"weighings": (Weighing(of=("wing",), mass_kg=measured(0.290)),)})
    items = draws_of(weighed)
    planned = draws_of(demo.model_copy(update={"weighings": ()}))
    before = dict(zip(planned.names, np.median(planned.mass_kg, axis=0), strict=True))
    after = dict(zip(items.names, np.median(items.mass_kg, axis=0), strict=True))
    shift = {name: after[name] / before[name] - 1 for name in before}
    assert shift["panel-left"] > 5 * abs(shift["joiners"]) > 0
    assert shift["pod"] == pytest.approx(0.0, abs=1e-12)


def test_a_part_that_was_weighed_stays_when_the_whole_is_weighed(demo: Model) -> None:
    panel = Weighing(of=("panel-right",), mass_kg=measured(0.0712, 0.0002))
    tail = Weighing(of=("tail",), mass_kg=measured(0.036, 0.0002))
    whole = Weighing(of=("all",), mass_kg=measured(0.640))
    items = draws_of(demo.model_copy(update={"weighings": (panel, tail, whole)}))
    low, mid, high = np.quantile(items.mass_kg[:, items.names.index("panel-right")], (0.1, 0.5, 0.9))
    assert (low, mid, high) == pytest.approx((0.0710, 0.0712, 0.0714), abs=5e-5)
    assert np.median(items.group_mass_kg()["tail"]) == pytest.approx(0.036, abs=5e-5)
    assert np.median(items.now.mass_kg) == pytest.approx(0.640, abs=2e-5)


def test_a_balance_reading_moves_the_centre_to_it(demo: Model) -> None:
    reading = Weighing(of=("all",), mass_kg=measured(0.600), x_m=measured(0.070, 0.0015))
    items = draws_of(demo.model_copy(update={"weighings": (reading,)}))
    low, mid, high = np.quantile(items.now.centre_m[:, 0], (0.1, 0.5, 0.9))
    assert mid == pytest.approx(0.070, abs=1e-4)
    assert high - low == pytest.approx(0.003, rel=0.05)


def without(model: Model, name: str, **change: object) -> Model:
    items = tuple(
        Item(name=i.name, part=i.part.model_copy(update=change)) if i.name == name else i for i in model.items
    )
    return model.model_copy(update={"items": items})


def test_a_missing_mass_is_said_and_not_filled_in(demo: Model) -> None:
    found = forecast(prepare(without(demo, "boom", mass_kg=None), None, 32), with_trace=False)
    assert found.prediction.draws("mass_kg") is None
    assert found.prediction.draws("height_counted_m") is None
    assert found.prediction.why_unknown("cg_x_m") == "no mass is known of boom"
    assert any(v.title == "mass of boom" and v.stand_in is None for v in found.setup.missing)


def test_a_missing_station_leaves_the_mass_known(demo: Model) -> None:
    found = forecast(prepare(without(demo, "boom", x_m=None), None, 32), with_trace=False, with_many=False)
    assert found.prediction.draws("cg_x_m") is None
    assert found.prediction.why_unknown("cg_x_m") == "no station is known of boom"
    mass = found.prediction.draws("mass_kg")
    assert mass is not None
    assert float(np.median(mass)) == pytest.approx(0.595, abs=0.02)


def test_a_weighing_stands_in_for_a_mass_that_nobody_stated(demo: Model) -> None:
    model = without(demo, "boom", mass_kg=None)
    weighed = model.model_copy(update={"weighings": (Weighing(of=("boom",), mass_kg=measured(0.031)),)})
    items = draws_of(weighed)
    assert np.median(items.mass_kg[:, items.names.index("boom")]) == pytest.approx(0.031, abs=1e-5)


def test_two_scales_give_mass_and_balance(demo: Model) -> None:
    # Statics by hand: 480 g at 20 mm and 120 g at 300 mm are 600 g at (480 * 20 + 120 * 300) / 600 = 76 mm.
    supports = (
        Support(x_m=measured(0.020, 0.001), reading_kg=measured(0.480)),
        Support(x_m=measured(0.300, 0.001), reading_kg=measured(0.120)),
    )
    weighing = Weighing(of=("all",), support=supports)
    items = draws_of(demo.model_copy(update={"weighings": (weighing,)}))
    assert np.median(items.now.mass_kg) == pytest.approx(0.600, abs=1e-4)
    assert np.median(items.now.centre_m[:, 0]) == pytest.approx(0.076, abs=1e-4)
    # By hand: dx = (r1 dx1 + r2 dx2) / m and (x_i - x) dr_i / m, in quadrature.
    half = 0.5 * np.ptp(np.quantile(items.now.centre_m[:, 0], (0.1, 0.9)))
    reading = np.hypot((0.076 - 0.020) * 0.0005, (0.300 - 0.076) * 0.0005) / 0.6
    place = np.hypot(0.48, 0.12) / 0.6 * 0.001
    assert half == pytest.approx(np.hypot(reading, place), rel=0.06)


def test_three_scales_give_the_balance_across_too(demo: Model) -> None:
    # By hand: 300, 150 and 150 g at (0, 0), (200, 250) and (200, -250) mm are 600 g at (100, 0) mm.
    places = ((0.0, 0.0, 0.3), (0.2, 0.25, 0.15), (0.2, -0.25, 0.15))
    supports = tuple(
        Support(x_m=measured(x, 0.001), y_m=measured(y, 0.001), reading_kg=measured(r)) for x, y, r in places
    )
    weighing = Weighing(of=("all",), support=supports)
    items = draws_of(demo.model_copy(update={"weighings": (weighing,)}))
    assert np.median(items.now.centre_m, axis=0)[:2] == pytest.approx((0.100, 0.0), abs=2e-4)
