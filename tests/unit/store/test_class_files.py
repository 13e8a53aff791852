from pathlib import Path

import pytest

from glidewright.base.errors import InputError, MissingError
from glidewright.domain.class_limits import ClassLimits
from glidewright.store.class_files import list_classes, read_class

MEASURES = {
    "span": "m",
    "mass": "kg",
    "wing_loading": "kg/m2",
    "cells": "1",
    "climb_rate": "m/s",
    "motor_run": "s",
    "structure": "words",
}
HEAD = 'schema = 1\ntitle = "Test"\n'
SPAN = '[[limit]]\nmeasure = "span"\n'


def read(folder: Path, text: str) -> ClassLimits:
    (folder / "classes").mkdir(exist_ok=True)
    (folder / "classes" / "own.toml").write_text(text, encoding="utf-8")
    return read_class(folder, "own", MEASURES)


def refused(folder: Path, text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(folder, text)
    return [str(problem) for problem in caught.value.problems]


def test_bounds_come_out_in_si_whatever_the_unit_of_the_key(tmp_path: Path) -> None:
    limits = """
[[limit]]
measure = "span"
at_most_mm = 2000
tolerance_cm = 0.5
[[limit]]
measure = "wing_loading"
at_least_g_per_dm2 = 12
at_most_g_per_dm2 = 20
[[limit]]
measure = "cells"
at_most = 2
[[limit]]
measure = "climb_rate"
at_most_m_per_s = 5
window_s = 5
"""
    span, loading, cells, climb = read(tmp_path, HEAD + limits).limits
    assert (span.at_most, span.tolerance, span.unit, span.shown) == (2.0, 0.005, "m", "mm")
    # 1 g/dm2 is 0.1 kg/m2
    assert (loading.at_least, loading.at_most) == pytest.approx((1.2, 2.0))
    assert (cells.at_most, cells.shown) == (2.0, "")
    assert (climb.at_most, climb.window_s) == (5.0, 5.0)


def test_a_file_of_the_model_folder_goes_before_the_packaged_one(tmp_path: Path) -> None:
    (tmp_path / "classes").mkdir()
    (tmp_path / "classes" / "f5j.toml").write_text(HEAD, encoding="utf-8")
    assert read_class(tmp_path, "f5j", MEASURES).title == "Test"
    assert "f5j" in list_classes(None)
    assert list_classes(tmp_path).count("f5j") == 1


def test_an_own_class_is_listed_with_the_packaged_ones(tmp_path: Path) -> None:
    read(tmp_path, HEAD)
    assert {"own", "hill-club-electric"} <= set(list_classes(tmp_path))


@pytest.mark.parametrize("class_id", ["hill-club-electrik", "../model", "", "F5J"])
def test_an_unknown_class_offers_names(tmp_path: Path, class_id: str) -> None:
    with pytest.raises(MissingError, match="known: "):
        read_class(tmp_path, class_id, MEASURES)


def test_the_nearest_class_is_offered(tmp_path: Path) -> None:
    with pytest.raises(MissingError, match="nearest known: hill-club-electric"):
        read_class(tmp_path, "hill-club-electrik", MEASURES)


@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        ('title = "Test"\n', "schema", "write schema = 1"),
        ('schema = 2\ntitle = "Test"\n', "schema", "2 came"),
        ("schema = 1\n", "title", "is missing"),
        (HEAD + 'tilte = "x"\n', "tilte", "nearest known: title"),
        (HEAD + '[[limit]]\nmeasure = "spam"\nat_most_m = 2\n', "limit spam: measure", "known: span"),
        (HEAD + "[[limit]]\nat_most_m = 2\n", "limit 1: measure", "it is missing"),
        (HEAD + SPAN, "limit span", "must have a bound"),
        (HEAD + SPAN + "at_most_g = 2\n", "limit span: at_most_g", "at_most_m, at_most_cm"),
        (HEAD + SPAN + "at_most = 2\n", "limit span: at_most", "at_most_mm"),
        (HEAD + SPAN + "at_most_m = nan\n", "limit span: at_most_m", "nan came"),
        (HEAD + SPAN + "at_most_m = inf\n", "limit span: at_most_m", "inf came"),
        (HEAD + SPAN + "at_most_m = -2\n", "limit span: at_most_m", "-2 came"),
        (HEAD + SPAN + 'at_most_m = "2 m"\n', "limit span: at_most_m", "must be a number"),
        (HEAD + SPAN + "at_most_m = true\n", "limit span: at_most_m", "must be a number"),
        (HEAD + SPAN + "at_most_m = 2\nat_most_mm = 2000\n", "limit span: at_most_mm", "stated once"),
        (HEAD + SPAN + "at_least_m = 3\nat_most_m = 2\n", "limit span", "swap them"),
        (HEAD + SPAN + "at_most_m = 2\nchance_needed = 0.2\n", "limit span: chance_needed", "0.2 came"),
        (HEAD + SPAN + "at_most_m = 2\nwindow_s = 0\n", "limit span: window_s", "greater than 0"),
        (HEAD + SPAN + 'at_most_m = 2\nsorce = "x"\n', "limit span: sorce", "nearest known: source"),
        (HEAD + SPAN + 'at_most_m = 2\nallowed = ["x"]\n', "limit span: allowed", "is a number"),
        (HEAD + '[[limit]]\nmeasure = "structure"\n', "limit structure", "add allowed"),
        (HEAD + '[[limit]]\nmeasure = "structure"\nat_most = 2\n', "at_most", "words, not numbers"),
        (HEAD + "[limit]\nat_most_m = 2\n", "limit", "[[limit]]"),
        (HEAD + "launch = 3\n", "launch", "[launch]"),
        (HEAD + "[launch]\nmotor_run_min = 30\n", "motor_run_min", "must be written as motor_run_s"),
        (HEAD + "[launch]\nmotor_run_s = -1\n", "motor_run_s", "-1 came"),
        (HEAD + '[launch]\nmotor_run_s = "30"\n', "motor_run_s", "must be a number"),
        (HEAD + "[launch]\ncut_height_m = nan\n", "cut_height_m", "nan came"),
        (HEAD + '[height]\ncount = "top"\n', "count", "'highest'"),
        (HEAD + "[score]\npoints_per_s = -1\n", "points_per_s", "-1 came"),
        (
            HEAD + "[score]\nlanding = [{ within_m = 2, points = 1 }, { within_m = 1, points = 2 }]\n",
            "landing",
            "rise",
        ),
        (HEAD + "[score]\nheight = [{ above_m = 200 }]\n", "score.height 1: points_per_m", "is missing"),
        (
            HEAD + '[launch]\nmotor_run_s = 30\n[[limit]]\nmeasure = "motor_run"\nat_most_s = 20\n',
            "limit motor_run",
            "make them the same",
        ),
        (HEAD + "[[limit]\n", "own.toml", "line 3"),
    ],
)
def test_bad_files_get_a_sentence_with_the_place(tmp_path: Path, text: str, place: str, words: str) -> None:
    problems = refused(tmp_path, text)
    assert any(place in problem and words in problem for problem in problems), problems
    assert all(problem.startswith("classes/own.toml") for problem in problems)


def test_every_problem_of_a_file_is_named_at_once(tmp_path: Path) -> None:
    text = HEAD + 'colour = "red"\n' + SPAN + "at_most_kg = 2\n[launch]\nmotor_run_s = 0\n"
    assert len(refused(tmp_path, text)) == 3


def test_a_file_in_another_encoding_is_refused(tmp_path: Path) -> None:
    (tmp_path / "classes").mkdir()
    (tmp_path / "classes" / "own.toml").write_bytes(b'schema = 1\ntitle = "M\xfcller"\n')
    with pytest.raises(InputError, match="UTF-8"):
        read_class(tmp_path, "own", MEASURES)


def test_a_class_without_limits_is_a_class(tmp_path: Path) -> None:
    found = read(tmp_path, HEAD)
    assert (found.limits, found.score, found.motor_run_s) == ((), None, None)


def test_a_file_too_large_is_refused_before_it_is_read(tmp_path: Path) -> None:
    (tmp_path / "classes").mkdir()
    (tmp_path / "classes" / "own.toml").write_bytes(b"# " + b"x" * 2_000_001)
    with pytest.raises(InputError, match=r"must be at most 2 MB; 2\.0 MB came"):
        read_class(tmp_path, "own", MEASURES)


def test_a_byte_order_mark_is_dropped(tmp_path: Path) -> None:
    (tmp_path / "classes").mkdir()
    (tmp_path / "classes" / "own.toml").write_bytes(b"\xef\xbb\xbf" + HEAD.encode())
    assert read_class(tmp_path, "own", MEASURES).title


@pytest.mark.parametrize(
    ("schema", "words"),
    [
        ("true", "must be 1; True came; write schema = 1"),
        ("7", "must be at most 1 for this version; 7 came, from a newer one; update glidewright"),
        ('"1"', "must be 1; '1' came; write schema = 1"),
    ],
)
def test_a_schema_that_is_not_todays_is_refused(tmp_path: Path, schema: str, words: str) -> None:
    assert refused(tmp_path, f'schema = {schema}\ntitle = "Test"\n') == [f"classes/own.toml: schema: {words}"]
