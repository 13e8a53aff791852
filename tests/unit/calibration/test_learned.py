"""From a posterior to the correction that predictions take, to the folder and back."""

import numpy as np
import pytest

from glidewright.base.figure import Given
from glidewright.calibration.flights import learn
from glidewright.calibration.learned import (
    as_correction,
    as_learned,
    bench_sha256,
    correction_of,
    factor_of,
    part_ids,
)
from glidewright.calibration.posterior import Posterior
from glidewright.calibration.scores import Score
from glidewright.calibration.season import season_of
from glidewright.domain.bench import BenchReading
from glidewright.domain.correction import Correction
from glidewright.domain.learned import Learned
from glidewright.domain.logbook import Flight
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Motor, Propeller
from glidewright.forecast.predict import forecast
from glidewright.forecast.setup import prepare

FULL = BenchReading(
    voltage_V=Given(value=7.3, grade="measured"), current_A=Given(value=13.5, grade="measured")
)


@pytest.fixture(scope="module")
def posterior(demo: Model, three_flights: list[Flight]) -> Posterior:
    season = season_of(demo, None, three_flights)
    return learn(season, list(range(len(season.flown))), Posterior.none())


@pytest.fixture(scope="module")
def correction(demo: Model, posterior: Posterior) -> Correction:
    return as_correction(posterior, demo, ("three flights",))


def with_learned(model: Model, correction: Correction, flights: list[Flight]) -> Model:
    learned = as_learned(correction, model, flights, "2025-06-08")
    return model.model_copy(update={"learned": learned})


def test_a_correction_moves_and_narrows_every_prediction(demo: Model, correction: Correction) -> None:
    before, after = (
        forecast(prepare(demo, None, 256, own), with_trace=False, with_many=False).prediction
        for own in (None, correction)
    )
    for name in ("height_counted_m", "mean_climb_m_s", "launch_pack_current_A"):
        wide, narrow = (np.ptp(np.quantile(p.values[name], (0.1, 0.9))) for p in (before, after))
        assert narrow < 0.6 * wide, name


def test_the_correction_goes_through_the_folder_unchanged(
    demo: Model, correction: Correction, three_flights: list[Flight]
) -> None:
    found = correction_of(with_learned(demo, correction, three_flights))
    assert found.names == correction.names
    assert found.remarks == ()
    assert found.evidence == ("three flights",)
    np.testing.assert_allclose(found.mean, correction.mean)
    np.testing.assert_allclose(found.covariance, correction.covariance, atol=1e-12)
    learned = with_learned(demo, correction, three_flights).learned
    assert learned is not None
    factor = factor_of(learned)
    assert np.all(np.triu(factor, 1) == 0.0)
    assert (learned.flights, learned.launches) == (3, 4)


def test_the_habit_of_a_pilot_keeps_what_is_new_in_every_launch(correction: Correction) -> None:
    place = correction.names.index("launch.climb_speed")
    # half of its variance is new in every launch, whatever was learned
    assert correction.covariance[place, place] > 0.5


def test_the_day_of_a_flight_counts_on_that_day_only(demo: Model, posterior: Posterior) -> None:
    lasting = as_correction(posterior, demo)
    of_day = as_correction(posterior, demo, day="2025-05-10")
    assert "field.temperature" not in lasting.names
    place = of_day.names.index("field.temperature")
    assert of_day.covariance[place, place] < 0.99


def test_another_part_is_left_to_its_own_prior(
    demo: Model, correction: Correction, three_flights: list[Flight]
) -> None:
    learned = with_learned(demo, correction, three_flights)
    other = next(part for part in demo.drawer if isinstance(part, Propeller) and part.id == "f10x6")
    items = tuple(
        Item(name=item.name, part=other) if isinstance(item.part, Propeller) else item
        for item in learned.items
    )
    found = correction_of(learned.model_copy(update={"items": items}))
    assert not any(name.startswith("propeller.") for name in found.names)
    assert any(name.startswith("motor.") for name in found.names)
    assert found.remarks == ()


def test_a_prior_that_has_changed_is_said_and_not_used(
    demo: Model, correction: Correction, three_flights: list[Flight]
) -> None:
    learned = with_learned(demo, correction, three_flights)

    def measured(item: Item) -> Item:
        if not isinstance(item.part, Motor):
            return item
        resistance = Given(value=0.12, grade="measured")
        return Item(name=item.name, part=item.part.model_copy(update={"resistance_ohm": resistance}))

    found = correction_of(learned.model_copy(update={"items": tuple(map(measured, learned.items))}))
    assert "motor.resistance" not in found.names
    assert "pack.resistance" in found.names
    (remark,) = found.remarks
    assert "winding resistance" in remark
    assert "glidewright calibrate again" in remark


def test_bench_readings_that_came_later_are_said(
    demo: Model, correction: Correction, three_flights: list[Flight]
) -> None:
    learned = with_learned(demo, correction, three_flights)
    (remark,) = correction_of(learned.model_copy(update={"bench": (FULL,)})).remarks
    assert "bench readings have changed" in remark
    assert bench_sha256(demo) == ""
    again = demo.model_copy(update={"bench": (FULL,)})
    assert len(bench_sha256(again)) == 64
    assert correction_of(with_learned(again, correction, three_flights)).remarks == ()


@pytest.mark.parametrize(
    ("newer", "words"),
    [
        (("a.csv",), "the log a.csv in flights/ has not taught yet"),
        (("a.csv", "b.csv"), "2 logs in flights/"),
    ],
)
def test_logs_that_came_later_are_said(demo: Model, newer: tuple[str, ...], words: str) -> None:
    model = demo.model_copy(update={"learned": Learned(newer=newer)})
    (remark,) = correction_of(model).remarks
    assert words in remark


def test_without_anything_learned_the_bench_teaches_as_ever(demo: Model) -> None:
    assert correction_of(demo).names == ()
    alone = correction_of(demo.model_copy(update={"bench": (FULL,)}))
    assert "motor.resistance" in alone.names


def test_what_says_nothing_is_not_kept(demo: Model) -> None:
    scores = (Score("motor.kv", "m28-1020"), Score("airframe.stall"))
    posterior = Posterior(scores, np.array([0.5, 0.001]), np.diag([0.4, 0.999]))
    assert as_correction(posterior, demo).names == ("motor.kv",)
    assert part_ids(demo)["motor"] == "m28-1020"
