"""Mass, balance and what the scale moved; what is missing and which reading is worth most."""

import re

import numpy as np
import pytest

from glidewright.base.figure import Figure, Given
from glidewright.decisions.judgement import judge
from glidewright.decisions.mass_answer import mass_answer
from glidewright.decisions.missing_values import TOLD, measure_next, missing_values
from glidewright.decisions.nouns import MassAnswer
from glidewright.domain.model import Item, Model
from glidewright.domain.weighing import Weighing
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import prepare


def found(model: Model, draws: int = 512, *, many: bool = False) -> Forecast:
    return forecast(prepare(model, None, draws), with_trace=False, with_many=many)


def answer_of(model: Model) -> MassAnswer:
    answer = mass_answer(found(model))
    assert answer is not None
    return answer


def value(figure: Figure) -> float:
    assert figure.value is not None
    return figure.value


def width(figure: Figure) -> float:
    assert figure.low is not None
    assert figure.high is not None
    return figure.high - figure.low


@pytest.fixture(scope="module")
def unweighed(demo: Model) -> Model:
    return demo.model_copy(update={"weighings": ()})


@pytest.fixture(scope="module")
def planned(unweighed: Model) -> MassAnswer:
    return answer_of(unweighed)


def test_groups_hold_every_item_once(demo: Model, planned: MassAnswer) -> None:
    assert sum(group.items for group in planned.groups) == len(demo.items)
    medians = sum(value(group.figure) for group in planned.groups)
    assert medians == pytest.approx(value(planned.total), rel=0.005)


def test_nothing_weighed_leaves_the_plan(planned: MassAnswer) -> None:
    assert planned.total.value == planned.planned_total.value
    assert planned.planned_centre_x.value == planned.centre[0].figure.value
    assert "nothing has been weighed" in planned.moved[0]


def test_a_weighing_moves_the_mass_and_says_how_far(unweighed: Model, planned: MassAnswer) -> None:
    grams = 1e3 * value(planned.total) + 25.0
    reading = Weighing(of=("all",), mass_kg=Given(value=grams / 1e3, grade="measured"))
    answer = answer_of(unweighed.model_copy(update={"weighings": (reading,)}))
    assert value(answer.total) == pytest.approx(grams / 1e3, abs=2e-4)
    assert value(answer.planned_total) == value(planned.total)
    assert width(answer.total) < 0.2 * width(planned.total)
    told = re.search(r"by ([+-][\d.]+) g", answer.moved[0])
    assert told is not None
    assert float(told[1]) == pytest.approx(25.0, abs=0.3)


def test_a_balance_reading_moves_the_centre_and_says_which_way(unweighed: Model) -> None:
    def moved(x_m: float) -> str:
        reading = Weighing(
            of=("all",),
            mass_kg=Given(value=0.6, grade="measured"),
            x_m=Given(value=x_m, grade="measured"),
        )
        return answer_of(unweighed.model_copy(update={"weighings": (reading,)})).moved[1]

    assert " aft" in moved(0.075)
    assert " forward" in moved(0.045)


def test_the_chance_inside_is_counted(unweighed: Model, planned: MassAnswer) -> None:
    centre = found(unweighed).prediction.draws("cg_x_m")
    assert centre is not None
    assert planned.chance_inside == np.mean((centre >= 0.064) & (centre <= 0.079))
    finding = next(f for f in judge(found(unweighed)) if f.name == "balance")
    assert finding.chance == planned.chance_inside


def test_the_place_on_the_chord_is_that_of_the_centre(planned: MassAnswer) -> None:
    # the demo states a mean chord of 184 mm that begins 5 mm behind the datum
    expected = (value(planned.centre[0].figure) - 0.005) / 0.184
    assert value(planned.position_on_chord) == pytest.approx(expected, rel=1e-9)


def test_inertia_is_that_of_a_long_winged_thing(planned: MassAnswer) -> None:
    roll, pitch, yaw = (value(named.figure) for named in planned.inertia)
    assert yaw > roll > 0.02
    assert yaw > pitch > 0.02
    assert yaw <= roll + pitch  # triangle inequality of every body


def test_an_item_without_a_place_leaves_the_mass_and_hides_the_balance(demo: Model) -> None:
    items = tuple(
        Item(name=i.name, part=i.part.model_copy(update={"x_m": None})) if i.name == "boom" else i
        for i in demo.items
    )
    answer = answer_of(demo.model_copy(update={"items": items}))
    assert answer.total.value is not None
    assert answer.chance_inside is None
    for figure in (answer.centre[0].figure, answer.planned_centre_x, answer.position_on_chord):
        assert figure.value is None
        assert "boom" in figure.because


def test_a_mass_that_nobody_knows_is_missing_without_a_stand_in(demo: Model) -> None:
    items = tuple(
        Item(name=i.name, part=i.part.model_copy(update={"mass_kg": None})) if i.name == "boom" else i
        for i in demo.items
    )
    model = demo.model_copy(update={"items": items})
    assert mass_answer(found(model)) is None
    (missing,) = (m for m in missing_values(found(model).setup.missing) if m.stand_in is None)
    assert (missing.part, missing.key) == ("boom", "mass_g")
    assert "boom" in missing.narrows


def test_readings_are_told_by_what_they_explain(demo: Model) -> None:
    told = measure_next(found(demo, many=True))
    shares = [int(re.findall(r"(\d+) %", words)[-1]) for words in told]
    assert 1 <= len(told) <= TOLD
    assert shares == sorted(shares, reverse=True)
    assert sum(shares) <= 100


def test_the_reading_of_the_unsurest_value_comes_first(demo: Model) -> None:
    guess = Given(value=0.061, low=0.02, high=0.15, grade="guessed")
    items = tuple(
        Item(name=i.name, part=i.part.model_copy(update={"mass_kg": guess})) if i.name == "pod" else i
        for i in demo.items
    )
    model = demo.model_copy(update={"items": items, "weighings": ()})
    assert "weigh pod" in measure_next(found(model), ("mass_kg",))[0]
