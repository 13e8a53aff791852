"""The ways in order: by rank, none with a needless change, and complete against a full enumeration."""

from itertools import product

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from glidewright.decisions.balancing.search import aim_for, nearest, ranked
from glidewright.decisions.balancing.slots import Choice, Way
from glidewright.models.mass.least_weight import BallastPlace, Option, Slot, Target, Worth, lightest

TARGET = Target(0.07, 0.08)
WORTH = Worth(cost_kg=0.0005, hour_kg=0.002)


def random_choices(seed: int) -> tuple[list[Choice], Slot, list[BallastPlace]]:
    rng = np.random.default_rng(seed)
    choices = []
    for slot in range(3):
        mass, x = rng.uniform(0.02, 0.06), rng.uniform(-0.2, 0.0)
        ways = [Way(Option("now", mass, x, x), ())]
        for number in range(2):
            changes = frozenset({f"{slot} {number}"} | ({f"{slot} moved"} if rng.random() < 0.5 else set()))
            low = rng.uniform(-0.2, 0.05)
            width = rng.choice([0.0, 0.06])
            option = Option(
                "other",
                mass + rng.uniform(-0.01, 0.01),
                low,
                low + width,
                0.0,
                rng.uniform(0, 9),
                rng.uniform(0, 5e3),
                changes,
            )
            ways.append(Way(option, ()))
        choices.append(Choice(str(slot), tuple(ways)))
    rest = Slot("rest", (Option("rest", 0.45, 0.085, 0.085),))
    return (
        choices,
        rest,
        [BallastPlace("nose", -0.25, 0.05, 0.0, 900.0), BallastPlace("tail", 0.8, 0.05, 0.0, 900.0)],
    )


@pytest.mark.parametrize("seed", range(6))
def test_every_least_way_is_found_in_order(seed: int) -> None:
    choices, rest, ballast = random_choices(seed)
    found = list(ranked(choices, rest, ballast, TARGET, WORTH))
    # every combination of ways and ballast places solved alone; of these, those with nothing needless
    every = []
    for ways in product(*(choice.ways for choice in choices)):
        for places in ([], ballast[:1], ballast[1:]):
            slots = [Slot("one", (way.option,)) for way in ways]
            one = lightest([*slots, rest], places, TARGET, WORTH)
            if one is not None:
                used = {place.name for place, mass in zip(places, one.ballast_kg, strict=True) if mass > 1e-6}
                every.append((one.rank_kg, frozenset().union(*(way.changes for way in ways)) | used))
    least: list[tuple[float, frozenset[str]]] = []
    for rank, changes in sorted(every, key=lambda pair: pair[0]):
        if not any(before <= changes for _, before in least):
            least.append((rank, changes))
    assert [one.changes for one in found] == [changes for _, changes in least]
    assert [one.arrangement.rank_kg for one in found] == pytest.approx([rank for rank, _ in least], abs=1e-7)


def test_nothing_to_do_is_the_whole_answer_when_all_is_well() -> None:
    rest = Slot("rest", (Option("rest", 0.6, 0.075, 0.075),))
    found = list(ranked([], rest, [BallastPlace("tail", 0.8, 0.1)], TARGET, WORTH))
    assert len(found) == 1 and found[0].changes == frozenset()


def test_what_nothing_reaches_has_a_nearest_miss() -> None:
    rest = Slot("rest", (Option("rest", 0.6, 0.0, 0.0),))
    tail = BallastPlace("tail", 0.8, 0.01)
    assert not list(ranked([], rest, [tail], TARGET, WORTH))
    found = nearest([], rest, [tail], TARGET, WORTH)
    # by hand: 0.01 * 0.8 / 0.61 = 13.11 mm, and the range begins at 70 mm
    assert found.arrangement.miss_m == pytest.approx(0.07 - 0.008 / 0.61, abs=1e-9)


# counted over these draws the chance dips below the wanted one between two places that meet it
@example(spread=0.007453306470088575, front=0.0, width=0.017113890900514895, chance=0.75)
@settings(max_examples=60, deadline=None)
@given(
    spread=st.floats(1e-4, 0.02),
    front=st.floats(-0.1, 0.1),
    width=st.floats(1e-3, 0.03),
    chance=st.floats(0.5, 0.99),
)
def test_the_aim_meets_the_chance_or_says_that_none_does(
    spread: float, front: float, width: float, chance: float
) -> None:
    draws = np.random.default_rng(0).normal(0.05, spread, 501)
    aim = aim_for(draws, front, front + width, chance)
    middle = 0.5 * (aim.front_m + aim.rear_m)
    moved = draws - np.median(draws) + middle
    reached = float(np.mean((moved >= front) & (moved <= front + width)))
    assert aim.is_reachable == (aim.best_chance >= chance)
    if aim.is_reachable:
        assert reached >= chance - 1.0 / draws.size  # one draw may lie on the very edge
        assert front <= aim.front_m < aim.rear_m <= front + width
    else:
        assert reached == pytest.approx(aim.best_chance, abs=0.02)
