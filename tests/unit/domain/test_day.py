"""Days in files: one way to write them, or they would not stand in order."""

import re

import pytest

from glidewright.base.door import read_noun
from glidewright.base.errors import InputError
from glidewright.base.fields import Noun
from glidewright.domain.bench import BenchReading
from glidewright.domain.day import day_of
from glidewright.domain.logbook import PackCharge
from glidewright.domain.outcome import Outcome
from glidewright.domain.weighing import Weighing

STATED: dict[type[Noun], dict[str, object]] = {
    Weighing: {"of": ["all"], "mass_g": 590},
    BenchReading: {"current_A": 18},
    Outcome: {"step": "weigh", "went": "well"},
    PackCharge: {"pack": "p1"},
}


@pytest.mark.parametrize("noun", STATED, ids=lambda noun: noun.__name__)
@pytest.mark.parametrize("written", ["31.05.2026", "20260531", "2026-W22-7", "2026-02-30", "May"])
def test_a_day_that_would_not_sort_is_refused(noun: type[Noun], written: str) -> None:
    with pytest.raises(InputError) as refused:
        read_noun(noun, {**STATED[noun], "date": written}, "here")
    assert [str(problem) for problem in refused.value.problems] == [
        f"here: date: must be a day written year-month-day, as in 2026-05-31; {written!r} came; correct it"
    ]


@pytest.mark.parametrize("noun", STATED, ids=lambda noun: noun.__name__)
def test_a_day_is_kept_as_written(noun: type[Noun]) -> None:
    assert read_noun(noun, {**STATED[noun], "date": "2026-05-31"}, "here").date == "2026-05-31"  # type: ignore[attr-defined]


def test_only_a_charge_must_have_its_day() -> None:
    assert read_noun(Weighing, STATED[Weighing], "here").date == ""
    with pytest.raises(InputError, match="date: must be given"):
        read_noun(PackCharge, STATED[PackCharge], "here")


@pytest.mark.parametrize("written", ["20300501", "2030-W18-3", "2030-2-1", "2025-02-30", "tomorrow"])
def test_a_day_of_a_command_is_written_in_full(written: str) -> None:
    said = re.escape(f"--by: must be a day written year-month-day; {written!r} came; write 2026-05-31")
    with pytest.raises(InputError, match=said):
        day_of(written, "--by")
