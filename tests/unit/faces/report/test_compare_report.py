"""The report of ``compare``: readable at 80 columns for two to six models, the same numbers everywhere."""

import json
import math
import re
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest

from glidewright.base.figure import Figure
from glidewright.base.wording import number_text
from glidewright.decisions.compare import run
from glidewright.decisions.comparing.figures import Kind
from glidewright.decisions.comparing.nouns import CompareRequest, CompareResult, Difference, Entrant, Line
from glidewright.decisions.comparing.pairs import Drawn, Pair, leaders, line_of
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Item, Model
from glidewright.faces.report.charts import specification
from glidewright.faces.report.compare import document
from glidewright.faces.report.compare_tables import best_text, better_text, groups_of, winners
from glidewright.faces.report.document import BarChart, Details, Document, LineChart, Rows, Table
from glidewright.faces.report.render_html import render_html
from glidewright.faces.report.render_json import render_json
from glidewright.faces.report.render_text import render_text

PACKS = ("p2-800", "p2-600", "p3-450", "p3-850", "p2-550")
HEIGHT = Kind("height_true_m", "Launch height", "Launch", "m", "more", 1.0)
SINK = Kind("sink_least_m_s", "Least sink", "Glide", "m/s", "less")
SPEED = Kind("speed_to_fly_m_s", "Speed to fly", "Into the wind", "m/s", "neither")


def with_pack(model: Model, pack_id: str, name: str) -> Model:
    pack = model.from_drawer(pack_id)
    assert pack is not None
    items = tuple(
        Item(name=one.name, part=pack.model_copy(update={"x_m": one.part.x_m})) if one.name == "pack" else one
        for one in model.items
    )
    return model.model_copy(update={"items": items, "name": name})


@pytest.fixture(scope="module")
def results(demo: Model, hill_class: ClassLimits) -> dict[int, CompareResult]:
    """Comparisons of two, three, four and six models, of a few draws."""
    others = [with_pack(demo, pack, f"Hill Demo 2000 with {pack}") for pack in PACKS]
    entrants = [Entrant(model=demo, rule=hill_class)]
    entrants += [Entrant(model=one, base=demo, rule=hill_class) for one in others]
    return {count: run(CompareRequest(entrants=tuple(entrants[:count]), draws=32)) for count in (2, 3, 4, 6)}


@pytest.mark.parametrize("count", [2, 3, 4, 6])
def test_text_fits_80_columns_and_names_every_model(results: dict[int, CompareResult], count: int) -> None:
    made = document(results[count])
    for with_details in (False, True):
        text = render_text(made, 80, is_plain=True, with_details=with_details)
        assert max(map(len, text.splitlines())) <= 80
        assert text.isascii()
        for letter in "ABCDEF"[:count]:
            assert re.search(rf"^  {letter}  Hill Demo 2000", text, re.MULTILINE)
    short = render_text(made, 80)
    assert len(short.splitlines()) < {2: 80, 3: 110, 4: 140, 6: 230}[count]


@pytest.mark.parametrize("count", [2, 3])
def test_no_line_of_the_short_form_is_torn(results: dict[int, CompareResult], count: int) -> None:
    """Every figure with its difference stands on one line."""
    text = render_text(document(results[count]), 80)
    assert re.search(r"^  Mass, g +\d+ .*\d+ ", text, re.MULTILINE)
    assert not re.search(r"^ +\([-\d.]+ to [-\d.]+\)$", text, re.MULTILINE)


def figures_shown(made: Document) -> Iterator[Figure]:
    blocks = [block for section in made.sections for block in section.blocks]
    blocks += [inner for block in blocks if isinstance(block, Details) for inner in block.blocks]
    for block in blocks:
        if isinstance(block, Table):
            yield from (cell for row in block.rows for cell in row if isinstance(cell, Figure))
        if isinstance(block, Rows):
            yield from (row.value for row in block.rows if isinstance(row.value, Figure))


def numbers_in(thing: Any) -> Iterator[float]:
    if isinstance(thing, dict):
        thing = list(thing.values())
    if isinstance(thing, list):
        for part in thing:
            yield from numbers_in(part)
    elif isinstance(thing, int | float):
        yield float(thing)


@pytest.mark.parametrize("count", [2, 3, 6])
def test_text_page_and_json_show_the_same_numbers(results: dict[int, CompareResult], count: int) -> None:
    result = results[count]
    made = document(result)
    text = " ".join(render_text(made, 400, with_details=True).replace("dm2", "dm²").split())
    words = re.sub(r"<[^>]+>", "", render_html(made)).replace("\u00a0", " ")
    page = " ".join(words.split())
    body = json.loads(render_json("compare", result.model, result, result.findings))
    known = set(numbers_in(body["result"]))
    shown = list(figures_shown(made))
    assert len(shown) > 30
    for figure in shown:
        reads = number_text(figure)
        assert reads in text
        assert reads in page
        for number in (figure.value, figure.low, figure.high):
            assert number is None or number in known


def test_the_page_has_a_picture_of_differences_and_one_of_polars(results: dict[int, CompareResult]) -> None:
    page = render_html(document(results[3]))
    assert 'id="shares-b-' in page or "shares-b" in page
    assert "B against A" in page
    assert "C against A" in page
    assert "Sink over airspeed" in page
    assert "http" not in page


def charts_of(result: CompareResult) -> list[BarChart | LineChart]:
    blocks = [block for section in document(result).sections for block in section.blocks]
    return [block for block in blocks if isinstance(block, BarChart | LineChart)]


def test_six_models_have_six_lines_of_their_own(results: dict[int, CompareResult]) -> None:
    sinks = next(chart for chart in charts_of(results[6]) if isinstance(chart, LineChart))
    layers = specification(sinks)["layer"]
    lines = [layer["mark"] for layer in layers if layer["mark"]["type"] == "line"]
    assert len({(line["color"], tuple(line["strokeDash"])) for line in lines}) == 6
    names = [layer["data"]["values"][0]["name"] for layer in layers if layer["mark"]["type"] == "text"]
    assert names == list("ABCDEF")


def test_bars_show_the_shares_of_the_result(results: dict[int, CompareResult]) -> None:
    result = results[2]
    bars = next(chart for chart in charts_of(result) if isinstance(chart, BarChart)).bars
    by_title = {line.title: line for line in result.lines}
    assert len(bars) >= 5
    for bar in bars:
        assert bar.figure == by_title[bar.label].differences[0].share
        assert by_title[bar.label].wanted != "neither"


def test_models_that_share_everything_say_so(demo: Model, hill_class: ClassLimits) -> None:
    twin = demo.model_copy(update={"name": "Twin"})
    result = run(
        CompareRequest(entrants=tuple(Entrant(model=one, rule=hill_class) for one in (demo, twin)), draws=32)
    )
    text = " ".join(render_text(document(result)).split())
    assert "Nothing differs in the inputs." in text
    assert "They are alike in all that is wanted." in text
    assert "All inputs are the same draws in all models." in text


def test_the_verdict_names_what_is_sure_and_what_is_likely(results: dict[int, CompareResult]) -> None:
    result = results[2]
    verdict = document(result).verdict
    assert verdict is not None
    sure = {line.title.lower() for line in result.lines if (winners(line, 2)[1] or 0.0) >= 0.9}
    likely = {line.title.lower() for line in result.lines if 0.6 <= (winners(line, 2)[1] or 0.0) < 0.9}
    said, _, rest = verdict.text.partition("Not sure: ")
    assert "mass" in sure
    assert all(title in said for title in sure)
    assert all(title in rest for title in likely)
    assert not any(title in rest for title in sure - likely)


def test_four_stand_side_by_side_and_more_go_on_below_the_first() -> None:
    assert groups_of(2) == [(0, 1)]
    assert groups_of(5) == [(0, 1, 2, 3), (0, 4)]


# ------------------------------------------------------------------ who is better, and how sure


def pair() -> Pair:
    return Pair("A", "B", (Drawn({}, {}), Drawn({}, {})))


def made(kind: Kind, first: Any, second: Any) -> tuple[Line, Difference]:
    draws = [np.array(one) if isinstance(one, list) else one for one in (first, second)]
    figures = [
        Figure.unknown("m", "m", one)
        if isinstance(one, str)
        else Figure.of_draws(one, "m/s" if kind is not HEIGHT else "m", kind.shown, "typical", "")
        for one in draws
    ]
    line = line_of(kind, draws, figures, [pair()])
    return line, line.differences[0]


def test_chances_are_counted_draw_by_draw_beyond_what_counts_as_alike() -> None:
    line, own = made(HEIGHT, [100.0, 100.0, 100.0, 100.0], [103.0, 100.5, 98.0, 110.0])
    assert (own.chance_more, own.chance_less, own.better, own.sure) == (0.5, 0.25, "B", 0.5)
    assert own.figure.value == 1.75  # of 3, 0.5, -2 and 10
    assert own.share.value == pytest.approx(0.0175)
    assert (line.best, line.sure) == (("B",), 0.75)  # A is ahead by more than a metre once
    assert better_text(line, 0) == "B 50 %"
    assert winners(line, 2) == (("B",), 0.5)
    assert winners(line, 3) == (("B",), 0.75)


def test_less_is_better_where_less_is_wanted() -> None:
    line, own = made(SINK, [0.40, 0.41, 0.42], [0.39, 0.42, 0.40])
    assert (own.better, own.sure) == ("B", pytest.approx(2 / 3))
    assert best_text(line) == "B 67 %"


def test_nobody_is_better_where_nothing_is_wanted() -> None:
    line, own = made(SPEED, [8.0, 9.0], [9.0, 10.0])
    assert (own.chance_more, own.better, own.sure, line.best) == (1.0, "", None, ())
    assert (better_text(line, 0), best_text(line)) == ("", "")


def test_most_draws_alike_is_said_and_nobody_wins() -> None:
    line, own = made(HEIGHT, [100.0] * 10, [100.5] * 8 + [103.0] * 2)
    assert (own.better, own.sure) == ("B", 0.2)
    assert better_text(line, 0) == "alike 80 %"
    assert winners(line, 2) == ((), None)
    close, _ = made(HEIGHT, [100.0] * 10, [100.5] * 10)
    assert (better_text(close, 0), best_text(close)) == ("alike", "alike")


def test_a_sure_difference_without_spread_claims_all_draws() -> None:
    line, _ = made(HEIGHT, [100.0, 100.0], [110.0, 110.0])
    assert better_text(line, 0) == "B 100 %"
    spread, _ = made(HEIGHT, [100.0, 100.0], [110.0, 111.0])
    assert better_text(spread, 0) == "B over 99 %"


def test_draws_that_are_no_number_do_not_count() -> None:
    _, own = made(HEIGHT, [100.0, math.nan, 100.0], [110.0, 110.0, 120.0])
    assert (own.figure.low, own.figure.high, own.chance_more) == (11.0, 19.0, 1.0)
    _, none = made(HEIGHT, [math.nan, math.nan], [1.0, 2.0])
    assert none.figure.value is None
    assert none.figure.because == "no draw gives both a number"


def test_shorter_results_are_compared_on_the_first_draws() -> None:
    _, own = made(HEIGHT, [100.0, 100.0, 500.0], [110.0, 110.0])
    assert own.figure.value == 10.0


def test_what_one_does_not_know_has_its_reason() -> None:
    line, own = made(HEIGHT, [100.0], "no motor is fitted")
    assert own.figure.because == "not known of B: no motor is fitted"
    assert (better_text(line, 0), best_text(line)) == ("not known", "not known")


def test_a_difference_to_nothing_has_no_share() -> None:
    _, own = made(HEIGHT, [0.0, 0.0], [5.0, 6.0])
    assert own.figure.value == 5.5
    assert (own.share.value, own.share.because) == (None, "A has none")


def test_the_best_of_three_and_those_that_are_the_same() -> None:
    one, two, three = np.array([1.0, 5.0, 9.0]), np.array([3.0, 4.0, 8.0]), np.array([0.0, 0.0, 0.0])
    plain = Kind("x", "X", "Launch", "m", "more")
    assert leaders([one, two, three], "ABC", plain) == (("A",), pytest.approx(2 / 3))
    assert leaders([two, two, three], "ABC", plain) == (("A", "B"), 1.0)
    assert leaders([two, two, two], "ABC", plain) == ((), None)
    assert leaders([one, "unknown", "unknown"], "ABC", plain) == ((), None)
    assert leaders([one, "unknown", three], "ABC", plain) == (("A",), 1.0)
    assert leaders([np.array([math.nan]), np.array([1.0])], "AB", plain) == ((), None)
