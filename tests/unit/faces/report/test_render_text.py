import re
from pathlib import Path

import pytest

from glidewright.faces.report.document import Column, Document, Note, Section, Steps, Table
from glidewright.faces.report.render_text import render_text

GOLDEN = Path(__file__).parents[3] / "golden" / "report"


@pytest.mark.parametrize(("name", "with_details"), [("check.txt", False), ("check-all.txt", True)])
def test_the_report_reads_as_recorded(document: Document, name: str, with_details: bool) -> None:
    # after a wanted change, look at the new text and record it: render_text of conftest's document
    recorded = (GOLDEN / name).read_text(encoding="utf-8")
    assert render_text(document, with_details=with_details) == recorded


def test_the_short_form_ends_with_changes_and_verdict(document: Document) -> None:
    lines = render_text(document).splitlines()
    assert len(lines) < 120
    heads = ("Answers", "Limits", "Cautions", "What to change first", "X In short: 1 broken (pack", "--all")
    places = [next(i for i, line in enumerate(lines) if line.startswith(head)) for head in heads]
    assert places == sorted(places)
    assert places[-1] == len(lines) - 1


def test_the_short_form_says_why_a_limit_is_not_kept(document: Document) -> None:
    text = " ".join(render_text(document).split())
    assert "X Pack current, broken: 24.2 (21.8 to 27.1) A; at most 18 A; chance to keep it 8 %." in text
    assert "? Nose radius, not known: Nobody stated the nose radius; measure it." in text
    assert "+ Kept, 3 of 6: span, motor run (97 %), cells in series." in text


def test_causes_of_the_spread_stand_only_where_all_is_asked_for(document: Document) -> None:
    assert "mostly the motor resistance" not in render_text(document)
    assert "mostly the motor resistance" in render_text(document, with_details=True)


def test_a_cost_names_its_currency(document: Document) -> None:
    assert "Costs 19.90 EUR, on hand." in render_text(document)


@pytest.mark.parametrize("with_details", [True, False])
def test_plain_text_is_ascii_without_escapes(document: Document, with_details: bool) -> None:
    text = render_text(document, is_plain=True, with_details=with_details)
    assert text.isascii()
    assert "\x1b" not in text


@pytest.mark.parametrize("width", [60, 80, 110])
@pytest.mark.parametrize("is_plain", [True, False])
@pytest.mark.parametrize("with_details", [True, False])
def test_no_line_is_wider_than_the_terminal(
    document: Document, width: int, is_plain: bool, with_details: bool
) -> None:
    text = re.sub(r"\x1b\[[0-9;]*m", "", render_text(document, width, is_plain, with_details))
    assert max(map(len, text.splitlines())) <= width


def test_a_number_is_never_broken_from_its_unit_or_inside_its_range(document: Document) -> None:
    text = render_text(document, with_details=True)
    assert not re.search(r"\(-?[\d.]+ to\s*$|\d\s*\n\s*%", text, re.MULTILINE)


def test_colour_never_stands_alone(document: Document) -> None:
    words = re.sub(r"\x1b\[[0-9;]*m", "", render_text(document, is_plain=False, with_details=True))
    for word in ("✓ kept", "▲ doubtful", "✕ broken", "? not known"):
        assert word in words


def test_names_of_the_flyer_keep_their_letters() -> None:
    assert "Höhenflug" in render_text(Document(title="Höhenflug"))


def test_a_name_with_markup_stays_as_it_is() -> None:
    assert "[bold]Lark[/bold]" in render_text(Document(title="[bold]Lark[/bold]"))


def test_blocks_without_numbers_are_shown() -> None:
    section = Section("a", "A", "lead", (Note("mind this", "Wind", "warning"), Steps.of(("one", "two"))))
    text = render_text(Document(title="T", sections=(section,)))
    assert "! Wind: mind this" in text
    assert "1. one" in text


def test_a_row_of_the_wrong_length_is_refused() -> None:
    with pytest.raises(ValueError, match="2 cells for 1 columns"):
        Table((Column("A"),), (("x", "y"),), title="odd")
