"""Every measure and every shipped class file keeps the contract."""

import numpy as np
import pytest

from glidewright.base.errors import GlidewrightError
from glidewright.base.figure import Given
from glidewright.base.units import BY_SYMBOL
from glidewright.domain.airframe import Airframe
from glidewright.domain.class_limits import CHECK_NOTE, ClassLimits, Limit
from glidewright.domain.field import Field
from glidewright.domain.launch_plan import LaunchPlan
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Motor, Pack, Propeller
from glidewright.forecast.prediction import Prediction
from glidewright.models.score.points import height_bonus, height_deduction, motor_deduction, time_points
from glidewright.rules.class_rules import judge_class
from glidewright.rules.measure import WORDS, Measure
from glidewright.rules.measures import MEASURE_UNITS, MEASURES
from glidewright.store.class_files import list_classes, read_class

COUNT = 16
RESULTS = (
    "mass_kg",
    "span_m",
    "wing_area_m2",
    "tail_area_m2",
    "wing_loading_kg_m2",
    "cells",
    "capacity_As",
    "pack_full_voltage_V",
    "controls",
    "motor_run_s",
    "height_counted_m",
    "mean_climb_m_s",
    "best_climb_m_s",
    "energy_J",
    "spoiler_setback_m",
)
# what only a person with a gauge at the model can answer
AT_THE_MODEL = {"nose_radius"}
# what is known even of a model without parts and results: without a motor there is no motor run
KNOWN_OF_NOTHING = {"motor_run": 0.0}
each_measure = pytest.mark.parametrize("measure", MEASURES.values(), ids=list(MEASURES))
each_class = pytest.mark.parametrize("class_id", list_classes(None))


def model(*, bare: bool = False) -> Model:
    parts = (
        Motor(id="motor", kv_rad_per_Vs=Given(value=107.0), mass_kg=Given(value=0.052)),
        Pack(id="pack", cells=2, capacity_As=Given(value=1980.0), mass_kg=Given(value=0.034)),
        Propeller(id="blades", diameter_m=Given(value=0.2794), pitch_m=Given(value=0.1524)),
    )
    return Model(
        name="test",
        airframe=Airframe(
            span_m=Given(value=2.0),
            wing_area_m2=Given(value=0.36),
            controls=() if bare else ("rudder", "elevator"),
            structure="" if bare else "wood",
        ),
        field=Field(),
        launch=LaunchPlan(),
        items=() if bare else tuple(Item(name=part.id, part=part) for part in parts),
    )


def full(rule: ClassLimits | None = None) -> Prediction:
    rising = np.linspace(1.0, 2.0, COUNT)
    return Prediction(model(), rule, COUNT, dict.fromkeys(RESULTS, rising))


def empty(rule: ClassLimits | None = None) -> Prediction:
    why = dict.fromkeys(RESULTS, "not told for this test")
    return Prediction(model(bare=True), rule, COUNT, {}, unknown=why)


def a_limit(measure: Measure) -> Limit:
    if measure.unit == WORDS:
        return Limit(measure=measure.name, allowed=("rudder", "elevator", "wood", "direct"), unit=WORDS)
    return Limit(measure=measure.name, at_most=1e9, unit=measure.unit, shown=measure.shown)


def test_there_are_measures_and_classes() -> None:
    assert len(MEASURES) >= 15
    assert len(list_classes(None)) >= 12


@each_measure
def test_name_title_help_and_unit(measure: Measure) -> None:
    assert measure.name.isidentifier()
    assert measure.title
    assert len(measure.help) > 5
    if measure.unit == WORDS:
        assert measure.shown == ""
    else:
        assert BY_SYMBOL[measure.shown].si == measure.unit
    assert not measure.result or measure.result in RESULTS


@each_measure
def test_a_full_prediction_is_answered(measure: Measure) -> None:
    rule = ClassLimits(id="t", title="T", limits=(a_limit(measure),))
    (found,) = judge_class(full(rule))
    if measure.name in AT_THE_MODEL:
        assert found.severity == "unknown"
        return
    assert (found.kept, found.chance) == (True, 1.0)
    if measure.predicted is not None:
        draws = measure.predicted(full(), a_limit(measure))
        assert not isinstance(draws, str)
        assert draws.shape == (COUNT,)
        assert np.isfinite(draws).all()


@each_measure
def test_an_empty_prediction_is_unknown_and_says_why(measure: Measure) -> None:
    rule = ClassLimits(id="t", title="T", limits=(a_limit(measure),))
    (found,) = judge_class(empty(rule))
    if measure.name in KNOWN_OF_NOTHING:
        assert found.value.value == KNOWN_OF_NOTHING[measure.name]
        return
    assert (found.kept, found.chance, found.severity) == (None, None, "unknown")
    assert len(found.because) > len("not known: ")
    assert found.value.value is None


@each_class
def test_a_shipped_class_reads_and_cites(class_id: str) -> None:
    found = read_class(None, class_id, MEASURE_UNITS)
    assert found.title
    assert found.edition
    assert found.source
    assert CHECK_NOTE in found.note
    assert found.invented == ("invented" in found.title.lower())
    assert found.invented or found.open_points
    for limit in found.limits:
        assert limit.source, limit.measure
        assert limit.definition, limit.measure


@each_class
def test_a_shipped_class_is_judged_without_a_gap(class_id: str) -> None:
    found = read_class(None, class_id, MEASURE_UNITS)
    assert len(judge_class(full(found))) == len(found.limits)
    assert len(judge_class(empty(found))) == len(found.limits)


@each_class
def test_a_landing_table_names_its_source(class_id: str) -> None:
    score = read_class(None, class_id, MEASURE_UNITS).score
    if score is not None and score.landing:
        assert score.landing_source
        points = [step.points for step in score.landing]
        assert points == sorted(points, reverse=True)


@each_class
def test_a_flight_is_scored_or_the_missing_number_is_named(class_id: str) -> None:
    score = read_class(None, class_id, MEASURE_UNITS).score
    if score is None:
        return
    drive = score.drives[0].name if score.drives else ""
    taken = height_deduction(score.height, 90.0) + motor_deduction(score, 20.0, drive)
    try:
        assert time_points(score, 300.0) + height_bonus(score, 90.0) > taken
    except GlidewrightError as refused:
        assert "does not state" in str(refused)
        assert score.points_per_s is None or score.target_time_s is None


def test_exactly_the_invented_class_has_a_climb_limit_a_height_limit_and_a_motor_run() -> None:
    wanted = {"climb_rate", "launch_height", "motor_run"}
    having = [
        class_id
        for class_id in list_classes(None)
        if wanted <= {limit.measure for limit in read_class(None, class_id, MEASURE_UNITS).limits}
    ]
    assert having == ["hill-club-electric"]
