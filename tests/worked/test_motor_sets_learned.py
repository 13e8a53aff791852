"""Published motor tests through the door of a flyer: bench readings of a model, learned by calibration.

The wide prior that a seller's label leaves is given, volts, amps and revolutions with four propellers are
read, and the posterior is held against the label and the independent fit.
"""

import math

import numpy as np
import pytest
from outside import within

from glidewright.base.figure import Given
from glidewright.calibration.learned import correction_of
from glidewright.domain.bench import BenchReading
from glidewright.domain.correction import Correction
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Controller, Motor, Pack, Part, Propeller
from glidewright.forecast.setup import prepare

RPM = math.pi / 30.0
INCH_m = 0.0254

# Czech Technical University, MRS group, hardware documentation, motor tests: 780 rpm/V outrunner at full
# throttle: propeller (diameter and pitch in inches by its mark), volts, amps, rpm.
SET_780 = (
    ("11x4.7", 11.0, 4.7, 15.95, 24.17, 8951.0),
    ("11x5.5", 11.0, 5.5, 15.91, 22.97, 9168.0),
    ("11x5", 11.0, 5.0, 16.02, 23.53, 9159.0),
    ("10x4.5", 10.0, 4.5, 16.26, 19.88, 9836.0),
)
CTU = "Czech Technical University, MRS group, motor tests"
BECAUSE = "the 80 % band of what the readings leave open, twice as wide"


def measured(value: float) -> Given:
    return Given(value=value, grade="measured")


@pytest.fixture(scope="module")
def on_the_bench(demo: Model) -> Model:
    """The motor of the set in the demo, four cells, the four propellers in the drawer, its readings."""
    motor = Motor(
        id="m780", kv_rad_per_Vs=Given(value=780.0 * RPM, grade="quoted"), mass_kg=Given(value=0.080)
    )
    pack = next(part for part in demo.drawer if isinstance(part, Pack))
    pack = pack.model_copy(update={"id": "p4", "cells": 4})
    controller = next(part for part in demo.drawer if isinstance(part, Controller) and part.id == "c40")
    propellers = [
        Propeller(
            id=name, diameter_m=Given(value=size * INCH_m), pitch_m=Given(value=pitch * INCH_m), folding=False
        )
        for name, size, pitch, *_ in SET_780
    ]
    fitted: dict[str, Part] = {
        "motor": motor,
        "pack": pack,
        "controller": controller,
        "propeller": propellers[0],
    }
    items = tuple(Item(name=item.name, part=fitted.get(item.part.kind, item.part)) for item in demo.items)
    bench = tuple(
        BenchReading(
            voltage_V=measured(volts),
            current_A=measured(amps),
            revs_per_s=measured(rpm / 60.0),
            propeller=name,
        )
        for name, _, _, volts, amps, rpm in SET_780
    )
    drawer = (*demo.drawer, motor, pack, *propellers)
    return demo.model_copy(update={"items": items, "weighings": (), "bench": bench, "drawer": drawer})


@pytest.fixture(scope="module")
def learned(on_the_bench: Model) -> Correction:
    return correction_of(on_the_bench)


def constants(model: Model, correction: Correction | None) -> tuple[np.ndarray, np.ndarray]:
    """Draws of Kv in rpm/V and of the whole resistance of motor, leads and controller in ohm."""
    setup = prepare(model, None, 1024, correction)
    ohm = setup["motor.resistance"] + setup["motor.apparent_resistance"] + setup["controller.resistance"]
    return setup["motor.kv"] / RPM, ohm


def test_the_780_set_is_learned_from_its_readings(on_the_bench: Model, learned: Correction) -> None:
    kv, ohm = constants(on_the_bench, learned)
    for what, draws, value, unit, source in (
        ("Kv learned from the 780 set", kv, 780.0, "rpm/V", f"{CTU}, its label"),
        ("resistance learned from the 780 set", ohm, 0.183, "ohm", f"{CTU}, an independent fit"),
    ):
        low, middle, high = np.quantile(draws, (0.1, 0.5, 0.9))
        width = high - low
        within(what, float(middle), value - width, value + width, unit=unit, source=source, because=BECAUSE)
        assert low <= value <= high  # the band itself holds it


def test_readings_tell_more_than_the_label(on_the_bench: Model, learned: Correction) -> None:
    before, after = constants(on_the_bench, None), constants(on_the_bench, learned)
    widths = [[float(np.ptp(np.quantile(draws, (0.1, 0.9)))) for draws in both] for both in (before, after)]
    assert widths[1][0] < widths[0][0]
    assert widths[1][1] < 0.4 * widths[0][1]


def test_another_propeller_on_the_bench_has_errors_of_its_own(
    on_the_bench: Model, learned: Correction
) -> None:
    # propellers that only lay in the drawer are no part of the model's own correction
    assert [name for name in learned.names if "@" in name] == []
    alone = correction_of(on_the_bench.model_copy(update={"bench": on_the_bench.bench[:1]}))
    sigma = {
        key: math.sqrt(own.covariance[place, place])
        for key, own in (("alone", alone), ("all", learned))
        for place in [own.names.index("motor.apparent_resistance")]
    }
    assert sigma["all"] < sigma["alone"]
