"""The pictures of the docs: small, of their own, drawn by the program, and shown with words beside them."""

import re
from collections import Counter
from pathlib import Path
from xml.etree import ElementTree

import pytest

import make_images
import make_screenshots
import pictures

REPOSITORY = Path(__file__).parents[2]
FILES = sorted(make_images.FOLDER.glob("*.svg"))
LARGEST_bytes = 60_000
SHOWN = re.compile(r"!\[(?P<said>[^\]]*)\]\((?P<file>[^)]+)\)")
# those that a forecast alone gives; the others are compared by docs/make_images.py --check
QUICK = ("figure", "power", "launch", "chances")


def test_every_picture_is_there_and_no_other() -> None:
    assert {path.stem for path in FILES} == set(pictures.pictures())
    assert len(FILES) >= 6


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_picture_is_small_whole_and_asks_no_other_host(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert len(text.encode()) < LARGEST_bytes
    root = ElementTree.fromstring(text)
    names = {one.tag.partition("}")[2] for one in root}
    assert {"title", "desc", "rect"} <= names
    assert root.get("role") == "img"
    assert re.findall(r"https?://[^\"]+", text) == ["http://www.w3.org/2000/svg"]
    assert "var(--" not in text
    assert "NaN" not in text


@pytest.mark.parametrize("name", QUICK)
def test_a_picture_shows_what_the_program_draws(name: str) -> None:
    stands = (make_images.FOLDER / f"{name}.svg").read_text(encoding="utf-8")
    assert make_images.build_of(pictures.pictures()[name]()) == make_images.build_of(stands), (
        "run python docs/make_images.py"
    )


def test_the_comparison_sees_a_word_and_a_mark_but_no_digit() -> None:
    one = "<svg><text>peak 12.5 m</text><path/></svg>"
    assert make_images.build_of(one) == make_images.build_of(one.replace("12.5", "13"))
    assert make_images.build_of(one) != make_images.build_of(one.replace("peak", "top"))
    assert make_images.build_of(one) != make_images.build_of(one.replace("<path/>", "<path/><path/>"))


def test_the_pictures_of_pages_are_there_and_small() -> None:
    assert make_screenshots.lacking() == []
    assert {path.stem for path in make_screenshots.FOLDER.glob("*")} == {
        shot.name for shot in make_screenshots.SHOTS
    }


def test_every_picture_is_shown_with_words_in_some_page() -> None:
    seen: Counter[Path] = Counter()
    for page in [REPOSITORY / "README.md", *(REPOSITORY / "docs").rglob("*.md")]:
        for found in SHOWN.finditer(page.read_text(encoding="utf-8")):
            assert len(found["said"].split()) >= 3, f"{page.name}: {found['file']}"
            target = (page.parent / found["file"]).resolve()
            assert target.exists(), f"{page.name}: {found['file']}"
            seen[target] += 1
    own = [*FILES, *make_screenshots.FOLDER.glob("*.png")]
    assert [path.name for path in own if not seen[path.resolve()]] == []
