"""Outcomes of the test plan: from the words of a command into model.toml, whole or not at all."""

import shutil
from pathlib import Path

import pytest

from glidewright.base.errors import InputError
from glidewright.store.outcomes import write_outcome
from glidewright.store.reading import read_model


@pytest.fixture
def folder(tmp_path: Path, demo_folder: Path) -> Path:
    return Path(shutil.copytree(demo_folder, tmp_path / "model"))


STEPS = ("weigh", "balance", "power", "hand_glide")


def test_an_outcome_is_read_back_and_teaches_a_weighing(folder: Path) -> None:
    before = read_model(folder)
    after = write_outcome(
        folder, STEPS, well="balance", found=["mass_g=601", "x_mm=66,5"], note="scale", day="2026-05-01"
    )
    assert after == read_model(folder)
    assert after.outcomes[-1].note == "scale"
    assert after.weighings[:-1] == before.weighings
    taught = after.weighings[-1]
    assert taught.of == ("all",)
    assert taught.mass_kg is not None and taught.mass_kg.value == pytest.approx(0.601)
    assert taught.x_m is not None and taught.x_m.value == pytest.approx(0.0665)


def test_a_reading_at_rest_teaches_the_bench_and_others_do_not(folder: Path) -> None:
    write_outcome(folder, STEPS, well="hand_glide", found=["current_A=9"], day="2026-05-01")
    assert read_model(folder).bench == ()
    write_outcome(folder, STEPS, badly="power", found=["current_A=9", "voltage_V=7.5"], day="2026-05-01")
    reading = read_model(folder).bench[-1]
    assert reading.current_A is not None and reading.current_A.value == 9.0


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ({}, "must name one step"),
        ({"well": "weigh", "badly": "weigh"}, "both came"),
        ({"well": "wigh"}, "nearest known: weigh"),
        ({"well": "weigh", "found": ["mass_g"]}, "no = came"),
        ({"well": "weigh", "found": ["mas_g=1"]}, "nearest known: mass_g"),
        ({"well": "weigh", "found": ["mass_g=heavy"]}, "must be a number; 'heavy' came"),
        ({"well": "weigh", "found": ["mass_g=-3"]}, "must be greater than 0 g"),
        ({"well": "weigh", "found": ["mass_g=nan"]}, "must be"),
        ({"well": "weigh", "day": "yesterday"}, "written year-month-day, as in 2026-05-31; 'yesterday' came"),
    ],
)
def test_what_cannot_be_used_is_said_and_changes_nothing(
    folder: Path, words: dict[str, object], message: str
) -> None:
    before = (folder / "model.toml").read_bytes()
    with pytest.raises(InputError, match=message):
        write_outcome(folder, STEPS, **words)  # type: ignore[arg-type]
    assert (folder / "model.toml").read_bytes() == before
