"""Lifting surfaces as plain numbers: what is refused, mirrored out and tilted."""

import math
from dataclasses import replace

import pytest

from glidewright.base.errors import InputError
from glidewright.models.aero.shape import (
    Hinge,
    Section,
    Surface,
    flap_lift_share,
    flap_moment_slope,
    names_of_controls,
    tilted,
    whole,
)

PLAN = (Section(0.0, 0.0, 0.0, 0.2), Section(0.0, 0.5, 0.02, 0.2), Section(0.03, 1.0, 0.1, 0.1))
WING = Surface("wing", PLAN, (4, 4), hinges=((), (Hinge("aileron", 0.25, 1.0, -1.0),)))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"sections": PLAN[:1], "spanwise": ()}, "two sections or more"),
        ({"spanwise": (4,)}, "boxes for each of its 2 parts"),
        ({"spanwise": (4, 0)}, "one or more boxes"),
        ({"chordwise": 0}, "one or more boxes"),
        ({"hinges": ((),)}, "hinges of all its 2 parts"),
        (
            {"sections": (PLAN[0], replace(PLAN[1], chord_m=0.0), PLAN[2])},
            "chord must be above zero, here 0 m",
        ),
        ({"sections": (PLAN[0], replace(PLAN[1], chord_m=math.nan), PLAN[2])}, "chord must be above zero"),
        ({"sections": (PLAN[0], PLAN[0], PLAN[2])}, "same place along the span"),
        ({"sections": (PLAN[0], PLAN[2], PLAN[1])}, "run outwards from the middle"),
        ({"hinges": ((), (Hinge("aileron", 1.2),))}, "at most 1, here 1.2"),
        ({"hinges": ((), (Hinge("aileron", 0.0),))}, "above 0 and at most 1"),
    ],
)
def test_what_no_lattice_can_be_laid_on(changes: dict[str, object], words: str) -> None:
    with pytest.raises(InputError, match=words) as caught:
        replace(WING, **changes)
    assert caught.value.problems[0].where.startswith("wing")


def test_mirrored_out_from_tip_to_tip() -> None:
    found = whole(WING)
    assert [section.y_m for section in found.sections] == [-1.0, -0.5, 0.0, 0.5, 1.0]
    assert found.spanwise == (4, 4, 4, 4)
    assert [hinge.gain for part in found.hinges for hinge in part] == [-1.0, 1.0]
    assert whole(found) is found


def test_halves_apart_cannot_be_written_as_one() -> None:
    apart = replace(WING, sections=tuple(replace(section, y_m=section.y_m + 0.1) for section in PLAN))
    with pytest.raises(InputError, match="do not meet"):
        whole(apart)


def test_tilt_keeps_lengths_and_lowers_the_right() -> None:
    found = tilted(WING, 0.1, about_z_m=0.3)
    assert found.sections[-1].z_m < PLAN[-1].z_m < found.sections[0].z_m + 0.2
    for before, after in zip(whole(WING).sections, found.sections, strict=True):
        assert math.hypot(after.y_m, after.z_m - 0.3) == pytest.approx(
            math.hypot(before.y_m, before.z_m - 0.3)
        )


def test_flap_slopes_at_the_ends() -> None:
    assert flap_lift_share(1.0) == 1.0
    assert flap_lift_share(1e-9) == pytest.approx(0.0, abs=1e-4)
    assert flap_moment_slope(1.0) == 0.0


def test_controls_in_the_order_of_first_mention() -> None:
    tail = Surface("tail", PLAN[:2], (4,), hinges=((Hinge("elevator", 0.3), Hinge("aileron", 0.3)),))
    assert names_of_controls((WING, tail)) == ("aileron", "elevator")
