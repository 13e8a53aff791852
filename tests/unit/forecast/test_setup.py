"""Every number that the kernels get is traced to its input, and what nobody stated is named."""

import numpy as np
import pytest

from glidewright.base.errors import OutsideModelError
from glidewright.base.figure import Given
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.correction import Correction
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Altimeter, Controller, Motor, Pack, Part, Propeller, Receiver, Servo
from glidewright.forecast.power_inputs import PowerInputs
from glidewright.forecast.setup import Setup, limiter_of, prepare
from glidewright.forecast.spread import Z90


def changed(model: Model, kind: type[Part], **update: object) -> Model:
    items = tuple(
        Item(name=i.name, part=i.part.model_copy(update=update)) if isinstance(i.part, kind) else i
        for i in model.items
    )
    return model.model_copy(update={"items": items})


def without(model: Model, *kinds: type[Part]) -> Model:
    items = tuple(item for item in model.items if not isinstance(item.part, kinds))
    return model.model_copy(update={"items": items})


@pytest.fixture(scope="module")
def setup(demo: Model, hill_class: ClassLimits) -> Setup:
    return prepare(demo, hill_class, 2048)


def test_draws_of_every_input_have_its_band(setup: Setup) -> None:
    for name, entry in setup.inputs.items():
        low, value, high = np.quantile(setup[name], (0.1, 0.5, 0.9))
        wide = 0.04 * (entry.high - entry.low) + 1e-12
        assert (low, value, high) == pytest.approx((entry.low, entry.value, entry.high), abs=wide), name


def test_inputs_are_independent(setup: Setup) -> None:
    scores = np.stack([setup.scores[name] for name, e in setup.inputs.items() if not e.is_exact])
    off = np.corrcoef(scores) - np.eye(len(scores))
    # 2048 independent normal pairs correlate by 1/sqrt(2048) = 0.022 at one sigma
    assert np.abs(off).max() < 5 * 0.0221


def test_the_nominal_case_is_the_centre_of_every_input(setup: Setup) -> None:
    nominal = setup.nominal()
    for name, entry in setup.inputs.items():
        assert nominal[name] == pytest.approx([entry.value], rel=1e-12), name


def test_every_missing_value_names_a_reading(setup: Setup) -> None:
    assert len(setup.missing) == 4
    assert all(value.stand_in is not None and value.narrows for value in setup.missing)


def test_without_a_shape_the_polar_is_missing_too(demo: Model, setup: Setup) -> None:
    shapeless = demo.model_copy(update={"airframe": demo.airframe.model_copy(update={"geometry": None})})
    missing = prepare(shapeless, None, 8).missing
    more = {value.key for value in missing} - {value.key for value in setup.missing}
    assert more == {"drag_zero", "span_efficiency", "lift_least_drag", "lift_ceiling"}
    assert all(value.stand_in is not None and value.narrows for value in missing)


def test_an_air_temperature_that_nobody_stated_is_a_guess_and_missing(demo: Model, setup: Setup) -> None:
    untold = demo.model_copy(update={"field": demo.field.model_copy(update={"temperature_K": None})})
    guessed = prepare(untold, None, 8)
    entry = guessed.inputs["field.temperature"]
    # 12.2 degrees at 430 m by ISO 2533: 15 - 6.5 a kilometre; 8 K either way by the grade table
    elevation_m = demo.field.elevation_m.value
    assert entry.value == pytest.approx(288.15 - 0.0065 * elevation_m)
    assert (entry.value - entry.low, entry.high - entry.value) == (pytest.approx(8.0), pytest.approx(8.0))
    more = {value.key for value in guessed.missing} - {value.key for value in setup.missing}
    assert more == {"temperature_C"}


def test_a_stated_value_is_missing_no_more(demo: Model, setup: Setup) -> None:
    stated = prepare(changed(demo, Motor, resistance_ohm=Given(value=0.12)), None, 8)
    keys = {value.key for value in setup.missing} - {value.key for value in stated.missing}
    assert "resistance_mohm" in {value.key for value in setup.missing if value.part == "m28-1020"}
    assert stated.inputs["motor.resistance"].value == 0.12
    assert keys == set()  # controller and pack miss theirs still
    assert len(stated.missing) == len(setup.missing) - 1


@pytest.mark.parametrize("kind", [Motor, Controller, Pack, Propeller])
def test_an_incomplete_power_train_says_what_is_not_fitted(demo: Model, kind: type[Part]) -> None:
    power = prepare(without(demo, kind), None, 4).power
    assert isinstance(power, str)
    assert f"no {kind.kind}" in power


@pytest.mark.parametrize(
    ("kind", "field", "key"),
    [(Motor, "kv_rad_per_Vs", "kv_rpm_per_V"), (Motor, "mass_kg", "mass_g"), (Pack, "mass_kg", "mass_g")],
)
def test_what_no_model_can_do_without_is_asked_for(
    demo: Model, kind: type[Part], field: str, key: str
) -> None:
    with pytest.raises(OutsideModelError, match=f"must state {key}"):
        prepare(changed(demo, kind, **{field: None}), None, 4)


def test_a_model_without_radio_takes_no_current(demo: Model) -> None:
    setup = prepare(without(demo, Servo, Receiver, Altimeter), None, 16)
    assert setup["radio.current"] == pytest.approx(np.zeros(16))


def test_the_current_of_the_radio_has_the_band_of_its_grades(demo: Model) -> None:
    # 45 mA of a receiver: measured 10 % and quoted 30 % either way, by the grade table (servo_current)
    alone = without(demo, Servo, Altimeter)
    for grade, share in (("measured", 0.10), ("quoted", 0.30)):
        stated = changed(alone, Receiver, current_A=Given(value=0.045, grade=grade))
        radio = prepare(stated, None, 4).inputs["radio.current"]
        assert radio.value == pytest.approx(0.045)
        assert (radio.low, radio.high) == (
            pytest.approx(0.045 / (1 + share)),
            pytest.approx(0.045 * (1 + share)),
        )
        assert radio.grade == grade


def test_only_an_altimeter_that_stops_the_motor_is_a_limiter(demo: Model) -> None:
    assert limiter_of(demo) is not None
    assert limiter_of(changed(demo, Altimeter, stops_motor=False)) is None
    assert limiter_of(without(demo, Altimeter)) is None


def test_a_correction_moves_its_inputs_and_no_others(demo: Model, hill_class: ClassLimits) -> None:
    names = ("motor.resistance", "pack.resistance")
    covariance = np.array([[0.09, -0.03], [-0.03, 0.25]])
    taught = Correction(names, np.array([1.0, -0.5]), covariance)
    before, after = prepare(demo, hill_class, 2048), prepare(demo, hill_class, 2048, taught)
    moved = np.stack([after.scores[name] for name in names])
    assert moved.mean(axis=1) == pytest.approx(taught.mean, abs=0.02)
    assert np.cov(moved) == pytest.approx(covariance, abs=0.02)
    for name in before.inputs:
        assert np.array_equal(before[name], after[name]) == (name not in names), name
    entry = after.inputs["motor.resistance"]
    assert after.nominal()["motor.resistance"] == pytest.approx(entry.draws(np.array([1.0])))


def test_an_unused_correction_changes_nothing(demo: Model) -> None:
    taught = Correction(("motor.kv",), np.array([1.0]), np.eye(1))
    glider = without(demo, Motor)
    assert "motor.kv" not in prepare(glider, None, 8, taught).scores


def test_more_draws_than_there_are_is_refused(demo: Model) -> None:
    with pytest.raises(ValueError, match="4096"):
        prepare(demo, None, 8192)


def test_the_limits_of_the_band_lie_at_z90(setup: Setup) -> None:
    assert isinstance(setup.power, PowerInputs)
    for entry in setup.power.entries:
        ends = entry.draws(np.array([-Z90, Z90]))
        assert ends == pytest.approx([entry.low, entry.high], rel=2e-3, abs=1e-12), entry.name
