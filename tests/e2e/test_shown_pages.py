"""The tutorial and the how-to pages show what their commands print, run in order on a copy of the demo."""

from pathlib import Path

import pytest

import make_readme
from glidewright.base.registry import objects_below
from glidewright.faces.cli import commands
from glidewright.faces.cli.job import Job
from make_shown import PAGES
from shown import ROOT, STEP, made, without_digits

JOBS = {job.name for job in objects_below(commands.__name__, commands.__path__, "JOB", Job)}
each_page = pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)


def text_of(page: Path) -> str:
    return page.read_text(encoding="utf-8")


@each_page
def test_a_page_shows_what_is_printed(page: Path) -> None:
    text = text_of(page)
    fresh = made(text)  # ends with an error for a command that is refused, and for a part that is gone
    assert without_digits(fresh) == without_digits(text), "run python docs/make_shown.py"


def test_the_readme_shows_what_is_printed() -> None:
    text = text_of(ROOT / "README.md")
    assert without_digits(make_readme.renewed(text)) == without_digits(text)


@each_page
def test_every_console_and_toml_block_of_a_page_is_run(page: Path) -> None:
    text = text_of(page)
    steps = list(STEP.finditer(text))
    kinds = [step["kind"] for step in steps]
    assert kinds.count("console") == text.count("```console")
    assert kinds.count("toml") == text.count("```toml")
    assert all(step["text"].strip() for step in steps if step["kind"])


@each_page
def test_a_page_fits_on_a_terminal(page: Path) -> None:
    blocks = [step["text"] for step in STEP.finditer(text_of(page)) if step["how"] == "shown"]
    assert max((len(line) for text in blocks for line in text.splitlines()), default=0) <= 80


def test_every_command_is_shown_on_a_how_to_page() -> None:
    shown = [step["command"] for page in PAGES[1:] for step in STEP.finditer(text_of(page))]
    assert JOBS - {command.split()[1] for command in shown if command} == set()


def test_the_tutorial_ends_with_what_the_flights_taught() -> None:
    steps = list(STEP.finditer(text_of(PAGES[0])))
    checks = [step["text"] for step in steps if step["command"].endswith("check hill-demo")]
    assert len(checks) == 2
    assert checks[0] != checks[1]
