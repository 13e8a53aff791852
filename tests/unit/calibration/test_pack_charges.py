"""What charges of packs say: capacity between resting volts, resistance, and what both teach."""

import numpy as np
import pytest

from glidewright.base.figure import Given
from glidewright.calibration.pack_charges import learn_from_charges, readings_of
from glidewright.calibration.posterior import Posterior
from glidewright.calibration.scores import Score
from glidewright.domain.logbook import PackCharge
from glidewright.domain.model import Model
from glidewright.domain.parts import Pack
from glidewright.models.power.pack import (
    CELL_VOLTAGE_SIGMA_V,
    open_circuit_voltage_V,
    resting_charge,
    temperature_factor,
)


def measured(value: float) -> Given:
    return Given(value=value, grade="measured")


@pytest.fixture(scope="module")
def pack(demo: Model) -> Pack:
    found = demo.first(Pack)
    assert found is not None
    return found


def charge(put_back_mAh: float, state: float, **own: Given) -> PackCharge:
    volts = float(open_circuit_voltage_V(state, 2))
    return PackCharge(
        pack="p2-550",
        date="2025-05-03",
        put_back_As=measured(3.6 * put_back_mAh),
        resting_before_V=measured(volts),
        **own,
    )


def test_resting_volts_tell_the_charge_state() -> None:
    for state in (0.1, 0.35, 0.5, 0.8, 1.0):
        assert float(resting_charge(open_circuit_voltage_V(state, 3), 3)) == pytest.approx(state, abs=1e-9)


def test_capacity_is_charge_over_the_change_of_state(pack: Pack) -> None:
    # by hand: 400 mAh fill the pack from 20 % to full, so it holds 400 / 0.8 = 500 mAh
    (found,) = readings_of(pack, [charge(400.0, 0.2)])
    assert found.capacity_As is not None
    low, middle, high = np.quantile(found.capacity_As / 3.6, (0.1, 0.5, 0.9))
    assert middle == pytest.approx(500.0, rel=0.02)
    # charger 3 %, cells of another make: never surer than the charger
    assert 0.025 < (high - low) / (2.0 * middle) < 0.12


def test_a_charge_from_nearly_full_says_nothing_of_the_capacity(pack: Pack) -> None:
    (found,) = readings_of(pack, [charge(60.0, 0.9)])
    assert found.capacity_As is None


def test_volts_after_the_charge_count_too(pack: Pack) -> None:
    after = measured(float(open_circuit_voltage_V(0.7, 2)))
    (found,) = readings_of(pack, [charge(250.0, 0.2, resting_after_V=after)])
    assert found.capacity_As is not None
    assert float(np.median(found.capacity_As)) / 3.6 == pytest.approx(500.0, rel=0.04)


def test_resistance_is_told_at_the_usual_temperature(pack: Pack) -> None:
    cold = charge(400.0, 0.2, resistance_ohm=measured(0.060), temperature_K=measured(283.15))
    (found,) = readings_of(pack, [cold])
    assert found.resistance_ohm is not None
    expected = 0.060 / float(temperature_factor(283.15))
    assert float(np.median(found.resistance_ohm)) == pytest.approx(expected, rel=1e-4)


def test_ratios_know_a_fade_better_than_the_capacities(pack: Pack) -> None:
    first, last = readings_of(pack, [charge(440.0, 0.2), charge(352.0, 0.2)])
    assert first.capacity_As is not None
    assert last.capacity_As is not None
    ratio = last.capacity_As / first.capacity_As
    assert float(np.median(ratio)) == pytest.approx(0.8, abs=0.015)
    alone = np.std(last.capacity_As) / np.mean(last.capacity_As)
    assert np.std(ratio) / np.mean(ratio) < np.sqrt(2.0) * alone


def test_charges_teach_of_the_pack(demo: Model) -> None:
    charges = [charge(400.0, 0.2, resistance_ohm=measured(0.070)) for _ in range(3)]
    found = learn_from_charges(demo, charges, Posterior.none())
    names = [Score(name, "p2-550") for name in ("pack.capacity", "pack.resistance")]
    mean, covariance = found.over(names)
    # Another way: the prior drawn at random and weighted by the readings. 500 mAh was put back between the
    # states, the label says 550; one shift of the open-circuit curve holds for all three.
    random = np.random.default_rng(1)
    z = random.standard_normal((2, 200_000))
    capacity = 550.0 * 1.08 ** (z[0] / 1.2816)  # grade quoted: 8 %
    volts = float(open_circuit_voltage_V(0.2, 2))
    state = resting_charge(volts - 2 * CELL_VOLTAGE_SIGMA_V * z[1], 2)
    by_volt = (resting_charge(volts + 0.001, 2) - resting_charge(volts - 0.001, 2)) / 0.002
    sigma = np.hypot(np.log(1.03) / 1.2816, by_volt * volts * np.log(1.003) / 1.2816 / 0.8)
    weight = np.exp(-1.5 * (np.log(400.0 / (capacity * (1.0 - state))) / sigma) ** 2)
    weight /= weight.sum()
    assert mean[0] == pytest.approx(weight @ z[0], abs=0.1)
    spread = np.sqrt(weight @ z[0] ** 2 - (weight @ z[0]) ** 2)
    assert np.sqrt(covariance[0, 0]) == pytest.approx(spread, abs=0.1)
    assert mean[1] > 0.5  # 70 mohm against a prior of 52 (36 to 82)
    assert covariance[1, 1] < 0.5


def test_charges_of_a_pack_in_the_drawer_teach_of_that_pack(demo: Model) -> None:
    other = charge(600.0, 0.2).model_copy(update={"pack": "p2-800"})
    found = learn_from_charges(demo, [other], Posterior.none())
    assert {score.of for score in found.scores} == {"p2-800"}


def test_no_charge_teaches_nothing(demo: Model) -> None:
    prior = Posterior.none()
    assert learn_from_charges(demo, [], prior) is prior
    bare = PackCharge(pack="p2-550", date="2025-05-03", note="only a note")
    assert learn_from_charges(demo, [bare], prior).scores == ()
