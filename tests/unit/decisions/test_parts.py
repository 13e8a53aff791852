"""``parts``: searching the drawer, and what is said of each part."""

from pathlib import Path

import pytest

from glidewright.base.errors import InputError
from glidewright.base.figure import Given
from glidewright.base.units import unit
from glidewright.data import packaged
from glidewright.decisions.parts import Request, Result, run
from glidewright.domain.model import Model
from glidewright.domain.parts import KINDS, Motor, Servo
from glidewright.store.reading import read_model


@pytest.fixture(scope="module")
def demo() -> Model:
    return read_model(Path(str(packaged("demo", "hill-demo"))))


def ids(result: Result) -> list[str]:
    return [row.id for row in result.rows]


def test_everything_is_listed_by_kind_when_nothing_is_asked_for(demo: Model) -> None:
    result = run(demo, Request())
    assert sorted(ids(result)) == sorted(part.id for part in demo.drawer)
    kinds = [row.kind for row in result.rows]
    assert kinds == sorted(kinds, key=list(KINDS).index)
    assert (result.model, result.currency, result.parts_in_drawer) == (demo.name, "EUR", len(demo.drawer))


def test_all_words_must_stand_somewhere_whatever_their_case(demo: Model) -> None:
    assert ids(run(demo, Request(query="FOLDING 10x6"))) == ["f10x6"]
    assert ids(run(demo, Request(query="nobody measured"))) == ["f11.5x5.5"]
    assert ids(run(demo, Request(query="folding outrunner"))) == []


def test_conditions_compare_in_the_unit_of_the_key(demo: Model) -> None:
    motors = {part.id: part for part in demo.drawer if isinstance(part, Motor)}
    wanted = {
        name for name, motor in motors.items() if motor.mass_kg is not None and motor.mass_kg.value < 0.053
    }
    assert set(ids(run(demo, Request(kind="motor", query="mass_g<53")))) == wanted != set()
    assert ids(run(demo, Request(query="kv_rpm_per_V=1020"))) == ["m28-1020"]
    assert ids(run(demo, Request(query="capacity_mAh>=800 cells"))) == ["p2-800", "p3-850"]


def test_a_part_that_does_not_state_a_value_does_not_fit_its_condition(demo: Model) -> None:
    assert "m28-1020" not in ids(run(demo, Request(query="resistance_mohm>0")))


def test_only_one_kind(demo: Model) -> None:
    assert {row.kind for row in run(demo, Request(kind="pack")).rows} == {"pack"}


def test_on_hand(demo: Model) -> None:
    rows = run(demo, Request(on_hand=True)).rows
    assert rows
    assert all(row.on_hand for row in rows)


def test_ready_in_days_takes_what_is_on_hand_and_what_comes_in_time(demo: Model) -> None:
    rows = run(demo, Request(ready_in_days=4)).rows
    limit = unit("days").to_si(4)
    assert {row.id for row in rows} == {
        part.id
        for part in demo.drawer
        if part.on_hand or (part.lead_time_s and part.lead_time_s.value <= limit)
    }
    assert any(not row.on_hand for row in rows)


def test_a_part_that_does_not_say_when_it_comes_is_left_out_and_said() -> None:
    base = read_model(Path(str(packaged("demo", "hill-demo"))))
    model = base.model_copy(update={"drawer": (Servo(id="s1"), Servo(id="s2", on_hand=True)), "items": ()})
    result = run(model, Request(ready_in_days=4))
    assert ids(result) == ["s2"]
    assert "1 more fit, but nobody stated when they come: add lead_time_days or on_hand." in result.remarks


def test_an_empty_answer_says_what_to_do(demo: Model) -> None:
    assert run(demo, Request(query="zeppelin")).remarks == (
        "No part of the drawer fits; use fewer words or fewer conditions.",
    )
    bare = demo.model_copy(update={"drawer": (), "items": ()})
    assert run(bare, Request()).remarks == ("The drawer is empty; add parts to files in the folder parts/.",)


def test_a_row_says_where_the_model_has_the_part(demo: Model) -> None:
    rows = {row.id: row for row in run(demo, Request()).rows}
    assert rows["s6"].fitted_as == ("rudder servo", "elevator servo")
    assert rows["m28-1350"].fitted_as == ()


def test_a_row_has_its_main_figures_in_si_with_grade_and_band(demo: Model) -> None:
    (row,) = run(demo, Request(query="m28-1020")).rows
    assert [figure.name for figure in row.figures] == ["kv_rad_per_Vs", "max_current_A"]
    kv = row.figures[0].figure
    assert kv.value == pytest.approx(106.814, rel=1e-5)
    assert (kv.unit, kv.shown, kv.grade) == ("rad/s/V", "rpm/V", "quoted")
    assert kv.low is not None
    assert kv.high is not None
    assert kv.low < kv.value < kv.high
    assert (row.price.value, row.price.shown) == (24.90, "money")


def test_what_nobody_stated_is_unknown_and_says_so(demo: Model) -> None:
    (row,) = run(demo, Request(query="m22-1450")).rows
    assert row.postage.value is None
    assert row.postage.because == "postage is not stated"


def test_readings_of_fitted_parts_come_first_and_name_what_they_narrow(demo: Model) -> None:
    readings = run(demo, Request()).readings
    fitted = [reading.is_fitted for reading in readings]
    assert fitted == sorted(fitted, reverse=True)
    assert any("m28-1020: winding resistance" in reading.narrows for reading in readings)
    assert any("f11.5x5.5: yoke width" in reading.narrows for reading in readings)
    narrowed = [what for reading in readings for what in reading.narrows]
    assert len(narrowed) == sum(len(row.missing) for row in run(demo, Request()).rows)


def test_a_part_with_its_own_band_shows_it(demo: Model) -> None:
    servo = Servo(id="s1", mass_kg=Given(value=0.006, grade="measured", low=0.0055, high=0.007))
    model = demo.model_copy(update={"drawer": (servo,)})
    (row,) = run(model, Request()).rows
    assert (row.mass.low, row.mass.high) == (0.0055, 0.007)


@pytest.mark.parametrize(
    ("request_", "sentence"),
    [
        (Request(kind="moter"), "kind: must be a kind of part; 'moter' came; nearest known: motor"),
        (
            Request(query="mas_g<40"),
            "query: must compare a key of a part; 'mas_g' came; nearest known: mass_g",
        ),
        (
            Request(kind="servo", query="capacity_mAh>500"),
            "query: must compare a key of a part; 'capacity_mAh' came; known: dead_band_us, gear_play_deg, "
            "height_mm, idle_current_mA, lead_time_days, length_mm, mass_g, postage, price, "
            "speed_s_per_60deg, stall_current_mA, torque_Ncm, ...",
        ),
        (Request(ready_in_days=-1), "ready_in_days: must be 0 or more days; -1 came; correct it"),
        (Request(ready_in_days=float("nan")), "ready_in_days: must be 0 or more days; nan came; correct it"),
    ],
)
def test_a_request_that_makes_no_sense_gets_one_sentence(
    demo: Model, request_: Request, sentence: str
) -> None:
    with pytest.raises(InputError) as refused:
        run(demo, request_)
    assert str(refused.value) == sentence
