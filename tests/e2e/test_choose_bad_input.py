"""Bad input of ``choose`` through the command line: one sentence, exit code 2, nothing written."""

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
Picture = Callable[[Path], dict[str, bytes]]

CASES: dict[str, tuple[tuple[str, ...], str]] = {
    "unknown goal": (("--goal", "fast"), "goal: must be one of the goals; 'fast' came; known: cost"),
    "goal twice": (("--goal", "mass", "--goal", "mass"), "must be stated once; 'mass' came 2 times"),
    "need that is none": (("--need", "height"), "must be a goal, >= or <=, and a number; 'height' came"),
    "needs that exclude each other": (
        ("--need", "mass>=600", "--need", "mass<=500"),
        "mass >= 600 g and mass <= 500 g exclude each other; loosen one",
    ),
    "need that nothing meets": (("--need", "launches>=90"), "with launches >= 90; the best of"),
    "needs that contradict each other": (
        ("--need", "height>=120", "--need", "mass<=570"),
        "they contradict each other: of",
    ),
    "a day in the past": (("--by", "2020-02-29"), "must be today or later; 2020-02-29 came and today is"),
    "a day in short": (("--by", "20300501"), "--by: must be a day written year-month-day; '20300501' came"),
    "no day": (("--by", "2025-02-30"), "--by: must be a day written year-month-day; '2025-02-30' came"),
    "nothing legal on hand": (("--buy", "0"), "the nearest miss, m28-1020 + c30 + p2-550 + "),
    "a rate that is none": (
        ("--rate", "USD"),
        "--rate: must be written as CURRENCY=NUMBER, the number above 0; 'USD' came",
    ),
    "a file that is not there": (("--parts", "nowhere.toml"), "nothing with that name exists"),
}


def assert_refused(ran: Any, words: str) -> None:
    assert ran.code == 2
    assert ran.out == ""
    assert ran.err.count("\n") == 1, ran.err
    assert ran.err.startswith("glidewright: ")
    assert words in ran.err


@pytest.mark.parametrize("case", CASES)
def test_one_fault_is_one_sentence(folder: Path, run: Run, picture: Picture, case: str) -> None:
    options, words = CASES[case]
    before = picture(folder)
    assert_refused(run("choose", folder, *options), words)
    assert picture(folder) == before


def test_the_same_fault_as_json(folder: Path, run: Run) -> None:
    ran = run("choose", folder, "--goal", "fast", "--json")
    assert (ran.code, ran.err) == (2, "")
    assert ran.body["command"] == "choose"
    assert "'fast' came" in ran.body["error"]


def test_an_empty_drawer(tmp_path: Path, run: Run) -> None:
    (tmp_path / "model.toml").write_text(
        'schema = 1\nname = "Plank"\n[airframe]\nspan_m = 2\nwing_area_dm2 = 36\n'
        '[[item]]\nid = "wings"\nmass_g = 300\nx_mm = 70\n',
        encoding="utf-8",
    )
    assert_refused(run("choose", tmp_path), "the drawer has none; add them to a file in parts/")


def test_a_class_that_no_build_keeps(folder: Path, run: Run) -> None:
    (folder / "classes").mkdir()
    (folder / "classes" / "featherweight.toml").write_text(
        'schema = 1\ntitle = "Featherweight (invented)"\n[[limit]]\nmeasure = "mass"\nat_most_g = 480\n',
        encoding="utf-8",
    )
    model = folder / "model.toml"
    text = model.read_text(encoding="utf-8").replace("hill-club-electric", "featherweight")
    model.write_text(text, encoding="utf-8")
    ran = run("choose", folder, "--buy", "1")
    assert_refused(ran, "must find a combination that keeps every limit; none of 360 does: most, ")
    assert "the nearest miss, m22-1450 + " in ran.err
    assert "breaks mass by " in ran.err


def test_prices_in_another_currency_without_a_rate(folder: Path, run: Run, demo_folder: Path) -> None:
    further = folder.parent / "list.toml"
    text = (demo_folder.parent / "hill-catalogue.toml").read_text(encoding="utf-8")
    further.write_text(text.replace('currency = "EUR"', 'currency = "CHF"'), encoding="utf-8")
    assert_refused(run("choose", folder, "--parts", further), "CHF came; add --rate CHF=NUMBER")


def test_a_name_that_stands_in_drawer_and_list(folder: Path, run: Run, demo_folder: Path) -> None:
    further = folder.parent / "list.toml"
    shutil.copy(demo_folder.parent / "hill-catalogue.toml", further)
    further.write_text(further.read_text(encoding="utf-8").replace('"k18"', '"c30"'), encoding="utf-8")
    assert_refused(run("choose", folder, "--parts", further), "'c30' is in the drawer already; rename one")
