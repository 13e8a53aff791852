"""What should be changed first: computed on the same draws, and true when it is done."""

import re
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from glidewright.base.figure import Given
from glidewright.calibration.bench import learn_from_bench
from glidewright.decisions import changes as job
from glidewright.decisions.changed_model import with_added, with_part, without_taught
from glidewright.decisions.changes import JUDGE_DRAWS, Candidate, Merit, best_changes, score
from glidewright.decisions.judgement import judge
from glidewright.decisions.nouns import Change
from glidewright.domain.bench import BenchReading
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.correction import Correction
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Ballast, Motor, Pack, Propeller
from glidewright.domain.weighing import Weighing
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import prepare
from glidewright.rules.drive import DRIVE_TITLE

Vary = Callable[..., Model]
MIDDLE_M = 0.5 * (0.064 + 0.079)  # of the range that the demo's designer allows


def measured(value: float, half: float = 0.0) -> Given:
    band = {"low": value - half, "high": value + half} if half else {}
    return Given(value=value, grade="measured", **band)


def forecast_of(
    model: Model, rule: ClassLimits | None, draws: int = JUDGE_DRAWS, many: bool = True
) -> Forecast:
    setup = prepare(model, rule, draws, learn_from_bench(model))
    return forecast(setup, with_trace=False, with_many=many, with_causes=False)


def changes_of(model: Model, rule: ClassLimits | None) -> tuple[Change, ...]:
    correction = learn_from_bench(model)
    return best_changes(forecast_of(model, rule, many=False), rule, correction)


def chance_of(found: Forecast, name: str) -> float | None:
    return next(finding.chance for finding in judge(found) if finding.name == name)


def median(found: Forecast, name: str) -> float:
    draws = found.prediction.draws(name)
    assert draws is not None
    return float(np.median(draws))


def in_place(model: Model, kind: type[Any], part_id: str) -> Model:
    """The model with another part of the drawer where the fitted one sits, made by hand."""
    new = model.from_drawer(part_id)
    assert new is not None
    items = []
    for item in model.items:
        if isinstance(item.part, kind):
            place = {axis: getattr(item.part, axis) for axis in ("x_m", "y_m", "z_m")}
            items.append(Item(name=item.name, part=new.model_copy(update=place)))
        else:
            items.append(item)
    return model.model_copy(update={"items": tuple(items)})


@pytest.fixture(scope="module")
def told(demo: Model, hill_class: ClassLimits) -> tuple[Change, ...]:
    return changes_of(demo, hill_class)


@pytest.fixture(scope="module")
def judged(demo: Model, hill_class: ClassLimits) -> list[tuple[Merit, Candidate, Merit, Change]]:
    """What was told of the demo, with the numbers behind it."""
    seen = []
    real = job._told

    def spy(before: Merit, gain: float, candidate: Candidate, after: Merit) -> Change:
        change = real(before, gain, candidate, after)
        seen.append((before, candidate, after, change))
        return change

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(job, "_told", spy)
        changes_of(demo, hill_class)
    return seen


@pytest.fixture(scope="module")
def weighed(demo: Model) -> Model:
    whole = Weighing(of=("all",), mass_kg=measured(0.600, 0.0005), x_m=measured(0.0585, 0.001))
    return demo.model_copy(update={"weighings": (*demo.weighings, whole)})


@pytest.fixture(scope="module")
def correction(demo: Model) -> Correction:
    reading = BenchReading(voltage_V=measured(7.3), current_A=measured(13.5), revs_per_s=measured(98.0))
    return learn_from_bench(demo.model_copy(update={"bench": (reading,)}))


def test_at_most_three_changes_the_best_first_one_a_slot(told: tuple[Change, ...]) -> None:
    scores = [change.score for change in told]
    assert len(told) == 3
    assert scores == sorted(scores, reverse=True)
    assert scores[-1] > job.WORTH_TELLING
    assert len({change.title.split(" for ")[-1] for change in told}) == 3


def test_the_same_changes_are_told_twice(
    demo: Model, hill_class: ClassLimits, told: tuple[Change, ...]
) -> None:
    assert changes_of(demo, hill_class) == told


def test_a_part_that_must_be_bought_says_price_and_wait(told: tuple[Change, ...], demo: Model) -> None:
    bought = [change for change in told if change.kind == "part"]
    assert bought
    for change in bought:
        part = next(p for p in demo.drawer if p.name in change.title and not p.on_hand)
        assert part.price is not None
        assert change.cost is not None
        assert change.cost.value == part.price.value + (part.postage.value if part.postage else 0.0)
        assert part.lead_time_s is not None
        assert f"{part.lead_time_s.value / 86400:.0f} days" in change.ready


def test_the_recommended_ballast_brings_the_balance_where_it_says(
    demo: Model, hill_class: ClassLimits, told: tuple[Change, ...]
) -> None:
    # Done as a flyer does it: the whole grams and millimetres of the title, as a new item.
    title = next(change.title for change in told if change.kind == "ballast")
    found = re.search(r"(\d+) g .*x = (-?\d+) mm", title)
    assert found is not None
    grams, place_mm = (float(word) for word in found.groups())
    lead = Ballast(id="lead", mass_kg=measured(grams / 1e3), x_m=measured(place_mm / 1e3))
    done = demo.model_copy(update={"items": (*demo.items, Item(name="lead", part=lead))})
    before, after = forecast_of(demo, hill_class, many=False), forecast_of(done, hill_class, many=False)
    half_gram_moves = 0.0005 * (place_mm / 1e3 - MIDDLE_M) / median(after, "mass_kg")
    assert median(after, "cg_x_m") == pytest.approx(MIDDLE_M, abs=half_gram_moves + 0.0003)
    assert median(after, "mass_kg") - median(before, "mass_kg") == pytest.approx(grams / 1e3, abs=1e-4)


def test_the_chance_told_of_the_ballast_is_that_of_the_changed_model(
    demo: Model, hill_class: ClassLimits, judged: list[tuple[Merit, Candidate, Merit, Change]]
) -> None:
    before, candidate, after, _ = next(row for row in judged if row[1].kind == "ballast")
    for merit, model in ((before, demo), (after, candidate.model)):
        chance = chance_of(forecast_of(model, hill_class, many=False), "balance")
        assert merit.chances["part:balance"][1] == chance
    assert median(forecast_of(candidate.model, hill_class, many=False), "cg_x_m") == pytest.approx(
        MIDDLE_M, abs=0.0003
    )


@pytest.mark.parametrize(("kind", "slot"), [(Propeller, "propeller"), (Pack, "pack")])
def test_effects_of_a_swap_are_those_of_the_model_with_the_part_in_place(
    demo: Model,
    hill_class: ClassLimits,
    judged: list[tuple[Merit, Candidate, Merit, Change]],
    kind: type[Any],
    slot: str,
) -> None:
    _, candidate, after, change = next(row for row in judged if row[1].slot == slot)
    assert candidate.part is not None
    found = forecast_of(in_place(demo, kind, candidate.part.id), hill_class)
    for finding in judge(found):
        if finding.chance is not None:
            key = f"{finding.kind}:{finding.name}"
            assert after.chances[key] == (finding.title, finding.chance), key
    # both look for the best airspeed on their own; its launch height is flat to some centimetres there
    assert after.height_m == pytest.approx(median(found, "height_true_m"), abs=0.05)
    assert after.launches == median(found, "launches")
    assert after.mass_kg == median(found, "mass_kg")
    words = " ".join(change.effects)
    assert f"{after.height_m:.0f} m" in words
    assert f"{after.launches:.0f}" in words


def test_nothing_is_recommended_where_nothing_helps(demo: Model, hill_class: ClassLimits) -> None:
    base = forecast_of(demo.model_copy(update={"drawer": ()}), hill_class, many=False)
    balanced = next(c.model for c in job._balance(base) if c.kind == "ballast")
    assert changes_of(balanced, hill_class) == ()


def test_a_stated_limit_alone_is_no_gain(demo: Model, hill_class: ClassLimits) -> None:
    fitted = demo.first(Motor)
    assert fitted is not None
    drawn = demo.from_drawer(fitted.id)
    assert drawn is not None
    limits = {name: measured(500.0) for name in ("max_power_W", "max_voltage_V", "limit_temperature_K")}
    twin = drawn.model_copy(update={"id": "twin", "title": "the same with limits", **limits})
    model = demo.model_copy(update={"drawer": (twin,)})
    assert not any(change.kind == "part" for change in changes_of(model, hill_class))


class TestScore:
    base = Merit({"a": ("A", 0.4)}, 100.0, 4.0, 0.6)

    def test_no_change_scores_nothing(self) -> None:
        assert score(self.base, self.base) == 0.0

    def test_a_limit_newly_stated_and_kept_scores_nothing(self) -> None:
        after = Merit({"a": ("A", 0.4), "b": ("B", 1.0)}, 100.0, 4.0, 0.6)
        assert score(self.base, after) == 0.0

    def test_a_limit_newly_stated_and_broken_is_a_loss(self) -> None:
        after = Merit({"a": ("A", 0.4), "b": ("B", 0.1)}, 100.0, 4.0, 0.6)
        assert score(self.base, after) == pytest.approx(0.1 - 0.9)

    def test_a_broken_limit_that_is_no_longer_stated_is_no_gain(self) -> None:
        assert score(self.base, Merit({}, 100.0, 4.0, 0.6)) == 0.0

    @pytest.mark.parametrize(
        ("after", "gain"),
        [
            (Merit({"a": ("A", 0.9)}, 100.0, 4.0, 0.6), 0.5),
            (Merit({"a": ("A", 0.4)}, 110.0, 4.0, 0.6), 0.05),
            (Merit({"a": ("A", 0.4)}, 100.0, 5.0, 0.6), 0.125),
            (Merit({"a": ("A", 0.4)}, 100.0, 4.0, 0.66), -0.05),
            (Merit({"a": ("A", 0.4)}, float("nan"), float("nan"), float("nan")), 0.0),
        ],
    )
    def test_chances_count_whole_and_sizes_half(self, after: Merit, gain: float) -> None:
        assert score(self.base, after) == pytest.approx(gain)


def test_a_part_without_a_mass_is_not_recommended(vary: Vary, hill_class: ClassLimits) -> None:
    # a small propeller would cure the broken power limit, but nothing could be said of the launch
    model = vary((Motor, {"max_power_W": 50.0}))
    small = next(p for p in model.drawer if isinstance(p, Propeller) and p.id != "f11x6")
    update = {"id": "bare", "mass_kg": None, "diameter_m": measured(0.2), "pitch_m": measured(0.1)}
    model = model.model_copy(update={"drawer": (small.model_copy(update=update),)})
    assert [change.kind for change in changes_of(model, hill_class)] == ["ballast"]


def test_turning_the_propeller_at_last_counts(vary: Vary, hill_class: ClassLimits) -> None:
    stuck = vary((Motor, {"resistance_ohm": 1.0, "no_load_current_A": 20.0}))
    first = changes_of(stuck, hill_class)[0]
    assert first.kind == "part"
    assert any(DRIVE_TITLE.lower() in effect for effect in first.effects)


class TestAfterWeighing:
    """A scale that has read the whole model must not make a change invisible."""

    def test_ballast_adds_its_mass_and_moves_the_balance(
        self, weighed: Model, hill_class: ClassLimits
    ) -> None:
        # with the polar of its shape a move of the pack scores a hair above ballast; one of a slot is told
        flat = weighed.airframe.model_copy(update={"geometry": None})
        told = changes_of(weighed.model_copy(update={"airframe": flat}), hill_class)
        title = next(c.title for c in told if c.kind == "ballast")
        grams, place_mm = (float(w) for w in re.findall(r"(\d+) g .*x = (-?\d+) mm", title)[0])
        lead = Ballast(id="lead", mass_kg=measured(grams / 1e3), x_m=measured(place_mm / 1e3))
        found = forecast_of(with_added(weighed, "lead", lead), hill_class, many=False)
        assert median(found, "mass_kg") == pytest.approx(0.600 + grams / 1e3, abs=1e-4)
        expected = (0.600 * 0.0585 + grams * place_mm / 1e6) / (0.600 + grams / 1e3)
        assert median(found, "cg_x_m") == pytest.approx(expected, abs=2e-4)
        assert expected == pytest.approx(MIDDLE_M, abs=1e-3)

    def test_a_swapped_part_moves_mass_and_balance_by_its_difference(
        self, weighed: Model, hill_class: ClassLimits
    ) -> None:
        item, pack = next(weighed.of_kind(Pack))
        assert pack.mass_kg is not None
        assert pack.x_m is not None
        heavier = pack.model_copy(update={"id": "heavier", "mass_kg": measured(pack.mass_kg.value + 0.020)})
        found = forecast_of(with_part(weighed, item, heavier), hill_class, many=False)
        assert median(found, "mass_kg") == pytest.approx(0.620, abs=5e-4)
        expected = (0.600 * 0.0585 + 0.020 * pack.x_m.value) / 0.620
        assert median(found, "cg_x_m") == pytest.approx(expected, abs=5e-4)

    def test_a_moved_part_moves_the_balance_and_not_the_mass(
        self, weighed: Model, hill_class: ClassLimits
    ) -> None:
        item, pack = next(weighed.of_kind(Pack))
        assert pack.mass_kg is not None
        assert pack.x_m is not None
        aft = pack.model_copy(update={"x_m": measured(pack.x_m.value + 0.100)})
        found = forecast_of(with_part(weighed, item, aft), hill_class, many=False)
        assert median(found, "mass_kg") == pytest.approx(0.600, abs=1e-4)
        expected = 0.0585 + 0.100 * pack.mass_kg.value / 0.600
        assert median(found, "cg_x_m") == pytest.approx(expected, abs=2e-4)

    def test_the_band_of_the_mass_is_as_wide_as_what_is_not_sure_of_the_new_part(
        self, weighed: Model
    ) -> None:
        item, pack = next(weighed.of_kind(Pack))
        unsure = pack.model_copy(update={"id": "unsure", "mass_kg": Given(value=0.05, grade="guessed")})
        changed = with_part(weighed, item, unsure).weighings[-1].mass_kg
        assert changed.low is not None
        assert changed.high is not None
        # 50 g guessed: a factor of 1.3 to either side
        assert 0.0132 < 0.5 * (changed.high - changed.low) < 0.0150

    def test_what_was_weighed_alone_is_forgotten_with_the_part_and_kept_when_it_moves(
        self, demo: Model
    ) -> None:
        item, pack = next(demo.of_kind(Pack))
        alone = Weighing(of=(item.name,), mass_kg=measured(0.036))
        model = demo.model_copy(update={"weighings": (alone,)})
        other = pack.model_copy(update={"id": "other"})
        assert with_part(model, item, other).weighings == ()
        assert with_part(model, item, pack.model_copy(update={"x_m": measured(0.0)})).weighings == (alone,)

    def test_a_weighing_of_other_things_stays_as_it_is(self, demo: Model) -> None:
        item, pack = next(demo.of_kind(Pack))
        other = pack.model_copy(update={"id": "other", "mass_kg": measured(0.1)})
        assert with_part(demo, item, other).weighings == demo.weighings


def test_an_added_item_never_takes_the_name_of_another(demo: Model) -> None:
    lead = Ballast(id="lead", mass_kg=measured(0.01), x_m=measured(0.8))
    twice = with_added(with_added(demo, "ballast tail", lead), "ballast tail", lead)
    names = [item.name for item in twice.items]
    assert len(set(names)) == len(names)


class TestWhatTheBenchTaught:
    def test_a_new_motor_inherits_nothing(self, correction: Correction) -> None:
        rest = without_taught(correction, Motor)
        assert any(name.startswith("motor.") for name in correction.names)
        assert rest.names == tuple(n for n in correction.names if not n.startswith("motor."))
        for name in rest.names:
            old, new = correction.names.index(name), rest.names.index(name)
            assert rest.mean[new] == correction.mean[old]
            assert rest.covariance[new, new] == correction.covariance[old, old]

    def test_ballast_forgets_nothing(self, correction: Correction) -> None:
        assert without_taught(correction, Ballast) is correction

    def test_the_motor_of_a_candidate_is_computed_as_its_seller_states_it(
        self, demo: Model, hill_class: ClassLimits, correction: Correction
    ) -> None:
        other = in_place(demo, Motor, "m28-1350")
        motor = other.first(Motor)
        judge_once = job._Judge(hill_class, correction, 32)
        with_it, without_it = judge_once.merit(other, motor), judge_once.merit(other)
        assert with_it is not None
        assert without_it is not None
        setup = prepare(other, hill_class, 32, without_taught(correction, Motor))
        found = forecast(setup, with_trace=False, with_many=False, with_causes=False)
        assert with_it.height_m == median(found, "height_true_m")
        assert with_it.height_m != without_it.height_m
