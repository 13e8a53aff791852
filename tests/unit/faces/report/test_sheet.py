"""The sheet: what stands on it, that it fits its paper, and that it prints in black and white."""

import re

import pytest

from glidewright.base.errors import InputError
from glidewright.base.wording import median_text, number_text
from glidewright.decisions.sheet import SheetRequest, SheetResult, run
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.domain.parts import Pack
from glidewright.faces.report.render_pdf import Sheet, _data, pages_of, pdf_of
from glidewright.faces.report.render_sheet import render_sheet
from glidewright.faces.report.render_text import render_text
from glidewright.faces.report.sheet import document, sheet

DRAWS = 128


@pytest.fixture(scope="module")
def result(demo: Model, hill_class: ClassLimits) -> SheetResult:
    return run(SheetRequest(model=demo, rule=hill_class, draws=DRAWS, day="2026-05-01"))


@pytest.fixture(scope="module")
def laid_out(result: SheetResult) -> Sheet:
    return sheet(result)


def strings(thing: object) -> list[str]:
    if isinstance(thing, str):
        return [thing]
    if isinstance(thing, dict):
        thing = list(thing.values())
    return [word for part in thing for word in strings(part)] if isinstance(thing, list | tuple) else []


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_it_is_one_page_and_one_page_of_tests(laid_out: Sheet, paper: str) -> None:
    pages = pages_of(laid_out, paper)
    assert len(pages) == 2
    width, height = map(float, re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', pages[0]).groups())  # type: ignore[union-attr]
    assert (round(width), round(height)) == {"a4": (595, 842), "letter": (612, 792)}[paper]


def test_a_fuller_sheet_shrinks_to_its_page(result: SheetResult) -> None:
    open_ones = [one for one in result.findings if one.severity != "kept"]
    fuller = result.model_copy(update={"findings": (*result.findings, *open_ones)})
    assert len(pages_of(sheet(fuller), "letter")) == 2


def test_the_same_sheet_is_the_same_pdf(laid_out: Sheet) -> None:
    once = pdf_of(laid_out)
    assert once.startswith(b"%PDF-")
    assert pdf_of(laid_out) == once


def test_it_prints_in_black_and_white(laid_out: Sheet) -> None:
    """Every colour of the pages is a grey: red, green and blue alike."""
    colours = {code for page in pages_of(laid_out) for code in re.findall(r'(?:fill|stroke)="#(\w{6})', page)}
    assert colours
    assert all(code[0:2] == code[2:4] == code[4:6] for code in colours)


def test_the_paper_shows_the_numbers_of_the_result(laid_out: Sheet, result: SheetResult) -> None:
    assert result.mass is not None and result.launch is not None
    shown = strings(_data(laid_out))
    assert median_text(result.mass.total).split(" ")[0] in shown
    assert number_text(result.launch.rows[0].height).split(" ")[0] + " m" in shown
    text = render_text(document(result), 80, True, True)
    for figure in (result.mass.total, result.launch.useful_launches):
        assert number_text(figure) in text
    for step in result.steps:
        assert step.title in shown


def test_a_mix_that_is_off_is_not_on_the_sheet(demo: Model, hill_class: ClassLimits, laid_out: Sheet) -> None:
    assert not demo.steering.rudder_on_both_sticks
    assert "Rudder on the second stick" not in strings(_data(laid_out))
    steering = demo.steering.model_copy(update={"rudder_on_both_sticks": True})
    asked = demo.model_copy(update={"steering": steering})
    wanted = sheet(run(SheetRequest(model=asked, rule=hill_class, draws=64, day="2026-05-01")))
    assert "Rudder on the second stick" in strings(_data(wanted))


def test_words_of_the_user_are_no_markup(demo: Model, hill_class: ClassLimits) -> None:
    """A name with signs that the setter would read as its own must come out as it is."""
    odd = demo.model_copy(update={"name": '#evil[*x*] $1$ "quoted" \\ @ref <label>'})
    made = sheet(run(SheetRequest(model=odd, rule=hill_class, draws=64, day="2026-05-01")))
    assert len(pages_of(made)) == 2


def test_without_a_pack_it_says_what_is_not_known(demo: Model, hill_class: ClassLimits) -> None:
    packless = tuple(item for item in demo.items if not isinstance(item.part, Pack))
    bare = run(
        SheetRequest(
            model=demo.model_copy(update={"items": packless}), rule=hill_class, draws=64, day="2026-05-01"
        )
    )
    assert bare.launch is None
    assert len(pages_of(sheet(bare))) == 2


def test_the_html_stands_alone(laid_out: Sheet) -> None:
    page = render_sheet(laid_out)
    assert page.count('<img alt="Page') == 2
    assert "http" not in re.sub(r"data:image/svg\+xml;base64,[\w+/=]+", "", page)
    assert "<script" not in page


def test_a_sheet_is_dated_with_a_day(demo: Model, hill_class: ClassLimits) -> None:
    with pytest.raises(InputError, match="must be a day written year-month-day; 'soon' came"):
        run(SheetRequest(model=demo, rule=hill_class, day="soon"))
