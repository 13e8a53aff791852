"""Every link between the papers leads to a file that is there and to a heading of it."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from marked import anchor

REPOSITORY = Path(__file__).parents[2]
FOLDERS = ("benchmarks", "docs", "src", "studies", "tests")
PAPERS = sorted(
    [*REPOSITORY.glob("*.md"), *(page for folder in FOLDERS for page in (REPOSITORY / folder).rglob("*.md"))]
)
FENCED = re.compile(r"^([ \t]*)(`{3,}|~{3,})[^\n]*\n(?:.*?\n)??\1\2[ \t]*$", re.MULTILINE | re.DOTALL)
CODE = re.compile(r"`[^`\n]*`")
LINK = re.compile(r"\]\(\s*<?(?P<file>[^)#\s>]*)(?:#(?P<place>[^)\s>]*))?>?(?:\s+\"[^\"]*\")?\s*\)")
HEADING = re.compile(r"^#{1,6} +(.+?) *#*$", re.MULTILINE)


def name(page: Path) -> str:
    return page.relative_to(REPOSITORY).as_posix()


def links(text: str) -> Iterator[tuple[str, str]]:
    """File and place of every link that is not in code and not to the web."""
    for found in LINK.finditer(CODE.sub("`code`", FENCED.sub("", text))):
        if "://" not in found["file"] and not found["file"].startswith("mailto:"):
            yield found["file"], found["place"] or ""


def places(text: str) -> set[str]:
    """What may stand behind # in a link to this page; a heading that comes again has its number behind it."""
    found: dict[str, int] = {}
    out = set()
    for heading in HEADING.findall(FENCED.sub("", text)):
        place = anchor(re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", heading))
        out.add(f"{place}-{found[place]}" if place in found else place)
        found[place] = found.get(place, 0) + 1
    return out


def lost(page: Path, text: str) -> Iterator[str]:
    """Links of a page that lead nowhere."""
    for file, place in links(text):
        target = (page.parent / file).resolve()
        if not target.exists():
            yield f"{file}: there is no such file"
        elif place and (target.suffix == ".md" or not file):
            yield from _lost_place(file, place, target.read_text(encoding="utf-8") if file else text)


def _lost_place(file: str, place: str, text: str) -> Iterator[str]:
    if place not in places(text):
        yield f"{file}#{place}: there is no such heading"


@pytest.mark.parametrize("page", PAPERS, ids=name)
def test_the_links_of_a_paper_lead_somewhere(page: Path) -> None:
    assert list(lost(page, page.read_text(encoding="utf-8"))) == []


def test_every_page_of_the_docs_is_in_the_index_or_in_that_of_its_folder() -> None:
    docs = REPOSITORY / "docs"
    for index in (docs / "README.md", docs / "howto" / "README.md", docs / "reference" / "README.md"):
        linked = {(index.parent / file).resolve() for file, _ in links(index.read_text(encoding="utf-8"))}
        assert [page.name for page in index.parent.glob("*.md") if page not in linked | {index}] == []


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("[a](README.md)", 0),
        ("[a](README.md#to-use-it) and [b](#here)\n# Here", 0),
        ("[a](readme.txt)", 1),
        ("![a](images/none.svg)", 1),
        ("[a](README.md#to-lose-it)", 1),
        ("[a](#there)\n# Here", 1),
        ("[a](#here-1)\n# Here\n# Here", 0),
        ("`[a](none.md)`\n```\n[a](none.md)\n# There\n```\n[a](#there)", 1),
        ("[a](https://example.org/none.md#there)", 0),
        ("[a](#parts-toml-the-drawer)\n## parts/*.toml: the drawer", 1),
        ("[a](#a-note-with-a-link)\n## A note with [a link](x)", 1),  # x is not there; the heading is
    ],
)
def test_a_link_that_leads_nowhere_is_found(text: str, wrong: int) -> None:
    assert len(list(lost(REPOSITORY / "docs" / "page.md", text))) == wrong
