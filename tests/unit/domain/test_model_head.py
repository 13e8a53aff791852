"""Hours and skill at the head of a model: read with their unit and grade, refused with a sentence."""

from pathlib import Path

import pytest

from glidewright.base.errors import InputError
from glidewright.store.reading import read_model

BASE = """\
schema = 1
{head}
[airframe]
span_m = 2
wing_area_dm2 = 36
"""


def folder_with(tmp_path: Path, head: str) -> Path:
    (tmp_path / "model.toml").write_text(BASE.format(head=head), encoding="utf-8")
    return tmp_path


def test_hours_and_skill_are_read(tmp_path: Path) -> None:
    model = read_model(
        folder_with(tmp_path, 'name = "A"\nbuild_hours = 40\nskill = "improver"\ngrade = "typical"')
    )
    assert model.build_time_s is not None
    assert (model.build_time_s.value, model.build_time_s.grade) == (40 * 3600.0, "typical")
    assert model.skill == "improver"


def test_neither_need_be_stated(tmp_path: Path) -> None:
    model = read_model(folder_with(tmp_path, 'name = "A"'))
    assert (model.build_time_s, model.skill) == (None, None)


@pytest.mark.parametrize(
    ("head", "words"),
    [
        ('build_hours = "40 h"', ("model.toml: build_hours", "must be a number in h", "'40 h' came")),
        ("build_hours = -1", ("model.toml: build_hours", "at least 0")),
        (
            'skill = "novice"',
            ("model.toml: skill", "'beginner', 'improver', 'experienced' or 'expert'", "novice"),
        ),
    ],
)
def test_what_makes_no_sense_is_one_sentence(tmp_path: Path, head: str, words: tuple[str, ...]) -> None:
    with pytest.raises(InputError) as refused:
        read_model(folder_with(tmp_path, f'name = "A"\n{head}'))
    assert len(refused.value.problems) == 1
    for word in words:
        assert word in str(refused.value)
