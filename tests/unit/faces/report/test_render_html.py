import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from glidewright.base.figure import Figure
from glidewright.faces.report.document import Document, Section
from glidewright.faces.report.render_html import render_html
from glidewright.faces.report.spread_bar import spread_bar

_VOID = {"meta", "br", "hr", "img", "input", "link"}
Attributes = list[tuple[str, str | None]]


class _Tree(HTMLParser):
    """Collects tags, and fails on one that is closed out of turn."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: Attributes) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in _VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: Attributes) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.tags if name == tag]


@pytest.fixture(scope="module")
def page(document: Document) -> str:
    return render_html(document)


@pytest.fixture(scope="module")
def tree(page: str) -> _Tree:
    made = _Tree()
    made.feed(page)
    made.close()
    return made


def test_the_page_is_well_formed(tree: _Tree) -> None:
    assert tree.open == []


def test_the_page_holds_no_script_and_no_address(page: str, tree: _Tree) -> None:
    assert not re.search(r"https?:|//\w|@import|url\((?!#)", page)
    assert not {"script", "link", "iframe", "object", "embed", "img"} & {tag for tag, _ in tree.tags}
    assert not [name for _, attributes in tree.tags for name in attributes if name.startswith("on")]


def test_every_heading_cell_says_what_it_heads(tree: _Tree) -> None:
    heads = tree.all("th")
    assert len(heads) > 50
    assert {head.get("scope") for head in heads} == {"col", "row"}


def test_every_chart_is_named_and_described(tree: _Tree) -> None:
    charts = [svg for svg in tree.all("svg") if svg.get("role") == "img"]
    assert len(charts) == 8  # four, each for a wide and for a narrow page
    assert all(chart["aria-label"] for chart in charts)
    assert len(tree.all("desc")) == len(charts)
    hidden = [svg for svg in tree.all("svg") if svg.get("role") != "img"]
    assert all(svg.get("aria-hidden") == "true" for svg in hidden)


def test_no_id_stands_twice(tree: _Tree) -> None:
    ids = [attributes["id"] for _, attributes in tree.tags if "id" in attributes]
    assert len(ids) == len(set(ids))


def test_every_link_leads_to_a_place_on_the_page(tree: _Tree) -> None:
    ids = {attributes.get("id") for _, attributes in tree.tags}
    links = [link["href"] for link in tree.all("a")]
    assert links
    assert all(link is not None and link[1:] in ids for link in links)


def test_charts_use_the_colours_of_the_page_only(page: str) -> None:
    pictures = page[page.index("<body") :]
    assert "#0a0b0" not in pictures
    assert not re.search(r'(?:fill|stroke)="(?:#|rgb)', pictures)


def test_details_are_folded_and_nothing_else_is_hidden(page: str, tree: _Tree) -> None:
    assert len(tree.all("details")) == len(tree.all("summary")) > 4
    assert page.index("Where the spread comes from") < page.index("mostly the motor resistance, typical")


def test_a_band_and_a_whisker_have_a_key(page: str) -> None:
    assert page.count("line: median; band: 10 to 90") == 1
    assert page.count("bar: median; whisker: 10 to 90") == 2  # launches and masses; chances have no spread


def test_words_of_the_flyer_are_escaped(document: Document) -> None:
    bad = replace(document, title='<b>"Lark" & co</b>', sections=(Section("x", "<i>"),), cautions=())
    made = render_html(bad)
    assert "<b>" not in made
    assert "<i>" not in made
    assert "&lt;b&gt;&quot;Lark&quot; &amp; co" in made


def _contrast(first: str, second: str) -> float:
    """Contrast ratio of two colours as WCAG 2.2 defines it (relative luminance, section 1.4.3)."""

    def luminance(colour: str) -> float:
        parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    high, low = sorted((luminance(first), luminance(second)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_formula_gives_the_ends_that_wcag_states() -> None:
    # WCAG 2.2, definition of contrast ratio: "Contrast ratios can range from 1 to 21"
    assert _contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert _contrast("#777777", "#777777") == pytest.approx(1.0)


@pytest.mark.parametrize("ground", ["paper", "sheet"])
@pytest.mark.parametrize("ink", ["ink", "ink-2", "quiet", "accent", "warning", "alarm"])
def test_every_ink_reads_on_every_ground_in_light_and_dark(page: str, ink: str, ground: str) -> None:
    schemes = [dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", block)) for block in page.split(":root")[1:3]]
    assert len(schemes) == 2
    for colours in schemes:
        assert _contrast(colours[ink], colours[ground]) >= 4.5  # WCAG 2.2 level AA, 1.4.3


def test_the_bar_of_a_figure_runs_from_low_to_high_inside_its_track() -> None:
    figure = Figure(value=100.0, low=90.0, high=120.0, unit="m", shown="m", grade="typical", because="")
    # track 50 to 150 over 114 units from 3: 90 -> 48.6, 120 -> 82.8, 100 -> 60
    assert 'd="M48.6 6H82.8"' in spread_bar(figure)
    assert 'd="M60.0 2.5V9.5"' in spread_bar(figure)


def test_no_bar_where_there_is_no_spread() -> None:
    assert spread_bar(Figure.unknown("m", "m", "why")) == ""
    assert spread_bar(Figure.exact(2.0, "m", "m", "measured", "")) == ""
