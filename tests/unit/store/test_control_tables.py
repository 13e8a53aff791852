"""Controls, steering and build as a folder states them; what cannot be is said in a sentence."""

from pathlib import Path

import pytest

from glidewright.base.errors import InputError
from glidewright.data import packaged
from glidewright.domain.model import Model
from glidewright.store.reading import model_of_texts
from glidewright.store.texts import read_texts

DEMO = Path(str(packaged("demo", "hill-demo")))


@pytest.fixture
def texts() -> dict[str, str]:
    return read_texts(DEMO)


def changed(texts: dict[str, str], old: str, new: str) -> Model:
    head = texts["model.toml"]
    assert head.count(old) == 1, (old, head.count(old))
    return model_of_texts({**texts, "model.toml": head.replace(old, new)})


def refused(texts: dict[str, str], old: str, new: str) -> str:
    with pytest.raises(InputError) as error:
        changed(texts, old, new)
    assert len(error.value.problems) == 1, str(error.value)
    return str(error.value)


def test_the_demo_states_its_linkages(texts: dict[str, str]) -> None:
    model = model_of_texts(texts)
    assert [control.label for control in model.controls] == [
        "elevator",
        "rudder",
        "left spoiler",
        "right spoiler",
    ]
    first = model.controls[0]
    assert first.arm_m is not None
    assert (first.arm_m.value, first.arm_m.grade) == (0.008, "measured")
    assert first.push_way == "up"
    assert model.controls[1].push_way == "left"
    assert not model.controls[2].opens_by_push
    assert model.steering.steps == 1024
    assert model.build.fin_turn_m is not None
    assert model.build.fin_turn_m.grade == "measured"


def test_a_folder_without_these_tables_reads_as_before(texts: dict[str, str]) -> None:
    head = texts["model.toml"]
    start, end = head.index("[[control]]\nsurface"), head.index("# Bare numbers of a weighing are measured.")
    model = model_of_texts({**texts, "model.toml": head[:start] + head[end:].replace("[[weighing]]", "#", 0)})
    assert model.controls == ()
    assert model.steering.dive_speed_m_s is None
    assert model.build.tail_tilt_m is None


CASES = {
    "a servo that is not fitted": (
        'servo = "elevator servo"',
        'servo = "elevator srvo"',
        ("[[control]] 'elevator': servo", "fitted servo", "nearest known: elevator servo"),
    ),
    "a servo that is something else": (
        'servo = "elevator servo"',
        'servo = "receiver"',
        ("'receiver' is a receiver",),
    ),
    "a rod that is not fitted": ('rod = "rudder pushrod"', 'rod = "wire"', ("fitted linkage", "'wire' came")),
    "two of one name": ('name = "right spoiler"', 'name = "left spoiler"', ("'left spoiler' came twice",)),
    "a surface that nobody knows": ('surface = "rudder"', 'surface = "rudr"', ("surface", "rudr")),
    "no throw": (
        'push_gives = "left"\nrod_material = "carbon"\nguide_mm = 120\nservo_throw_deg = 42',
        'push_gives = "left"\nrod_material = "carbon"\nguide_mm = 120\nservo_throw_deg = 0',
        ("servo_throw_deg", "must be greater than 0°", "0 came"),
    ),
    "an arm of no length": ("arm_mm = 8\n", "arm_mm = 0\n", ("arm_mm", "greater than 0 mm")),
    "a key in another unit": ("arm_mm = 8\n", "arm_cm = 0.8\n", ("must be written as arm_mm",)),
    "steering twice": ("[steering]\ndive", "[[steering]]\ndive", ("must be one table [steering]",)),
    "build as a number": ("fin_turn_mm = 0.5", "fin_turn_mm = true", ("fin_turn_mm", "must be a number")),
}


@pytest.mark.parametrize("case", CASES)
def test_one_fault_is_one_sentence(texts: dict[str, str], case: str) -> None:
    old, new, words = CASES[case]
    said = refused(texts, old, new)
    for word in words:
        assert word in said
