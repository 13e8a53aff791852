import re
from pathlib import Path

import pytest

from glidewright.faces.report.document import Column, Document, Note, Section, Steps, Table
from glidewright.faces.report.render_text import render_text

GOLDEN = Path(__file__).parents[3] / "golden" / "report" / "check.txt"


def test_the_whole_report_reads_as_recorded(document: Document) -> None:
    # after a wanted change, look at the new text and record it: render_text(document) of conftest's result
    assert render_text(document) == GOLDEN.read_text(encoding="utf-8")


def test_plain_text_is_ascii_without_escapes(document: Document) -> None:
    assert render_text(document, is_plain=True).isascii()
    assert "\x1b" not in render_text(document, is_plain=True)


@pytest.mark.parametrize("width", [60, 80, 110])
@pytest.mark.parametrize("is_plain", [True, False])
def test_no_line_is_wider_than_the_terminal(document: Document, width: int, is_plain: bool) -> None:
    text = re.sub(r"\x1b\[[0-9;]*m", "", render_text(document, width, is_plain))
    assert max(map(len, text.splitlines())) <= width


def test_a_number_is_never_broken_from_its_unit_or_inside_its_range(document: Document) -> None:
    text = render_text(document)
    assert not re.search(r"\(-?[\d.]+ to\s*$|\d\s*\n\s*%", text, re.MULTILINE)


def test_colour_never_stands_alone(document: Document) -> None:
    words = re.sub(r"\x1b\[[0-9;]*m", "", render_text(document, is_plain=False))
    for word in ("✓ kept", "▲ doubtful", "✕ broken", "? not known"):
        assert word in words


def test_names_of_the_flyer_keep_their_letters() -> None:
    assert "Höhenflug" in render_text(Document(title="Höhenflug"))


def test_a_name_with_markup_stays_as_it_is() -> None:
    assert "[bold]Lark[/bold]" in render_text(Document(title="[bold]Lark[/bold]"))


def test_blocks_without_numbers_are_shown() -> None:
    section = Section("a", "A", "lead", (Note("mind this", "Wind", "warning"), Steps(("one", "two"))))
    text = render_text(Document(title="T", sections=(section,)))
    assert "! Wind: mind this" in text
    assert "1. one" in text


def test_a_row_of_the_wrong_length_is_refused() -> None:
    with pytest.raises(ValueError, match="2 cells for 1 columns"):
        Table((Column("A"),), (("x", "y"),), title="odd")
