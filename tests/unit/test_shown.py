"""Pages are run as they say, and only what they ask for is shown."""

import tomllib
from pathlib import Path

import pytest

from shown import WrongPageError, answer, made, picked, put

REPORT = """\
Check of it
Two lines.

Answers ------
  How high?
    120 m
    or so
  How often?
    4

Limits -------
  + Kept

In short: well.
--all prints more."""


@pytest.mark.parametrize(
    ("shown", "wanted"),
    [
        ("head", "Check of it\nTwo lines."),
        ("end", "In short: well.\n--all prints more."),
        ("head; Answers / 2", "Check of it\nTwo lines.\n\nAnswers ------\n  How high?"),
        ("Answers | How high", "Answers ------\n  How high?\n    120 m\n    or so"),
        ("Answers | How often", "Answers ------\n  How often?\n    4"),
        (
            "Answers | How high / 2; end",
            "Answers ------\n  How high?\n    120 m\n...\nIn short: well.\n--all prints more.",
        ),
        ("Answers | How high; Answers | How often; Limits", REPORT.split("\n\n", 1)[1].rsplit("\n\n", 1)[0]),
        ("Limits; head", "Limits -------\n  + Kept\n...\nCheck of it\nTwo lines."),
        ("", ""),
    ],
)
def test_parts_of_a_report_are_picked(shown: str, wanted: str) -> None:
    assert picked(REPORT, shown) == wanted


def test_a_last_section_without_an_end_is_whole() -> None:
    assert picked("New\n\nNext ----\n  1. Open it", "Next") == "Next ----\n  1. Open it"


@pytest.mark.parametrize("shown", ["Power", "Answers | How wide"])
def test_a_part_that_is_not_there_is_named(shown: str) -> None:
    with pytest.raises(ValueError, match=shown.rpartition(" | ")[2]):
        picked(REPORT, shown)


BEFORE = """\
schema = 1  # kept
[field]
name = "here"
[[item]]
id = "pod"
mass_g = 61
[[weighing]]
of = ["pod"]
"""
ADDED = """\
[field]
elevation_m = 3
[[item]]
id = "pod"
mass_g = 66
[[weighing]]
of = ["fin"]
[[bench]]
current_A = 9
"""


def test_keys_are_put_into_a_file(tmp_path: Path) -> None:
    file = tmp_path / "new" / "model.toml"
    put(file, BEFORE)
    put(file, ADDED)
    assert "# kept" in file.read_text(encoding="utf-8")
    assert tomllib.loads(file.read_text(encoding="utf-8")) == {
        "schema": 1,
        "field": {"name": "here", "elevation_m": 3},
        "item": [{"id": "pod", "mass_g": 66}],
        "weighing": [{"of": ["pod"]}, {"of": ["fin"]}],
        "bench": [{"current_A": 9}],
    }


REFUSED = "<!-- refused -->\n```console\n$ glidewright parts hill-demo\n```\n"
SHORT = "<!-- shown: head -->\n```console\n$ glidewright parts hill-demo lead-\n```\n"


def test_a_page_is_run_in_its_order_and_a_try_is_taken_back() -> None:
    tried = '<!-- try in hill-demo/parts/own.toml -->\n```toml\n[[motor]]\nid = "m28-1020"\n```\n'
    page = made(f"# A page\n{SHORT}Then:\n{tried}{REFUSED}And again:\n{SHORT}")
    assert page.count("2 of 32 parts") == 2
    assert "parts/own.toml: must state its schema" in page
    assert page.endswith("\n```\n")


@pytest.mark.parametrize(
    "page", [REFUSED, SHORT.replace("hill-demo", "nothing"), SHORT.replace("head", "Tail")]
)
def test_a_page_that_does_not_do_what_it_says_is_an_error(page: str) -> None:
    with pytest.raises(WrongPageError, match="parts"):
        made(page)


def test_one_answer_can_be_asked_for_alone() -> None:
    asked = answer("glidewright parts hill-demo lead-", "head")
    assert asked == "Drawer of Hill Demo 2000\n2 of 32 parts, all invented for the demo."
