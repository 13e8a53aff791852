"""How the first launch is flown: whatever stops the motor first, and the airspeed that is held."""

import numpy as np
import pytest

from glidewright.base.figure import Given
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Altimeter
from glidewright.forecast import orders
from glidewright.forecast.kernel_rows import Orders
from glidewright.forecast.orders import launch_orders
from glidewright.forecast.power_inputs import PowerInputs
from glidewright.forecast.predict import forecast
from glidewright.forecast.setup import prepare

MASS_kg = np.array([0.6])


def quoted(value: float | None) -> Given | None:
    return None if value is None else Given(value=value)


def model_of(demo: Model, *, limiter: dict[str, float | None] | None = None, **plan: float | None) -> Model:
    """The demo with a launch plan, and with a limiter of these settings or none that stops the motor."""
    update: dict[str, object] = {"stops_motor": limiter is not None, "cut_height_m": None, "cut_time_s": None}
    update |= {name: quoted(value) for name, value in (limiter or {}).items()}
    items = tuple(
        Item(name=i.name, part=i.part.model_copy(update=update)) if isinstance(i.part, Altimeter) else i
        for i in demo.items
    )
    launch = demo.launch.model_copy(update={name: quoted(value) for name, value in plan.items()})
    return demo.model_copy(update={"items": items, "launch": launch})


def orders_of(model: Model, rule: ClassLimits | None, held: float | None = 8.0) -> Orders:
    setup = prepare(model, rule, 8)
    assert isinstance(setup.power, PowerInputs)
    return launch_orders(setup, setup.power, MASS_kg, held)


@pytest.mark.parametrize(
    ("pilot", "limiter", "with_class", "run"),
    [
        (None, None, False, orders.DEFAULT_RUN_S),
        (None, None, True, 30.0),
        (20.0, None, True, 20.0),
        (40.0, None, True, 30.0),
        (None, 25.0, True, 25.0),
        (20.0, 25.0, False, 20.0),
        (40.0, 35.0, False, 35.0),
    ],
)
def test_the_shortest_motor_run_holds(
    demo: Model,
    hill_class: ClassLimits,
    pilot: float | None,
    limiter: float | None,
    with_class: bool,
    run: float,
) -> None:
    model = model_of(demo, limiter=None if limiter is None else {"cut_time_s": limiter}, motor_run_s=pilot)
    assert orders_of(model, hill_class if with_class else None).motor_run_s == run


@pytest.mark.parametrize(
    ("pilot", "limiter", "with_class", "height"),
    [
        (None, None, False, None),
        (None, None, True, None),  # a class height stops nothing without a limiter
        (80.0, None, False, 80.0),
        (None, {}, True, 120.0),
        (None, {}, False, None),
        (None, {"cut_height_m": 60.0}, True, 60.0),
        (80.0, {"cut_height_m": 90.0}, True, 80.0),
        (95.0, {"cut_height_m": 90.0}, True, 90.0),
    ],
)
def test_the_lowest_height_holds_if_anything_can_stop_there(
    demo: Model,
    hill_class: ClassLimits,
    pilot: float | None,
    limiter: dict[str, float | None] | None,
    with_class: bool,
    height: float | None,
) -> None:
    model = model_of(demo, limiter=limiter, cut_height_m=pilot)
    assert orders_of(model, hill_class if with_class else None).cut_height_m == height


def test_the_window_is_that_of_the_class(demo: Model, hill_class: ClassLimits) -> None:
    rule = hill_class.model_copy(
        update={"height": hill_class.height.model_copy(update={"window_s": 3.0}), "motor_run_from": "release"}
    )
    assert orders_of(demo, rule).window_s == 3.0
    assert orders_of(demo, rule).run_from_release
    assert orders_of(demo, None).window_s == orders.DEFAULT_WINDOW_S
    assert not orders_of(demo, None).run_from_release


def test_a_stated_climb_speed_comes_first_then_the_one_asked_for(demo: Model) -> None:
    stated = model_of(demo, climb_speed_m_s=11.0)
    assert orders_of(stated, None, held=8.0).climb_speed_m_s == 11.0
    assert orders_of(demo, None, held=8.0).climb_speed_m_s == 8.0


def test_a_stated_glide_speed_is_held(demo: Model) -> None:
    assert orders_of(model_of(demo, glide_speed_m_s=9.5), None).glide_speed_m_s == 9.5


def test_no_other_airspeed_climbs_higher_than_the_best_one(demo: Model) -> None:
    # one draw at the centre of every input, free of cuts by height
    model = model_of(demo)
    setup = prepare(model, None, 8).nominal()

    def height(speed: float | None) -> float:
        found = forecast(setup, with_trace=False, with_many=False, with_causes=False, climb_speed_m_s=speed)
        draws = found.prediction.draws("height_true_m")
        assert draws is not None
        return float(draws[0])

    best = orders_of(model, None, held=None).climb_speed_m_s
    highest = height(None)
    assert 5.0 < best < 14.0
    for speed in np.linspace(0.7, 1.5, 9) * best:
        assert height(float(speed)) <= highest + 0.05, speed
