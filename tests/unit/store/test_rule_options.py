"""Files of rule options: what they may say, and one sentence for everything else."""

from pathlib import Path

import pytest

from glidewright.base.errors import InputError, MissingError
from glidewright.data import packaged
from glidewright.domain.rule_options import RuleOptions
from glidewright.rules.measures import MEASURE_UNITS
from glidewright.store.rule_options import options_of_text, read_rule_options

HEAD = "schema = 1\n"
RUN = '[[option]]\nname = "Run"\nmotor_run_s = 20\n'
CLIMB = '[[option]]\nname = "Climb"\n[[option.limit]]\nmeasure = "climb_rate"\nat_most_m_per_s = 4\n'


def read(text: str) -> RuleOptions:
    return options_of_text(text, "options.toml", MEASURE_UNITS)


def refused(text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(text)
    return [str(problem) for problem in caught.value.problems]


def test_an_option_states_what_it_changes_and_nothing_else() -> None:
    found = read(HEAD + 'class = "f5j"\n' + RUN + CLIMB + "window_s = 5\ntolerance_m_per_s = 0\n")
    assert found.class_id == "f5j"
    run, climb = found.options
    assert (run.motor_run_s, run.cut_height_m, run.changes) == (20.0, None, ())
    (change,) = climb.changes
    assert (change.limit.at_most, change.limit.window_s) == (4.0, 5.0)
    assert set(change.stated) == {"measure", "at_most", "window_s", "tolerance"}


def test_bounds_and_the_logger_come_out_in_si() -> None:
    text = (
        HEAD + '[[option]]\nname = "Energy"\n[[option.limit]]\nmeasure = "energy"\nat_most_Wh = 7.5\n'
        "[logger]\nheight_error_m = 2\nscale_error_percent = 1\nwarmest_C = 40\n"
    )
    found = read(text)
    # prop.at national electric class: 450 W min are 7.5 Wh, 27000 J
    assert found.options[0].changes[0].limit.at_most == pytest.approx(27000.0)
    logger = found.logger
    assert logger.height_error_m is not None
    assert logger.scale_error is not None
    assert logger.warmest_K is not None
    assert logger.noise_m is None
    assert (logger.height_error_m.value, logger.scale_error.value) == (2.0, 0.01)
    assert logger.warmest_K.value == pytest.approx(313.15)


def test_the_options_of_the_demo_read() -> None:
    found = read_rule_options(Path(str(packaged("demo", "hill-demo", "options.toml"))), MEASURE_UNITS)
    assert found.class_id == "hill-club-electric"
    assert found.invented
    assert len(found.options) >= 6


def test_the_example_in_the_papers_reads() -> None:
    paper = (Path(__file__).parents[3] / "docs" / "files.md").read_text(encoding="utf-8")
    block = paper.split("## options.toml", 1)[1].split("```toml", 1)[1].split("```", 1)[0]
    found = read(block)
    assert [option.name for option in found.options] == ["Shorter run", "Slower climb, no cut"]


CASES = {
    "no schema": (RUN, "schema: must be 1; it is missing"),
    "no option": (HEAD, "must have at least one option"),
    "unknown table": (HEAD + RUN + "[lgger]\n", "nearest known: logger"),
    "unknown key": (HEAD + RUN + "cut_hight_m = 90\n", "nearest known: cut_height_m"),
    "wrong unit": (HEAD + CLIMB.replace("m_per_s", "m"), "at_most_m_per_s"),
    "measure that is none": (
        HEAD + CLIMB.replace("climb_rate", "climb_rat"),
        "must be a known measure; 'climb_rat' came; correct it; nearest known: climb_rate",
    ),
    "height below nothing": (
        HEAD + '[[option]]\nname = "Low"\ncut_height_m = -10\n',
        "must be greater than 0.0; -10 came",
    ),
    "limit below nothing": (HEAD + CLIMB.replace("= 4", "= -4"), "zero or more; -4 came"),
    "no name": (HEAD + '[[option]]\nname = ""\nmotor_run_s = 20\n', "name"),
    "name alone": (HEAD + '[[option]]\nname = "Nothing"\n', "must change something"),
    "same name": (HEAD + RUN + RUN.replace("20", "15"), "must have a name of its own"),
    "run said twice": (
        HEAD + RUN + '[[option.limit]]\nmeasure = "motor_run"\nat_most_s = 25\n',
        "must agree with the limit motor_run; 20 s and 25 s came",
    ),
    "lifted and stated": (HEAD + CLIMB.replace("[[option.limit]]", 'lift = ["climb_rate"]\n[[option.limit]]'),
                          "must not name a limit that the option states"),
    "run lifted and stated": (HEAD + RUN + 'lift = ["motor_run"]\n', "motor_run came in both"),
    "limit said twice": (
        HEAD + CLIMB + '[[option.limit]]\nmeasure = "climb_rate"\nat_most_m_per_s = 3\n',
        "must be stated once",
    ),
    "logger that is none": (HEAD + RUN + "[logger]\nheight_error_m = 0\n", "height_error_m"),
    "broken TOML": (HEAD + "[[option\n", "valid TOML"),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_one_fault_is_one_sentence(case: str) -> None:
    text, words = CASES[case]
    said = refused(text)
    assert len(said) == 1, said
    assert words in said[0]
    assert said[0].startswith("options.toml")


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(MissingError, match="nothing with that name"):
        read_rule_options(tmp_path / "none.toml", MEASURE_UNITS)
