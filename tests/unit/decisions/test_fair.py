"""The field under rule options: set-up against brute force, counts, executors, what cannot be answered."""

import multiprocessing
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor

import numpy as np
import pytest

from glidewright.base.errors import InputError
from glidewright.base.figure import Given
from glidewright.decisions import fair
from glidewright.decisions.choosing.builds import model_of
from glidewright.decisions.fairness.binding import binding, nearest_miss, removed_of, stopped_by
from glidewright.decisions.fairness.build import builds_of, measured, ready_of, weighed
from glidewright.decisions.fairness.field import Entry, Share, fly_share
from glidewright.decisions.fairness.flying import Flying, steepest_m_s
from glidewright.decisions.fairness.frame import CENTRE, DAY, Frame, at_centre
from glidewright.decisions.fairness.nouns import FairRequest, FairResult
from glidewright.decisions.fairness.options import CLIMB, ENERGY, HEIGHT, applied
from glidewright.decisions.fairness.setup import owner_of
from glidewright.decisions.fairness.spread import flown_under
from glidewright.domain.class_limits import ClassLimits, Limit
from glidewright.domain.model import Model
from glidewright.domain.parts import Motor, Pack, Propeller
from glidewright.domain.rule_options import LimitChange, RuleOption
from glidewright.forecast.orders import launch_orders
from glidewright.forecast.power_inputs import PowerInputs
from glidewright.forecast.setup import prepare
from glidewright.models.launch import layout as ll
from glidewright.models.launch.flights import launch_outputs, launch_trace

KEPT = ("m28-1020", "m28-1350", "c30", "p2-550", "p2-600", "p2-800", "f10x5", "f11x6")
DRAWS = 16


def with_drawer(model: Model, kept: tuple[str, ...]) -> Model:
    power = ("motor", "controller", "pack", "propeller")
    drawer = tuple(part for part in model.drawer if part.kind not in power or part.id in kept)
    return model.model_copy(update={"drawer": drawer})


@pytest.fixture(scope="module")
def small(demo: Model) -> Model:
    """The demo with two motors, one controller, three packs and two propellers: twelve builds."""
    return with_drawer(demo, KEPT)


OPTIONS = (
    RuleOption(name="Run", motor_run_s=20.0),
    RuleOption(name="Alone", lift=("climb_rate", "launch_height")),
    RuleOption(
        name="Energy",
        lift=("climb_rate", "launch_height"),
        changes=(
            LimitChange(
                limit=Limit(measure="energy", at_most=1500.0, unit="J", shown="Wh"),
                stated=("measure", "at_most"),
            ),
        ),
    ),
)


@pytest.fixture(scope="module")
def request_(small: Model, hill_class: ClassLimits) -> FairRequest:
    return FairRequest(models=(small,), rule=hill_class, options=OPTIONS, draws=DRAWS)


@pytest.fixture(scope="module")
def result(request_: FairRequest) -> FairResult:
    return fair.run(request_)


@pytest.fixture(scope="module")
def entries(small: Model, hill_class: ClassLimits) -> tuple[Entry, ...]:
    rules = (hill_class, *(applied(hill_class, option) for option in OPTIONS))
    return fly_share(Share(0, small, builds_of(small), rules, DRAWS))


def test_every_part_is_built_with_every_other(small: Model) -> None:
    builds = builds_of(small)
    assert len(builds) == 2 * 1 * 3 * 2
    assert len({(one.motor, one.controller, one.pack, one.propeller) for one in builds}) == len(builds)


def test_labels_that_no_rule_allows_are_counted_and_not_flown(entries: tuple[Entry, ...]) -> None:
    big = [entry for entry in entries if entry.build.pack == "p2-800"]
    assert len(big) == 4
    for entry in big:
        assert [one.name for one in entry.broken[0]] == ["capacity"]
        # 800 mAh are a third over 600 mAh, hand calculation
        assert entry.broken[0][0].miss == pytest.approx(200.0 / 600.0)
        assert entry.launches == (None,) * 4
    capacity = next(row for row in removed_of(entries, 0) if row.name == "capacity")
    assert (capacity.builds, capacity.of_class, capacity.nearest) == (4, True, "800 mAh, at most 600 mAh")


def test_an_older_pack_beyond_its_label_is_not_sound(entries: tuple[Entry, ...]) -> None:
    # the strong motor with big blades draws more than 15 C of 550 mAh, 8.25 A, when nothing holds it back
    entry = next(
        one
        for one in entries
        if (one.build.motor, one.build.pack, one.build.propeller) == ("m28-1350", "p2-550", "f11x6")
    )
    alone = entry.broken[2]
    assert [(one.name, one.of_class) for one in alone] == [("pack_current", False)]
    assert alone[0].bound == pytest.approx(8.25)


def test_balance_is_reached_and_paid_in_ballast(small: Model, hill_class: ClassLimits) -> None:
    front, rear = small.airframe.balance_front_x_m, small.airframe.balance_rear_x_m
    assert front is not None
    assert rear is not None
    build = next(one for one in builds_of(small) if one.pack == "p2-600")
    one = ready_of(small, build, (hill_class,), {})
    assert one.balance_kg > 0.0
    assert one.build.pack_x_m is not None
    # the same build as a model of its own
    mass, centre = weighed(at_centre(prepare(model_of(small, one.build), None, 1)))
    assert centre is not None
    assert mass[0] == pytest.approx(one.mass_kg)
    assert front.value - 1e-4 <= centre[0] <= rear.value + 1e-4


def test_a_light_model_carries_ballast_for_a_least_mass(small: Model, hill_class: ClassLimits) -> None:
    heavy = RuleOption(
        name="x",
        changes=(
            LimitChange(
                limit=Limit(measure="mass", at_least=0.65, unit="kg", shown="g"),
                stated=("measure", "at_least"),
            ),
        ),
    )
    rules = (hill_class, applied(hill_class, heavy))
    build = next(one for one in builds_of(small) if (one.pack, one.motor) == ("p2-600", "m28-1020"))
    (entry,) = fly_share(Share(0, small, (build,), rules, DRAWS))
    light, laden = entry.launches
    assert light is not None
    assert laden is not None
    assert light.ballast_kg == 0.0
    assert entry.mass_kg + laden.ballast_kg == pytest.approx(0.65)
    assert np.median(laden.climb_m_s) < np.median(light.climb_m_s)


def flying(model: Model, rule: ClassLimits, motor: str, propeller: str) -> Flying:
    build = next(
        one
        for one in builds_of(model)
        if (one.motor, one.pack, one.propeller) == (motor, "p2-600", propeller)
    )
    one = ready_of(model, build, (rule,), {})
    assert one.train is not None
    return Flying(Frame(prepare(one.model, None, 64)), [one.train], rule)


def test_without_a_climb_limit_the_best_airspeed_is_the_one_of_the_house(
    small: Model, hill_class: ClassLimits
) -> None:
    # launch_orders searches 32 airspeeds three times for one model; here 12, 7 and 5 for many at once
    rule = applied(hill_class, RuleOption(name="x", lift=("climb_rate",)))
    build = next(
        one
        for one in builds_of(small)
        if (one.motor, one.pack, one.propeller) == ("m28-1350", "p2-600", "f11x6")
    )
    one = ready_of(small, build, (rule,), {})
    assert one.train is not None
    setup = prepare(one.model, rule, 16)
    assert isinstance(setup.power, PowerInputs)
    orders = launch_orders(setup, setup.power, np.array([one.mass_kg]))
    found = owner_of(Flying(Frame(setup), [one.train], rule), np.zeros(1))
    settings = found.settings
    assert settings.glide_m_s[0] == pytest.approx(orders.glide_speed_m_s, rel=1e-6)
    assert settings.climb_m_s[0] == pytest.approx(orders.climb_speed_m_s, abs=0.35)
    own = Flying(Frame(setup), [one.train], rule)
    place = np.zeros(1, dtype=np.int64)
    reached, _ = own.fly(CENTRE, place, settings)
    best, _ = own.fly(CENTRE, place, settings.having(climb_m_s=np.array([orders.climb_speed_m_s])))
    assert reached[0, 0, ll.CUT_REASON] == best[0, 0, ll.CUT_REASON] == ll.CUT_BY_HEIGHT
    assert reached[0, 0, ll.CUT_TIME] == pytest.approx(best[0, 0, ll.CUT_TIME], abs=0.1)


def test_a_held_owner_is_as_good_as_brute_force_over_airspeed_and_throttle(
    small: Model, hill_class: ClassLimits
) -> None:
    rule = applied(hill_class, RuleOption(name="x", motor_run_s=20.0))
    own = flying(small, rule, "m28-1350", "f10x5")
    found = owner_of(own, np.zeros(1))
    assert found.held[CLIMB][0]
    bound = 5.2  # 5 m/s and a tolerance of 0.2 m/s
    assert np.mean(found.climb_m_s[0] <= bound) >= 0.9
    reached = np.median(found.outputs[0, :, ll.TOP_HEIGHT])
    speeds, duties = np.meshgrid(np.linspace(6.5, 14.0, 16), np.linspace(0.55, 1.0, 19))
    many = found.settings.rows(np.zeros(speeds.size, dtype=np.int64)).having(
        climb_m_s=speeds.ravel(), duty=duties.ravel()
    )
    outputs, climb = own.fly(DAY, np.zeros(speeds.size, dtype=np.int64), many)
    legal = np.mean(climb <= bound, axis=1) >= 0.9
    best = np.median(outputs[legal, :, ll.TOP_HEIGHT], axis=1).max()
    assert reached == pytest.approx(best, rel=0.02)


def test_energy_is_kept_by_a_shorter_run_and_costs_less_than_the_run_itself(
    entries: tuple[Entry, ...],
) -> None:
    held = [entry for entry in entries if (own := entry.launches[3]) is not None and ENERGY in own.held]
    assert held
    for entry in held:
        own = entry.launches[3]
        free = entry.launches[2]
        assert own is not None
        assert own.run_s < 30.0 or own.duty < 1.0
        assert "motor_run" not in binding(own) or ENERGY not in own.held
        if free is not None:
            assert np.median(own.top_m) < np.median(free.top_m)


def test_the_height_that_no_device_keeps_is_kept_by_an_earlier_stop(small: Model) -> None:
    # no cut of a device: the limit is on the highest reading, zoom and reading included
    rule = ClassLimits(
        id="t",
        title="T",
        motor_run_s=30.0,
        limits=(Limit(measure="launch_height", at_most=80.0, unit="m", shown="m"),),
    )
    own = flying(small, rule, "m28-1020", "f11x6")
    found = owner_of(own, np.zeros(1))
    assert found.held[HEIGHT][0]
    assert found.settings.cut_m[0] < 80.0
    read = own.frame.read_m(DAY, found.outputs[:, :, ll.HIGHEST_IN_WINDOW])[0]
    assert np.mean(read <= 80.0) >= 0.9
    assert np.median(read) > 74.0


def test_the_steepest_window_of_a_trace_is_the_one_of_the_kernel(
    small: Model, hill_class: ClassLimits
) -> None:
    own = flying(small, hill_class, "m28-1020", "f11x6")
    found = owner_of(own, np.zeros(1))
    inputs = own.frame.inputs(DAY, own.trains, np.zeros(1, dtype=np.int64), found.settings, own.rule)
    traces, outputs = launch_trace(inputs, duration_s=32.0)
    ours = steepest_m_s(traces, outputs[:, ll.CUT_TIME], ll.CLIMB_WINDOW_s)
    assert ours == pytest.approx(launch_outputs(inputs)[:, ll.BEST_CLIMB], abs=1e-9)
    # a window over the whole run is no steeper, one of a second no flatter
    assert np.all(steepest_m_s(traces, outputs[:, ll.CUT_TIME], 20.0) <= ours + 1e-9)
    assert np.all(steepest_m_s(traces, outputs[:, ll.CUT_TIME], 1.0) >= ours - 1e-9)
    assert np.isnan(steepest_m_s(traces, outputs[:, ll.CUT_TIME], 40.0)).all()


def test_what_binds_an_entry_is_what_lifting_it_would_change(entries: tuple[Entry, ...]) -> None:
    for entry in entries:
        as_it_is, _, alone, _ = entry.launches
        if as_it_is is None or alone is None:
            continue
        if stopped_by(as_it_is) == ll.CUT_BY_HEIGHT:
            assert binding(as_it_is) == (HEIGHT,)
            assert np.median(alone.top_m) > np.median(as_it_is.top_m)
        elif CLIMB not in as_it_is.held:
            # a launch that time alone ends is the same without climb limit and cut
            assert np.median(alone.top_m) == pytest.approx(np.median(as_it_is.top_m), abs=1.0)


def test_time_alone_makes_height_follow_the_climb(entries: tuple[Entry, ...]) -> None:
    # arithmetic from a rule of time alone: height is climb times run, from the hand at 1.8 m, and the zoom
    field = flown_under(entries, 2)
    assert field is not None
    climbs = np.median(field.climb_m_s, axis=1)
    expected = 1.8 + 30.0 * climbs
    assert np.all(field.height_m > expected)
    assert np.all(field.height_m < expected + 8.0)


def test_counts_add_up(result: FairResult) -> None:
    for one in result.options:
        launches = one.stops[0].of
        assert launches == one.entries * DRAWS
        assert sum(row.count for row in one.stops) == launches
        by_height = sum(row.count for row in one.stops if row.name == "height")
        assert one.limiter_stops.value == pytest.approx(by_height / launches)
        assert one.freedom.value is not None
        assert 0.0 < one.freedom.value <= 1.0
        assert 1 <= one.competitive <= one.entries
    assert {one.name for one in result.options if one.unbeaten} == set(result.unbeaten)
    for one in result.options:
        assert one.unbeaten == (one.beaten_by == ())


def test_gap_cost_and_parts_are_those_of_the_entries(
    result: FairResult, entries: tuple[Entry, ...], small: Model
) -> None:
    field = flown_under(entries, 0)
    assert field is not None
    as_it_is = result.options[0]
    order = np.sort(field.height_m)
    assert as_it_is.gap.value == pytest.approx(order[-1] - order[(order.size - 1) // 2], abs=1.0)
    cheap = next(row for row in as_it_is.rows if row.role == "competitive")
    parts = {part.id: part for part in small.drawer}
    prices = [parts[name] for name in (cheap.motor, cheap.controller, cheap.pack, cheap.propeller)]
    total = sum(p.price.value + (p.postage.value if p.postage else 0.0) for p in prices if p.price)
    assert as_it_is.cost.value == pytest.approx(total)
    worth = {part.part: part for part in as_it_is.parts}
    assert not worth["p2-800"].legal
    assert worth["p2-800"].remark == "illegal: capacity"
    assert as_it_is.illegal_cost.value == pytest.approx(13.40)
    assert worth["m28-1020"].legal
    share = worth["m28-1020"].height_share.value
    assert share is not None
    assert 0.5 < share < 1.02  # launch by launch another entry may be a little higher


@pytest.mark.parametrize("kind", ["threads", "processes"])
def test_any_executor_gives_the_same_bits(request_: FairRequest, result: FairResult, kind: str) -> None:
    # started anew and not forked: the threads of the kernels do not survive a fork
    made: Executor = (
        ThreadPoolExecutor(2)
        if kind == "threads"
        else ProcessPoolExecutor(2, mp_context=multiprocessing.get_context("spawn"))
    )
    seen: list[tuple[int, int]] = []
    with made as executor:
        again = fair.run(request_, executor, progress=lambda done, total: seen.append((done, total)))
    assert again.model_dump_json() == result.model_dump_json()
    assert [done for done, _ in seen] == list(range(1, seen[-1][1] + 1))
    assert seen[-1][0] == seen[-1][1]


def test_shares_of_another_size_give_the_same_bits(
    request_: FairRequest, result: FairResult, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(fair, "_SHARE", 5)
    assert fair.run(request_).model_dump_json() == result.model_dump_json()


def test_two_airframes_are_one_field(small: Model, hill_class: ClassLimits) -> None:
    heavier = small.airframe.model_copy(update={"drag_zero": Given(value=0.06, grade="measured")})
    draggy = small.model_copy(update={"name": "Draggy", "airframe": heavier})
    only = ("m28-1020", "c30", "p2-600", "f11x6")
    pair = (with_drawer(small, only), with_drawer(draggy, only))
    found = fair.run(FairRequest(models=pair, rule=hill_class, options=OPTIONS[:1], draws=DRAWS))
    assert found.airframes == (small.name, "Draggy")
    assert found.options[0].entries == 2
    best = next(row for row in found.options[0].rows if row.role == "best")
    assert best.airframe == small.name
    gap = found.options[1].gap.value  # time alone stops both
    assert gap is not None
    assert gap > 1.0


def refused(request: FairRequest) -> list[str]:
    with pytest.raises(InputError) as caught:
        fair.run(request)
    return [str(problem) for problem in caught.value.problems]


def test_a_request_that_cannot_be_used_says_why(request_: FairRequest, small: Model) -> None:
    def asked(**update: object) -> list[str]:
        return refused(request_.model_copy(update=update))

    assert "above 0 and below 0.5" in asked(wrong=0.5)[0]
    assert "at most 1" in asked(within=1.5)[0]
    assert "power of two" in asked(draws=100)[0]
    assert "at least one model folder" in asked(models=())[0]
    other = small.model_copy(update={"name": "Other", "currency": "USD"})
    assert "EUR and USD came" in asked(models=(small, other))[0]
    assert "must have a name of its own" in asked(models=(small, small))[0]
    assert (
        "stands for the class as it is" in asked(options=(RuleOption(name="as it is", motor_run_s=5.0),))[0]
    )
    no_motor = small.model_copy(
        update={
            "drawer": tuple(part for part in small.drawer if not isinstance(part, Motor)),
            "items": tuple(item for item in small.items if not isinstance(item.part, Motor)),
        }
    )
    assert "it has no motor; add parts" in asked(models=(no_motor,))[0]
    no_place = small.model_copy(
        update={"items": tuple(item for item in small.items if not isinstance(item.part, Propeller))}
    )
    assert "no propeller is fitted" in asked(models=(no_place,))[0]


def test_an_option_that_leaves_nobody_names_the_limit_and_the_nearest(request_: FairRequest) -> None:
    limit = Limit(measure="propeller_diameter", at_most=0.2, unit="m", shown="in")
    tiny = RuleOption(name="Tiny", changes=(LimitChange(limit=limit, stated=("measure", "at_most")),))
    (said,) = refused(request_.model_copy(update={"options": (tiny,)}))
    assert said.startswith("option Tiny: must leave at least one legal build; none of 12 is left")
    assert "propeller diameter removes most, 12 of them" in said
    # 10 in against 0.2 m, which are 7.87402 in
    assert "f10x5 with propeller diameter 10 in, at most 7.87402 in" in said


def test_unknown_values_break_no_limit_and_unpriced_parts_no_run(
    small: Model, hill_class: ClassLimits
) -> None:
    drawer = tuple(
        part.model_copy(update={"price": None}) if isinstance(part, Pack) else part for part in small.drawer
    )
    poor = small.model_copy(update={"drawer": drawer})
    gauge = hill_class.model_copy(
        update={"limits": (*hill_class.limits, Limit(measure="nose_radius", at_least=0.005, unit="m"))}
    )
    found = fair.run(FairRequest(models=(poor,), rule=gauge, options=OPTIONS[:1], draws=DRAWS))
    assert found.options[0].entries > 0
    assert found.options[0].cost.value is None
    assert "no competitive entry has a price" in found.options[0].cost.because
    values = measured(ready_of(poor, builds_of(poor)[0], (gauge,), {}), (gauge,))
    assert isinstance(values["nose_radius"], str)


def test_the_nearest_miss_has_the_fewest_broken_limits(entries: tuple[Entry, ...]) -> None:
    near = nearest_miss(entries, 0)
    assert near is not None
    fewest = min(len(entry.broken[0]) for entry in entries if entry.broken[0])
    assert len(near[0].broken[0]) == fewest
