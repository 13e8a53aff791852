"""The balance job: known part, record, ways into the range, and models that are odd."""

import json
from typing import Any

import numpy as np
import pytest

from glidewright.base.figure import Given
from glidewright.decisions import balance as job
from glidewright.decisions.balancing.nouns import BalanceResult
from glidewright.decisions.changed_model import on_one_scale, with_part
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Ballast, Part, PlainItem
from glidewright.domain.weighing import Support, Weighing
from glidewright.faces.report.balance import document
from glidewright.faces.report.render_json import render_json
from glidewright.faces.report.render_text import render_text

DRAWS = 256


def measured(value: float) -> Given:
    return Given(value=value, grade="measured")


def answer(model: Model, rule: ClassLimits | None = None, **more: Any) -> BalanceResult:
    return job.run(job.BalanceRequest(model=model, rule=rule, draws=DRAWS, **more))


def changed(model: Model, name: str, **fields: Any) -> Model:
    items = tuple(
        Item(name=i.name, part=i.part.model_copy(update=fields)) if i.name == name else i for i in model.items
    )
    return model.model_copy(update={"items": items})


def with_bay(model: Model, **fields: Any) -> Model:
    geometry = model.airframe.geometry
    assert geometry is not None
    bay = geometry.bays[0].model_copy(update=fields)
    shape = geometry.model_copy(update={"bays": (*geometry.bays, bay)})
    return model.model_copy(update={"airframe": model.airframe.model_copy(update={"geometry": shape})})


def with_range(model: Model, front: float | None, rear: float | None) -> Model:
    limits = {
        f"balance_{end}_x_m": None if x is None else measured(x)
        for end, x in (("front", front), ("rear", rear))
    }
    return model.model_copy(update={"airframe": model.airframe.model_copy(update=limits)})


@pytest.fixture(scope="module")
def result(demo: Model, hill_class: ClassLimits) -> BalanceResult:
    return job.run(job.BalanceRequest(model=demo, rule=hill_class))


def test_sources_name_range_search_and_supports(demo: Model, result: BalanceResult) -> None:
    assert "range of the centre of gravity: the designer's drawing (invented)" in result.sources
    assert any("mixed integer programme" in source for source in result.sources)
    assert not any("supports" in source for source in result.sources)
    scales = tuple(Support(x_m=measured(x), reading_kg=measured(w)) for x, w in ((0.0, 0.5), (0.7, 0.06)))
    weighed = demo.model_copy(update={"weighings": (Weighing(of=("all",), support=scales),)})
    assert any("weighing on supports" in source for source in answer(weighed).sources)


def test_the_demo_is_nose_heavy_and_has_at_least_five_ways_out(result: BalanceResult) -> None:
    assert result.chance_as_is is not None and result.chance_as_is < 0.5
    assert result.chance_by_pack_bay is not None and result.chance_by_pack_bay > result.chance_as_is
    found = result.search
    assert found is not None and found.nearest_miss is None
    assert len(found.alternatives) >= 5
    assert [one.rank_kg for one in found.alternatives] == sorted(one.rank_kg for one in found.alternatives)
    assert len({one.does for one in found.alternatives}) == len(found.alternatives)
    for one in found.alternatives:
        assert one.chance >= result.chance_wanted
        assert one.miss_m == 0.0


def test_what_breaks_a_limit_that_is_kept_is_not_offered(result: BalanceResult) -> None:
    assert result.search is not None
    refused = " | ".join(result.search.not_offered)
    assert "Three cells, 850 mAh for Two cells, 550 mAh: cells in series would be broken" in refused
    assert not any("Three cells" in words for one in result.search.alternatives for words in one.does)


def test_the_record_begins_with_the_plan_and_ends_with_the_forecast(result: BalanceResult) -> None:
    assert [step.date for step in result.record] == ["", "2025-03-09", "2025-03-09", "2025-03-16"]
    assert result.record[-1].centre_x.value == result.centre[0].figure.value
    assert result.record[-1].chance == result.chance_as_is
    assert "71.2 g where 64 " in result.record[1].taught
    widths = [step.centre_x.high - step.centre_x.low for step in result.record]  # type: ignore[operator] # all known
    assert widths[-1] < widths[0]


def test_weighings_are_told_in_the_order_of_their_dates(demo: Model) -> None:
    turned = demo.model_copy(update={"weighings": tuple(reversed(demo.weighings))})
    found = answer(turned)
    assert [step.date for step in found.record] == ["", "2025-03-09", "2025-03-09", "2025-03-16"]
    assert found.record[-1].centre_x.value == found.centre[0].figure.value


def test_the_known_part_stands_for_a_model_that_is_not_finished(demo: Model) -> None:
    model = changed(changed(demo, "fin", mass_kg=None), "receiver", x_m=None)
    found = answer(model)
    assert (found.known.items, found.known.fitted) == (29, 31)
    assert [(one.name, one.lacks) for one in found.known.left_out] == [("fin", "mass"), ("receiver", "place")]
    assert found.findings[0].severity == "unknown"
    assert found.known.centre_x.value is not None and found.stations
    # statics by hand: what the fin must weigh at 805 mm to bring the known part to the front of the range
    mass, centre = found.record[-1].mass.value, found.record[-1].centre_x.value
    assert mass is not None and centre is not None
    least = mass * (0.064 - centre) / (0.805 - 0.064)
    assert found.known.left_out[0].needs.startswith(f"{1e3 * least:.1f} to ")


def test_the_known_part_is_searched_while_a_mass_is_missing(demo: Model) -> None:
    model = changed(changed(demo, "fin", mass_kg=None), "receiver", x_m=None)
    found = answer(model)
    assert found.search is not None and found.search.alternatives
    assert found.search.left_out == ("fin", "receiver")
    assert "fin, receiver cannot be counted in yet" in found.search.how[0]
    for one in found.search.alternatives:
        assert one.chance is None  # of a whole that nobody knows
        assert not any("receiver" in words for words in one.does)  # nobody knows where it is now
        # by hand: the known part moved as told balances inside the range
        assert one.centre_x.value is not None
        assert 0.064 <= one.centre_x.value <= 0.079
    assert found.chance_as_is is None
    assert found.chance_by_pack_bay is None
    text = " ".join(render_text(document(found), 80).split())
    assert "of the known part alone, while fin, receiver cannot be counted in" in text
    assert "the known part then balances at" in text
    render_json("balance", found.model, found, found.findings, found.sources)


def test_with_nothing_left_out_the_ways_are_as_before(result: BalanceResult) -> None:
    assert result.search is not None
    assert result.search.left_out == ()
    assert all(one.chance is not None for one in result.search.alternatives)


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("length_m", 0.150, "150 x 30 x 13 mm are more than pack bay holds, 110 x 34 x 24 mm"),
        ("height_m", 0.040, "56 x 30 x 40 mm are more than pack bay holds"),
    ],
)
def test_a_pack_too_big_for_its_bay_is_not_moved_and_says_why(
    demo: Model, field: str, value: float, words: str
) -> None:
    part = next(item.part for item in demo.items if item.name == "pack")
    sizes = {"length_m": measured(0.056), "width_m": measured(0.030), "height_m": measured(0.013)}
    model = changed(demo, "pack", **{**sizes, field: measured(value)})
    found = answer(model).search
    assert found is not None
    assert any(f"pack stays where it is: {words}" in said for said in found.not_offered)
    for one in found.alternatives:
        assert not any("move the pack" in does for does in one.does)
    big = part.model_copy(update={**sizes, field: measured(value), "id": "big", "title": "Big pack"})
    offered = answer(demo.model_copy(update={"drawer": (*demo.drawer, big)})).search
    assert offered is not None
    assert any("Big pack for" in said and words.split(" are", 1)[0] in said for said in offered.not_offered)
    assert not any("Big pack" in does for one in offered.alternatives for does in one.does)


def test_a_pack_on_its_side_fits_where_it_does_not_upright(demo: Model) -> None:
    # The bay is 34 mm wide and 24 mm high: 20 by 30 mm goes in lying down alone.
    sizes = {"length_m": measured(0.056), "width_m": measured(0.020), "height_m": measured(0.030)}
    found = answer(changed(demo, "pack", **sizes)).search
    assert found is not None
    assert not any("pack stays" in said for said in found.not_offered)


def test_it_works_from_the_first_part_on(demo: Model) -> None:
    first = demo.model_copy(update={"items": demo.items[:1], "weighings": ()})
    found = answer(first)
    assert found.known.items == 1
    assert found.record[0].centre_x.value == pytest.approx(0.080, abs=0.001)
    assert found.search is not None  # one panel alone is a model that can be balanced
    nothing = answer(demo.model_copy(update={"items": (), "weighings": ()}))
    assert nothing.known.items == 0 and nothing.search is None and not nothing.stations


def test_a_range_that_nothing_reaches_names_the_nearest_miss(demo: Model) -> None:
    found = answer(with_range(demo, 0.390, 0.395)).search
    assert found is not None and not found.alternatives
    assert found.nearest_miss is not None
    assert found.nearest_miss.miss_m > 0.1
    assert found.nearest_miss.ballast_kg == pytest.approx(0.08, abs=1e-6)  # all that may lie at the tail
    assert found.ballast_alone is None


def without_shape(model: Model) -> Model:
    return model.model_copy(update={"airframe": model.airframe.model_copy(update={"geometry": None})})


def test_a_model_without_a_range_says_which_keys_are_missing(demo: Model) -> None:
    found = answer(without_shape(with_range(demo, None, None)))
    assert found.search is None
    assert "balance_front_x_mm" in found.why_no_search
    assert found.record[0].chance is None
    crossed = answer(with_range(demo, 0.08, 0.07))
    assert crossed.search is None and "no width" in crossed.why_no_search


def test_a_spread_too_wide_for_the_wanted_chance_is_said(demo: Model) -> None:
    found = answer(with_range(demo, 0.068, 0.070)).search
    assert found is not None
    assert "too wide" in found.how[0] and "weigh more first" in found.how[0]
    assert found.alternatives and found.alternatives[0].chance < 0.9


def test_without_a_bay_the_pack_stays_where_it_is(demo: Model) -> None:
    geometry = demo.airframe.geometry
    assert geometry is not None
    airframe = demo.airframe.model_copy(update={"geometry": geometry.model_copy(update={"bays": ()})})
    found = answer(demo.model_copy(update={"airframe": airframe}))
    assert found.chance_by_pack_bay is None
    assert found.search is not None
    assert not any("move the" in words for one in found.search.alternatives for words in one.does)


def test_a_motor_that_may_go_back_takes_its_propeller_along(demo: Model) -> None:
    model = with_bay(
        demo, name="motor bay", takes=("motor",), from_x_m=measured(-0.23), to_x_m=measured(-0.14)
    )
    model = model.model_copy(update={"drawer": ()})
    found = answer(model, hour_kg=0.0).search
    assert found is not None
    moved = [one.does for one in found.alternatives if any("move the motor" in words for words in one.does)]
    assert moved
    for does in moved:
        shifts = [
            words.split(" mm aft")[0].rsplit(" ", 1)[1]
            for words in does
            if "motor" in words or "propeller" in words
        ]
        assert len(set(shifts)) == 1 and len(shifts) == 2


def test_ballast_on_the_wrong_side_is_taken_out_again(demo: Model) -> None:
    lead = Ballast(id="old-lead", mass_kg=measured(0.02), x_m=measured(-0.22), y_m=measured(0.0))
    model = demo.model_copy(update={"items": (*demo.items, Item(name="nose lead", part=lead)), "drawer": ()})
    found = answer(model).search
    assert found is not None
    best = found.alternatives[0]
    assert "take out nose lead" in best.does
    assert best.added_mass_kg == pytest.approx(-0.02 + best.ballast_kg, abs=2e-4)


def test_a_side_that_is_sure_asks_for_a_tip_weight(demo: Model) -> None:
    model = changed(demo, "tip-right", mass_kg=measured(0.045))
    found = answer(model)
    assert found.lateral is not None and found.search is not None
    assert found.lateral.text.startswith("the right wing is heavier")
    assert "a tip weight is asked for" in found.search.how[-1]
    for one in found.search.alternatives:
        assert any("left wing tip" in words for words in one.does)
    # statics by hand: tip weight times tip arm takes out mass times arm of the centre of gravity
    side, weight, arm = found.lateral.side_moment.value, found.lateral.tip_weight.value, found.lateral.tip_y_m
    assert side is not None and weight is not None and arm is not None
    assert weight * arm == pytest.approx(-side, rel=1e-9)


def on_supports(model: Model, mass: float, centre: float, places: tuple[float, float]) -> Model:
    """Weighed on two scales; reactions by the law of the lever."""
    first, second = places
    share = (centre - first) / (second - first)
    supports = tuple(
        Support(
            x_m=Given(value=x, low=x - 0.0005, high=x + 0.0005, grade="measured"),
            reading_kg=Given(value=r, low=r - 0.0005, high=r + 0.0005, grade="measured"),
        )
        for x, r in ((first, mass * (1.0 - share)), (second, mass * share))
    )
    weighing = Weighing(of=("all",), support=supports, date="2025-04-01")
    return model.model_copy(update={"weighings": (*model.weighings, weighing)})


def test_the_whole_model_on_two_supports_narrows_the_forecast(demo: Model, hill_class: ClassLimits) -> None:
    model = on_supports(demo, 0.601, 0.0612, (0.0, 0.7))
    found = answer(model, hill_class)
    before, last = found.record[-2], found.record[-1]
    assert last.mass.value == pytest.approx(0.601, abs=0.0005)
    assert last.centre_x.value == pytest.approx(0.0612, abs=0.0006)
    widths = [step.centre_x.high - step.centre_x.low for step in (before, last)]  # type: ignore[operator] # known
    assert widths[1] < 0.5 * widths[0]
    assert "it balanced at 61" in last.taught
    assert found.search is not None and len(found.search.alternatives) >= 5


def test_one_scale_stands_for_two_supports(demo: Model) -> None:
    weighing = on_supports(demo, 0.601, 0.0612, (0.0, 0.7)).weighings[-1]
    one = on_one_scale(weighing)
    assert one.mass_kg is not None and one.x_m is not None and not one.support
    assert one.mass_kg.value == pytest.approx(0.601, abs=1e-12)
    assert one.x_m.value == pytest.approx(0.0612, abs=1e-12)
    # by draws instead of to first order: the same band
    rng = np.random.default_rng(1)
    sigma = 0.0005 / 1.2815515655446004
    reading = np.array([s.reading_kg.value for s in weighing.support]) + sigma * rng.standard_normal(
        (100_000, 2)
    )
    place = np.array([s.x_m.value for s in weighing.support]) + sigma * rng.standard_normal((100_000, 2))
    point = (reading * place).sum(axis=1) / reading.sum(axis=1)
    low, high = np.quantile(point, (0.1, 0.9))
    assert one.x_m.low is not None and one.x_m.high is not None
    assert one.x_m.high - one.x_m.low == pytest.approx(high - low, rel=0.02)
    with_moved = with_part(demo.model_copy(update={"weighings": (weighing,)}), *moved_pack(demo))
    moved = with_moved.weighings[0].x_m
    # by hand: 34 g moved 50 mm aft move 601 g by 2.829 mm
    assert moved is not None and moved.value == pytest.approx(0.0612 + 0.034 * 0.05 / 0.601, abs=1e-9)


def moved_pack(model: Model) -> tuple[Item, Part]:
    item = next(item for item in model.items if item.name == "pack")
    assert item.part.x_m is not None
    return item, item.part.model_copy(update={"x_m": measured(item.part.x_m.value + 0.05)})


def test_an_item_that_only_supports_weighed_is_known(demo: Model) -> None:
    supports = tuple(Support(x_m=measured(x), reading_kg=measured(0.007)) for x in (0.79, 0.82))
    weighing = Weighing(of=("fin",), support=supports)
    model = changed(demo, "fin", mass_kg=None).model_copy(update={"weighings": (weighing,)})
    found = answer(model)
    assert found.known.items == found.known.fitted
    assert found.search is not None and found.search.alternatives


def test_a_shape_gives_a_range_where_the_designer_gives_none(demo: Model) -> None:
    found = answer(with_range(demo, None, None))
    neutral, chord = found.stability.neutral_point_x.value, demo.airframe.mean_chord_m
    rear = found.allowed.rear.value
    assert neutral is not None and chord is not None and rear is not None and found.search is not None
    assert rear == pytest.approx(neutral - 0.05 * chord.value, abs=0.002)
    assert found.stability.static_margin.value is not None
    # a range that moves with the neutral point asks for more than the same range at rest
    fixed = answer(with_range(demo, found.allowed.front.value, rear)).search
    assert fixed is not None and found.search.how[0] != fixed.how[0]
    assert found.chance_as_is == pytest.approx(found.findings[0].chance, abs=0.02)


def test_json_holds_no_number_that_is_none(result: BalanceResult) -> None:
    body = render_json("balance", result.model, result, result.findings)
    assert "nan" not in body.casefold().replace("finance", "")
    assert json.loads(body)["result"]["search"]["alternatives"]


def test_parts_over_each_other_are_pointed_out(demo: Model) -> None:
    # the pack bay made as low as the pack: the controller finds no room above it any more
    geometry = demo.airframe.geometry
    assert geometry is not None
    low = geometry.bays[0].model_copy(update={"height_m": measured(0.015), "width_m": measured(0.031)})
    shape = geometry.model_copy(update={"bays": (low, *geometry.bays[1:])})
    airframe = demo.airframe.model_copy(update={"geometry": shape})
    found = answer(demo.model_copy(update={"airframe": airframe, "drawer": ()})).search
    assert found is not None
    remarks = [words for one in found.alternatives for words in one.remarks]
    assert any(words.startswith("look whether") and "pack" in words for words in remarks)


def test_plain_items_have_no_options(demo: Model) -> None:
    only = tuple(item for item in demo.items if isinstance(item.part, PlainItem))
    found = answer(demo.model_copy(update={"items": only, "weighings": ()})).search
    assert found is not None
    assert found.combinations == 1


def test_a_side_that_no_tip_weight_should_hide_is_said(demo: Model) -> None:
    found = answer(changed(demo, "panel-right", y_m=measured(0.9))).search
    assert found is not None
    assert "look for the cause" in found.how[-1]
    assert not any("wing tip" in words for one in found.alternatives for words in one.does)
