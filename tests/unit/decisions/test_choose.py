"""The choice of parts on the demo: stages, answers, partial answers, and why there is none."""

import math
from collections.abc import Callable
from datetime import date
from typing import Any

import numpy as np
import pytest

from glidewright.base.errors import InputError
from glidewright.base.figure import Given
from glidewright.calibration.learned import correction_of
from glidewright.decisions import choose
from glidewright.decisions.choosing import ask as asking
from glidewright.decisions.choosing.builds import fitted_build, model_of
from glidewright.decisions.choosing.chance import PASSED
from glidewright.decisions.choosing.goals import GOALS, goals_of, needs_of
from glidewright.decisions.choosing.nouns import ChooseRequest, ChooseResult
from glidewright.decisions.choosing.settle import by_regret, given_away
from glidewright.decisions.choosing.sieve import Phase
from glidewright.decisions.choosing.simulate import OF_AIRFRAME
from glidewright.decisions.judgement import judge
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.domain.parts import Motor, Pack, Part
from glidewright.forecast.predict import forecast
from glidewright.forecast.setup import prepare
from glidewright.models.mass.balance import balance
from glidewright.rules.measures import MEASURES

DRAWS = 32


@pytest.fixture(scope="module")
def ask(demo: Model, hill_class: ClassLimits) -> Callable[..., ChooseRequest]:
    """A question on the demo: its drawer, one purchase at most unless told."""

    def build(**changes: Any) -> ChooseRequest:
        return ChooseRequest(**{"model": demo, "rule": hill_class, "buy": 1, "draws": DRAWS} | changes)

    return build


@pytest.fixture(scope="module")
def result(ask: Callable[..., ChooseRequest]) -> ChooseResult:
    return choose.run(ask())


def priced(part: Part, **changes: float | bool | str) -> Part:
    update = {
        name: Given(value=value, grade="quoted") if isinstance(value, float) else value
        for name, value in changes.items()
    }
    return part.model_copy(update=update)


def named(model: Model, part_id: str) -> Part:
    found = model.from_drawer(part_id)
    assert found is not None
    return found


# ------------------------------------------------------------------ the whole answer


def test_every_number_is_in_order(result: ChooseResult, faults_in: Callable[[Any], list[str]]) -> None:
    assert faults_in(result) == []
    assert result.choices
    assert not result.is_partial


def test_every_choice_keeps_every_limit_by_the_whole_forecast(
    demo: Model, hill_class: ClassLimits, result: ChooseResult
) -> None:
    """The model of each build once more, as ``check`` would have it, at the best climb airspeed there."""
    for choice in result.choices:
        model = model_of(demo, choice.build)
        found = forecast(prepare(model, hill_class, 256), with_trace=False)
        worst = {
            one.name: one.chance
            for one in judge(found)
            if one.chance is not None and one.name not in OF_AIRFRAME and one.name != "balance"
        }
        assert min(worst.values()) > 0.8, (choice.build, worst)  # other draws, other airspeed
        height = choice.value("height").value
        assert height == pytest.approx(float(np.median(found.prediction.values["height_true_m"])), rel=0.08)


def test_counts_of_sets_add_up(result: ChooseResult) -> None:
    assert result.sets == sum(one.sets for one in result.broken) + result.kept_sets
    for role in ("motor", "controller", "pack", "propeller", "servos"):
        records = [one for one in result.records if one.role == role]
        assert sum(one.sets for one in records) == result.sets
        assert sum(one.kept for one in records) == result.kept_sets
        for one in records:
            assert one.sets == one.kept + sum(limit.sets for limit in one.broke)
    assert result.combinations > result.sets


def test_a_part_that_the_class_forbids_is_counted_under_that_limit(result: ChooseResult) -> None:
    pack = next(one for one in result.records if one.part == "p2-800")
    assert pack.kept == 0
    assert pack.broke[0].limit in ("Capacity", "Propeller folds")
    assert {limit.limit for limit in pack.broke} <= {"Capacity", "Propeller folds"}


def test_what_is_bought_is_no_more_than_allowed_and_costs_what_the_drawer_says(
    demo: Model, result: ChooseResult
) -> None:
    for choice in result.choices:
        assert len(choice.purchases) <= 1
        total = 0.0
        for one in choice.purchases:
            part = named(demo, one.part)
            assert not part.on_hand
            assert part.price is not None
            total += one.pieces * part.price.value + (part.postage.value if part.postage else 0.0)
        assert choice.value("cost").value == pytest.approx(total)
        assert choice.value("purchases").value == len(choice.purchases)


def test_the_recommended_build_gives_away_least(result: ChooseResult) -> None:
    rows = []
    for choice in result.choices:
        values = [choice.value(name).value for name in result.goals]
        rows.append(
            [float(GOALS[n].compared(np.array([v]))[0]) for n, v in zip(result.goals, values, strict=True)]
        )
    shares = given_away(np.array(rows)).max(axis=1)
    assert shares[0] == shares.min()
    assert "gives away least" in result.why or len(result.choices) == 1


def test_the_rule_of_the_recommendation_by_hand() -> None:
    # of the way from best to worst: (0, 1), (0.25, 0.25), (1, 0)
    values = np.array([[0.0, 8.0], [1.0, 2.0], [4.0, 0.0]])
    assert given_away(values).tolist() == [[0.0, 1.0], [0.25, 0.25], [1.0, 0.0]]
    assert by_regret(values).tolist() == [1, 0, 2]
    unknown = np.array([[0.0, math.inf], [1.0, math.inf]])
    assert given_away(unknown).tolist() == [[0.0, 1.0], [1.0, 1.0]]


def test_with_one_goal_the_best_stands_alone(ask: Callable[..., ChooseRequest]) -> None:
    lightest = choose.run(ask(goals=("mass",)))
    assert len(lightest.choices) == 1
    others = choose.run(ask(goals=("height", "mass")))
    masses = [choice.value("mass").value or math.inf for choice in others.choices]
    assert lightest.choices[0].value("mass").value == pytest.approx(min(masses), abs=0.0005)


def test_a_lower_chance_lets_more_in(ask: Callable[..., ChooseRequest], result: ChooseResult) -> None:
    bold = choose.run(ask(chance=0.5))
    best = max(choice.value("height").value or 0.0 for choice in result.choices)
    assert max(choice.value("height").value or 0.0 for choice in bold.choices) > best
    least = min(choice.least_chance or 0.0 for choice in bold.choices)
    assert 0.5 <= least < 0.9


def test_a_need_narrows_the_set(ask: Callable[..., ChooseRequest], result: ChooseResult) -> None:
    values = sorted(choice.value("height").value or 0.0 for choice in result.choices)
    bound = math.floor(values[-1])
    found = choose.run(ask(needs=(f"height>={bound}",)))
    assert all((choice.value("height").value or 0.0) >= bound for choice in found.choices)
    assert found.needs == (f"height >= {bound} m",)


def test_a_single_part_that_pays_is_told_with_its_gain(
    demo: Model, ask: Callable[..., ChooseRequest]
) -> None:
    """Nothing on hand is legal; one light propeller makes it so."""
    with pytest.raises(
        InputError, match="or buy Folding 9x5 on a 42 mm yoke, 38 mm spinner: with it there is one"
    ):
        choose.run(ask(buy=0))
    found = choose.run(
        ask(catalogue=(priced(named(demo, "p2-600"), id="big", capacity_As=2160.0, mass_kg=0.036),))
    )
    assert any("big" in one.parts for one in found.one_more)
    assert all(len(one.parts) <= 2 for one in found.one_more)
    assert any("->" in gain for gain in found.one_more[0].gains)
    assert all("big" not in choice.build.pack for choice in found.choices)


# ------------------------------------------------------------------ stages


def test_parts_on_hand_come_first_and_every_step_has_an_answer(ask: Callable[..., ChooseRequest]) -> None:
    stages, answers = [], []
    for step in choose.steps(ask()):
        stages.append(step.stage)
        answers.append(step.answer())
    kinds = list(dict.fromkeys(stages))
    assert kinds[0] == f"screening {Phase.ON_HAND.value}"
    assert kinds.index(f"screening {Phase.SINGLE.value}") > 0
    assert kinds[-1] == "done"
    assert all(answer is None or answer.is_partial for answer in answers[:-1])
    assert any(answer is not None for answer in answers[:-1])
    assert answers[-1] is not None
    assert not answers[-1].is_partial


def test_a_stop_gives_what_was_found_marked_as_partial(ask: Callable[..., ChooseRequest]) -> None:
    def stop(progress: choose.Progress) -> None:
        if progress.answer() is not None:
            raise KeyboardInterrupt

    found = choose.run(ask(), progress=stop)
    assert found.is_partial
    assert found.stopped_in == f"flying the best of the {Phase.SINGLE.value}"
    assert found.choices

    def stop_at_once(_: choose.Progress) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        choose.run(ask(), progress=stop_at_once)


def test_the_batch_of_first_launches_refuses_what_the_forecast_refuses(
    ask: Callable[..., ChooseRequest], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every build that the batch refuses, flown whole, breaks that same limit there."""
    search = choose._Search(ask(buy=2))
    for _ in search.steps(None):
        pass
    settler, kept = search.settler, search.kept
    refused = {flat: test for flat, test in settler.looked_at.items() if test != PASSED}
    assert len(refused) > 20
    place = {int(flat): row for row, flat in enumerate(kept.flat)}
    some = [flat for flat in sorted(refused) if flat in place][::4]
    settler.fly(kept, [place[flat] for flat in some], None)
    tests = search.sieve.flown
    for flat in some:
        broke = {one.name for one in settler.flown[flat].broke}
        assert tests[refused[flat]].name in broke, (flat, broke)
    # and without the batch the answer is the same
    whole = search.question
    monkeypatch.setattr(asking, "is_additive", lambda *_: False)
    slow = choose.run(ask(buy=2))
    assert whole.request == ask(buy=2)
    quick = choose.run(ask(buy=2))
    assert [one.build for one in slow.choices] == [one.build for one in quick.choices]


def test_the_screen_holds_the_numbers_of_the_forecast_at_the_middle(
    demo: Model, hill_class: ClassLimits, ask: Callable[..., ChooseRequest]
) -> None:
    """Also with weighings that cover what is exchanged, and with ballast."""
    weighed = demo.weighings[0].model_copy(
        update={"of": ("all",), "mass_kg": Given(value=0.601, grade="measured")}
    )
    model = demo.model_copy(update={"weighings": (*demo.weighings, weighed)})
    search = choose._Search(ask(model=model, buy=2))
    for _ in search.steps(None):
        pass
    assert search.settler._frame is None  # draws do not add up there
    kept, places = search.kept, search.sieve.frame.places
    rng = np.random.default_rng(5)
    from glidewright.decisions.choosing.settle import build_of  # noqa: PLC0415 - only here

    for row in rng.choice(kept.flat.size, 6, replace=False):
        build = build_of(search.sieve.axes, places, kept, int(row))
        setup = prepare(model_of(model, build), hill_class, 1, correction_of(model)).nominal()
        values = forecast(
            setup,
            with_trace=False,
            with_glide=False,
            climb_speed_m_s=float(kept.values["climb_speed_m_s"][row]),
            like=search.sieve.frame.orders,
        ).prediction.values
        assert values["mass_kg"][0] == pytest.approx(kept.values["mass_kg"][row], abs=1e-12)
        assert values["height_true_m"][0] == pytest.approx(kept.values["height_m"][row], abs=1e-9)
        assert values["launches"][0] == kept.values["launches"][row]
        low, high = places.aim_m or (0.0, 0.0)
        assert low - 1e-9 <= values["cg_x_m"][0] <= high + 1e-9


def test_ballast_by_statics() -> None:
    # 0.6 kg at 0.059 m needs w at 0.85 m to balance at 0.068275 m: 0.6 (0.068275 - 0.059) / (0.85 - 0.068275)
    by_hand = 0.6 * 0.009275 / 0.781725
    mass = np.array([[0.6, by_hand]])
    place = np.array([[0.059, 0.0, 0.0], [0.85, 0.0, 0.0]])
    assert balance(mass, place, np.zeros((2, 3))).centre_m[0, 0] == pytest.approx(0.068275, abs=1e-12)
    assert by_hand == pytest.approx(0.007119, abs=1e-6)


def test_every_measure_is_judged_somewhere() -> None:
    """A new measure is one of the label, the launch or the airframe, or it is judged by chance alone."""
    from glidewright.decisions.choosing.flight import FLOWN  # noqa: PLC0415 - only here
    from glidewright.decisions.choosing.labels import LABELS  # noqa: PLC0415 - only here

    known = set(FLOWN) | set(LABELS) | OF_AIRFRAME | {"drive"}
    assert set(MEASURES) - known == set()


# ------------------------------------------------------------------ what cannot be answered


def refused(request: ChooseRequest) -> str:
    with pytest.raises(InputError) as caught:
        choose.run(request)
    assert len(caught.value.problems) == 1
    return str(caught.value)


def test_an_empty_drawer(demo: Model, ask: Callable[..., ChooseRequest]) -> None:
    said = refused(ask(model=demo.model_copy(update={"drawer": ()})))
    assert (
        "must hold motors, controllers, packs, propellers or servos to choose from; the drawer has none"
        in said
    )


def test_no_legal_build_names_what_removes_most_and_the_nearest_miss(
    hill_class: ClassLimits, ask: Callable[..., ChooseRequest]
) -> None:
    light = tuple(
        limit.model_copy(update={"at_most": 0.48}) if limit.measure == "mass" else limit
        for limit in hill_class.limits
        if limit.measure != "climb_rate"
    )
    said = refused(ask(rule=hill_class.model_copy(update={"limits": light})))
    assert "must find a combination that keeps every limit; none of 360 does: most, 124, break " in said
    assert "break capacity (at most 600 mAh); the nearest miss, m22-1450 + " in said  # the lightest motor
    assert "breaks mass by 19 %" in said


def test_needs_that_contradict_each_other(ask: Callable[..., ChooseRequest]) -> None:
    said = refused(ask(buy=None, needs=("mass<=500",)))
    assert "must find a combination with mass <= 500 g; the best of" in said
    both = refused(ask(buy=None, needs=("height>=120", "mass<=570")))
    assert "they contradict each other: of" in both
    assert "height >= 120 m by 97 and mass <= 570 g by" in both
    assert "and by none together" in both


def test_a_day_in_the_past_and_one_too_soon(ask: Callable[..., ChooseRequest]) -> None:
    today = date(2026, 5, 10)
    said = refused(ask(today=today, by=date(2026, 5, 9)))
    assert "must be today or later; 2026-05-09 came and today is 2026-05-10" in said
    found = choose.run(ask(today=today, by=date(2026, 5, 16)))
    assert all((choice.value("days").high or 0.0) <= 6 * 86400.0 for choice in found.choices)
    soon = refused(ask(today=today, by=date(2026, 5, 11), buy=None, chance=0.9))
    assert "must find a combination" in soon


def test_names_that_stand_twice(demo: Model, ask: Callable[..., ChooseRequest]) -> None:
    said = refused(ask(parts=(named(demo, "p2-600"),)))
    assert "must have each name once; 'p2-600' names 2 parts; rename one of them" in said


def test_goals_and_needs_that_cannot_be_read() -> None:
    for names, words in ((("fast",), "'fast' came; known: cost"), (("mass", "mass"), "'mass' came 2 times")):
        with pytest.raises(InputError, match=words):
            goals_of(names)
    for texts, words in (
        (("height",), "a goal, >= or <=, and a number; 'height' came"),
        (("speed>=3",), "must bound one of the goals; 'speed' came"),
        (("mass>=600", "mass<=500"), "mass >= 600 g and mass <= 500 g exclude each other"),
    ):
        with pytest.raises(InputError, match=words):
            needs_of(texts)


def test_a_model_without_a_drive_or_a_mass(demo: Model, ask: Callable[..., ChooseRequest]) -> None:
    bare = demo.model_copy(update={"items": tuple(i for i in demo.items if not isinstance(i.part, Motor))})
    assert "must have motor, controller, pack and propeller fitted" in refused(ask(model=bare))
    items = tuple(
        i.model_copy(update={"part": i.part.model_copy(update={"mass_kg": None})}) if i.name == "pod" else i
        for i in demo.items
    )
    assert "none is known of pod" in refused(ask(model=demo.model_copy(update={"items": items})))


def test_parts_that_nothing_covers_are_left_out_and_said(
    demo: Model, ask: Callable[..., ChooseRequest]
) -> None:
    odd = (
        priced(named(demo, "m28-880"), id="no-kv", kv_rad_per_Vs=False).model_copy(
            update={"kv_rad_per_Vs": None}
        ),
        named(demo, "c20").model_copy(update={"id": "no-mass", "mass_kg": None}),
    )
    found = choose.run(ask(parts=odd))
    assert {one.part for one in found.left_out} == {"no-kv", "no-mass"}
    assert any("kv_rpm_per_V" in one.because for one in found.left_out)


def test_a_part_without_a_price_cannot_be_compared_by_cost(
    demo: Model, ask: Callable[..., ChooseRequest]
) -> None:
    free = tuple(
        part.model_copy(update={"price": None}) if part.id == "f9x5" else part for part in demo.drawer
    )
    model = demo.model_copy(update={"drawer": free})
    by_cost = choose.run(ask(model=model))
    assert all(choice.build.propeller != "f9x5" for choice in by_cost.choices)
    assert any(one.limit == "Price stated" for one in by_cost.broken)
    by_height = choose.run(ask(model=model, goals=("height", "launches")))
    bought = [choice for choice in by_height.choices if choice.build.propeller == "f9x5"]
    assert bought
    assert bought[0].value("cost").value is None


def test_without_a_range_of_the_balance_nothing_is_moved(
    demo: Model, ask: Callable[..., ChooseRequest]
) -> None:
    airframe = demo.airframe.model_copy(
        update={"balance_front_x_m": None, "balance_rear_x_m": None, "geometry": None}
    )
    found = choose.run(ask(model=demo.model_copy(update={"airframe": airframe})))
    assert all(choice.build.pack_x_m is None for choice in found.choices)
    assert any("no range of the centre of gravity is known" in one for one in found.remarks)


def test_the_fitted_model_is_told_for_comparison(demo: Model, result: ChooseResult) -> None:
    assert result.now is not None
    assert result.now.build == fitted_build(demo)
    assert any("Pack current" in one for one in result.now_breaks)
    assert result.now.value("cost").value == 0.0


def test_a_pack_too_big_for_its_bay_is_refused(demo: Model, ask: Callable[..., ChooseRequest]) -> None:
    big = named(demo, "p2-600").model_copy(
        update={"id": "long", "length_m": Given(value=0.13, grade="measured"), "on_hand": True}
    )
    found = choose.run(ask(parts=(big,)))
    record = next(one for one in found.records if one.part == "long")
    assert record.kept == 0
    assert record.broke[0].limit == "Pack in its bay"
    assert isinstance(big, Pack)
