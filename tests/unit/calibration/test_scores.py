"""Scores that last, hold for a day, or are new in every launch: their weights keep every spread."""

import numpy as np
import pytest

from glidewright.calibration.scores import ROW_OF_INPUT, Basis, Score, of_input, part_kind, shares
from glidewright.data import coefficients
from glidewright.domain.parts import Motor, Pack
from glidewright.forecast.draws import FIXED_ORDER


@pytest.mark.parametrize("name", [*ROW_OF_INPUT, "motor.kv", "mass:pod"])
def test_the_shares_of_an_input_add_up_to_one(name: str) -> None:
    assert sum(shares(name)) == pytest.approx(1.0)
    parts = of_input(name, "", "day", "launch")
    assert sum(weight**2 for _, weight in parts) == pytest.approx(1.0)
    assert len({score for score, _ in parts}) == len(parts)


def test_every_named_input_is_one_of_a_prediction_and_has_its_row() -> None:
    assert set(ROW_OF_INPUT) <= set(FIXED_ORDER)
    assert set(ROW_OF_INPUT.values()) <= set(coefficients("flying"))


def test_parts_own_their_scores() -> None:
    assert part_kind("motor.resistance") is Motor
    assert part_kind("pack.capacity") is Pack
    assert part_kind("airframe.stall") is None
    assert part_kind("mass:motor") is None


def test_weights_take_scores_to_inputs() -> None:
    inputs = [of_input("launch.climb_speed", "", "d", "l"), of_input("motor.kv", "m", "d", "l")]
    basis = Basis([score for parts in inputs for score, _ in parts])
    weights = basis.weights(inputs)
    assert basis.size == 4
    lasting = basis.place(Score("launch.climb_speed"))
    assert weights[lasting, 0] == pytest.approx(np.sqrt(0.5))
    assert weights[lasting, 1] == 0.0
    assert weights[basis.place(Score("motor.kv", "m"))].tolist() == [0.0, 1.0]
    assert Score("motor.kv") not in basis.scores
