"""The balance of the demo against statics by hand and against every one of its own combinations."""

import math

import numpy as np
import pytest
from draws import ONE_ERROR, median_error
from outside import held, within

from glidewright.base.figure import Given
from glidewright.decisions.balance import BalanceRequest, run
from glidewright.decisions.balancing.known import Known, known_part
from glidewright.decisions.balancing.nouns import BalanceResult
from glidewright.decisions.balancing.search import ranked
from glidewright.decisions.balancing.slots import choices, rest_of, swaps
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Item, Model
from glidewright.domain.weighing import Support, Weighing
from glidewright.forecast.setup import prepare
from glidewright.models.mass.least_weight import BallastPlace, Target, Worth

NUT_KG = 0.012
DRAWS = 1024
STATICS = "statics by hand"
TRADE = "common practice, no single source"


@pytest.fixture(scope="module")
def known(demo: Model) -> Known:
    found = known_part(prepare(demo, None, 256))
    assert found is not None
    return found


@pytest.fixture(scope="module")
def result(demo: Model, hill_class: ClassLimits) -> BalanceResult:
    return run(BalanceRequest(model=demo, rule=hill_class, draws=DRAWS))


@pytest.mark.parametrize(
    ("front", "rear", "worth"),
    [
        (0.0678, 0.0751, Worth(0.0002, 0.002)),
        (0.0678, 0.0751, Worth()),
        (0.0900, 0.0905, Worth(0.0, 0.001)),
        (0.0350, 0.0360, Worth(0.0002, 0.002)),
    ],
)
def test_the_best_of_all_combinations_of_the_demo(
    known: Known, front: float, rear: float, worth: Worth
) -> None:
    # Outside: every combination of all slots, the whole drawer offered; ballast of each in closed form from
    # statics: (x_f M - moment) / (x_tail - x_f) at the tail, (moment - x_r M) / (x_r - x_nose) at the nose.
    slots = choices(known, swaps(known.model))
    rest = rest_of(known, slots)
    assert rest is not None
    nose, tail = (BallastPlace(n, x, 0.08, 0.0, 900.0) for n, x in (("nose", -0.232), ("tail", 0.85)))
    mass = np.array([rest.options[0].mass_kg])
    low = mass * rest.options[0].x_low_m
    high, extra = low.copy(), np.zeros(1)
    for slot in slots:
        options = [way.option for way in slot.ways]
        own = np.array([o.mass_kg for o in options])
        mass = np.add.outer(mass, own).ravel()
        low = np.add.outer(low, own * [o.x_low_m for o in options]).ravel()
        high = np.add.outer(high, own * [o.x_high_m for o in options]).ravel()
        more = [worth.cost_kg * o.cost + worth.hour_kg * o.work_s / 3600.0 for o in options]
        extra = np.add.outer(extra, np.array(more)).ravel()
    at_tail = np.maximum(front * mass - high, 0.0) / (tail.x_m - front)
    at_nose = np.maximum(low - rear * mass, 0.0) / (rear - nose.x_m)
    ballast = at_tail + at_nose
    rank = mass + extra + ballast + np.where(ballast > 0.0, worth.hour_kg * 900.0 / 3600.0, 0.0)
    best = float(np.min(np.where(ballast <= 0.08, rank, np.inf)))
    assert mass.size == np.prod([len(slot.ways) for slot in slots]) > 10_000
    found = next(ranked(slots, rest, [nose, tail], Target(front, rear), worth))
    assert found.arrangement.miss_m == 0.0
    held(
        f"best rank for {1e3 * front:g} to {1e3 * rear:g} mm, an hour worth {1e3 * worth.hour_kg:g} g",
        found.arrangement.rank_kg,
        best,
        abs=2e-7,
        unit="kg",
        source=f"all {mass.size} combinations tried, ballast of each by statics",
        because="the search solves for ballast to a ten-thousandth of a gram",
    )


def test_a_small_lead_strip_at_the_tail_brings_a_nose_heavy_model_into_range(result: BalanceResult) -> None:
    # Trade check, common practice without a source: a strip of lead of a few grams at the tail is enough.
    centre, mass, front = result.centre[0].figure.value, result.mass.value, result.allowed.front.value
    assert centre is not None and mass is not None and front is not None and result.search is not None
    assert centre < front  # nose-heavy, the wanted point well behind the spar at a third of the chord
    strip = result.search.ballast_alone
    assert strip is not None
    within(
        "lead at the tail of a nose-heavy model",
        strip.ballast_kg,
        0.002,
        0.015,
        unit="kg",
        source=TRADE,
        because="a small strip, taken as 2 to 15 g",
    )
    # by hand: the moment that is missing at the place it was brought to, over the arm of the tail from there
    reached = (mass * centre + strip.ballast_kg * 0.85) / (mass + strip.ballast_kg)
    held(
        "balance point with the strip",
        strip.centre_x.value,
        reached,
        abs=math.hypot(median_error(strip.centre_x, DRAWS), median_error(result.centre[0].figure, DRAWS)),
        unit="m",
        source=STATICS,
        because=f"{ONE_ERROR.format(draws=DRAWS)}, before and after",
    )
    assert front < reached
    # the least that reaches the front of the range with the median, by hand: w = M (x_f - c) / (x_tail - x_f)
    least = mass * (front - centre) / (0.85 - front)
    assert f"{1e3 * least:.1f} to " in result.known.still_to_come[0]


def test_a_nut_saved_at_the_nose_moves_the_point_aft(demo: Model, result: BalanceResult) -> None:
    # Trade check, common practice without a source: a 12 g nut less at the nose moves the point measurably.
    items = []
    for item in demo.items:
        part = item.part
        if item.name == "propeller":
            assert part.mass_kg is not None
            lighter = Given(value=part.mass_kg.value - NUT_KG, grade=part.mass_kg.grade)
            part = part.model_copy(update={"mass_kg": lighter})
        items.append(Item(name=item.name, part=part))
    after = run(BalanceRequest(model=demo.model_copy(update={"items": tuple(items)}), draws=DRAWS))
    centre, mass = result.centre[0].figure.value, result.mass.value
    moved_to = after.centre[0].figure.value
    assert centre is not None and mass is not None and moved_to is not None
    by_hand = -NUT_KG * (-0.242 - centre) / (mass - NUT_KG)
    held(
        "balance point after 12 g less at the nose",
        moved_to - centre,
        by_hand,
        abs=math.hypot(*(median_error(one.centre[0].figure, DRAWS) for one in (result, after))),
        unit="m",
        source=STATICS,
        because=f"{ONE_ERROR.format(draws=DRAWS)}, before and after",
    )
    within(
        "way of the balance point for a nut of 12 g",
        by_hand,
        0.004,
        0.008,
        unit="m",
        source=TRADE,
        because="several millimetres: a finger feels one",
    )
    row = next(row for row in result.stations if row.name == "propeller")
    assert row.x_m == pytest.approx(-0.242, abs=1e-4)
    assert row.moves_by_m < 0.0  # a gram more there moves it forward
    held(
        "twelve times the way that the table states for a gram",
        -12.0 * row.moves_by_m,
        -0.012 * (row.x_m - centre) / (mass + 0.001),
        rel=1e-9,
        unit="m",
        source=STATICS,
        because="rounding",
    )


def test_both_directions_of_the_table_by_hand(result: BalanceResult) -> None:
    mass, centre = result.mass.value, result.centre[0].figure.value
    assert mass is not None and centre is not None
    for name, place in (("nose", -0.232), ("tail", 0.85), ("pack", -0.165), ("pack bay, rear", -0.085)):
        row = next(row for row in result.stations if row.name == name)
        assert row.x_m == pytest.approx(place, abs=1e-5)
        held(
            f"way of the balance point for a gram at {name}",
            row.moves_by_m,
            (mass * centre + 0.001 * row.x_m) / (mass + 0.001) - centre,
            rel=1e-9,
            unit="m",
            source=STATICS,
            because="rounding",
        )
        assert row.mass_for_mm_kg is not None
        towards = 0.001 if place > centre else -0.001
        moved = (mass * centre + row.mass_for_mm_kg * row.x_m) / (mass + row.mass_for_mm_kg) - centre
        held(
            f"way of the balance point for the mass stated at {name}",
            moved,
            towards,
            rel=1e-9,
            unit="m",
            source=STATICS,
            because="rounding",
        )


def exact(value: float) -> Given:
    return Given(value=value, low=value, high=value, grade="measured")


@pytest.mark.parametrize(
    ("reactions_g", "places_mm", "mass_g", "x_mm", "y_mm"),
    [
        # By hand: (500 * 0 + 60 * 700) / 560 = 75.0 mm.
        ((500.0, 60.0), ((0.0, None), (700.0, None)), 560.0, 75.0, None),
        # By hand: x = (200 * 0 + 220 * 0 + 180 * 180) / 600 = 54.0 mm, y = (220 - 200) * 300 / 600 = 10.0 mm.
        ((200.0, 220.0, 180.0), ((0.0, -300.0), (0.0, 300.0), (180.0, 0.0)), 600.0, 54.0, 10.0),
    ],
    ids=["two supports", "three supports"],
)
def test_supports_by_hand(
    demo: Model,
    reactions_g: tuple[float, ...],
    places_mm: tuple[tuple[float, float | None], ...],
    mass_g: float,
    x_mm: float,
    y_mm: float | None,
) -> None:
    supports = tuple(
        Support(
            x_m=exact(1e-3 * x), y_m=None if y is None else exact(1e-3 * y), reading_kg=exact(1e-3 * reading)
        )
        for reading, (x, y) in zip(reactions_g, places_mm, strict=True)
    )
    weighed = Weighing(of=("all",), support=supports, date="2025-05-01")
    found = run(BalanceRequest(model=demo.model_copy(update={"weighings": (weighed,)}), draws=256))
    exactly = {"source": STATICS, "because": "rounding of sums", "abs": 1e-9}
    held(f"mass on {len(supports)} supports", found.mass.value, 1e-3 * mass_g, unit="kg", **exactly)
    place = found.centre[0].figure.value
    held(f"balance point on {len(supports)} supports", place, 1e-3 * x_mm, unit="m", **exactly)
    assert found.centre[0].figure.low == pytest.approx(found.centre[0].figure.high, abs=1e-9)
    if y_mm is not None:
        place = found.centre[1].figure.value
        held("balance point to the side on three supports", place, 1e-3 * y_mm, unit="m", **exactly)
