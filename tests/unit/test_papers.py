"""The papers say what is true of the code and of the folder that they stand in."""

import re
import runpy
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

import glidewright
from glidewright.base.fields import quantities
from glidewright.data import packaged
from glidewright.decisions.new_model import legend
from glidewright.domain.geometry import MANY_TABLES, ONE_TABLE
from glidewright.domain.parts import KINDS
from glidewright.rules.measures import MEASURES
from glidewright.store import class_files, reading

REPOSITORY = Path(__file__).parents[2]
FILES = REPOSITORY / "docs" / "files.md"
MAKER = runpy.run_path(str(REPOSITORY / "docs" / "make_tables.py"))
OURS = ("src", "studies", "benchmarks", "docs", "tests")
HOME = re.compile(r"(?<![\w.:/-])/(?:work/|home/\w|Users/\w|root/)|[A-Z]:\\Users\\")
SCRATCH = re.compile(r"(?<![\w.:/-])/tmp/")


def text_of(paper: str) -> str:
    return (REPOSITORY / paper).read_text(encoding="utf-8")


def own_texts() -> Iterator[tuple[Path, str]]:
    """Every file of the repository that is text, but not what is made from it."""
    found = [path for path in REPOSITORY.iterdir() if path.is_file() and path.name != ".git"]
    found += [path for folder in OURS for path in (REPOSITORY / folder).rglob("*")]
    for path in found:
        made = path.name.startswith(".coverage") or "__pycache__" in path.parts
        if path.is_file() and not made:
            try:
                yield path, path.read_text(encoding="utf-8")
            except UnicodeDecodeError:
                continue


@pytest.mark.parametrize("command", ["python3 start.py", "python3 start.py test"])
def test_the_readme_names_the_two_commands(command: str) -> None:
    assert re.search(re.escape(command) + r"(?! *\w)", text_of("README.md"))


def test_the_changelog_has_the_version() -> None:
    assert re.search(rf"\b{re.escape(glidewright.__version__)}\b", text_of("CHANGELOG.md"))
    assert "## [Unreleased]" in text_of("CHANGELOG.md")


def test_no_file_knows_the_machine_it_was_written_on() -> None:
    seen, found = set(), []
    for path, text in own_texts():
        seen.add(path.relative_to(REPOSITORY).parts[0])
        patterns = (HOME,) if "tests" in path.parts else (HOME, SCRATCH)
        found += [f"{path}: {hit[0]}" for pattern in patterns for hit in pattern.finditer(text)]
    assert {"src", "tests", "docs", "studies", "start.py", "README.md"} <= seen
    assert found == []


@pytest.mark.parametrize(
    ("text", "is_found"),
    [
        ('open("/' + 'work/main/x")', True),
        ("C:" + "\\Users\\me", True),
        ("/home/" + "me/x", True),
        ("a framework/of", False),
        ("https://example.org/work/paper", False),
    ],
)
def test_the_search_for_such_paths_finds_them(text: str, is_found: bool) -> None:
    assert bool(HOME.search(text)) is is_found


def test_the_files_that_contributing_names_exist() -> None:
    named = re.findall(r"`([\w./-]+(?:\.py|\.toml|\.txt|\.md|/))`", text_of("CONTRIBUTING.md"))
    inside = REPOSITORY / "src" / "glidewright"
    places = (REPOSITORY, inside, inside / "rules" / "measures")
    gone = [name for name in named if name != "out/" and not any((place / name).exists() for place in places)]
    assert len(named) > 20
    assert gone == []


def test_the_key_tables_are_what_the_code_makes() -> None:
    assert MAKER["papers"]()[FILES] == FILES.read_text(encoding="utf-8"), "run python docs/make_tables.py"


def keys_of(table: str) -> set[str]:
    """First cells of one generated table of docs/files.md."""
    return set(re.findall(r"^\| `(\w+)` \|", table, re.MULTILINE))


def blocks() -> dict[str, str]:
    """Generated tables of docs/files.md as they stand, one a part kind."""
    text = FILES.read_text(encoding="utf-8")
    found = dict(re.findall(r"<!-- made: (.+?) -->\n(.*?)<!-- end -->", text, re.DOTALL))
    kinds = re.findall(r"#### `(\[\[\w+\]\])`.*?\n(.*?)(?=####|\Z)", found["part kinds"], re.DOTALL)
    return found | dict(kinds)


EXPLAINED = (
    "[airframe]",
    *(f"[{noun.table}]" for noun in ONE_TABLE),
    *(f"[[{noun.table}]]" for noun in MANY_TABLES),
    "[field]",
    "[launch]",
    "[[fitted]]",
    "[[control]]",
    "[steering]",
    "[build]",
    "[[weighing]]",
    "[[bench]]",
    "every part",
    *(f"[[{kind}]]" for kind in KINDS if kind != "item"),
)


@pytest.mark.parametrize("table", EXPLAINED)
def test_the_keys_are_those_that_the_command_new_explains(table: str) -> None:
    explained = set(re.findall(r"^#   (\w+)", legend(table), re.MULTILINE))
    assert explained
    assert keys_of(blocks()[table]) == explained


def test_the_head_of_a_model_has_the_keys_that_are_read() -> None:
    assert keys_of(blocks()["model head"]) == set(reading._HEAD)


def test_the_tables_of_a_class_have_the_keys_that_are_read() -> None:
    found = blocks()
    assert keys_of(found["class head"]) == set(class_files._Head.model_fields) - {"schema_version"}
    assert keys_of(found["class [launch]"]) == set(class_files._Launch.model_fields)
    assert keys_of(found["measures"]) == set(MEASURES)


def keys_inside(table: object) -> Iterator[str]:
    """All keys of a parsed file, those of its tables included."""
    if isinstance(table, dict):
        yield from table
        table = list(table.values())
    if isinstance(table, list):
        for one in table:
            yield from keys_inside(one)


def test_every_key_of_the_shipped_classes_is_explained() -> None:
    found = blocks()
    names = ("class head", "class [launch]", "class [height]", "class [[limit]]", "class [score]")
    names += ("class [[score.landing]]", "class [[score.height]]", "class [[score.drives]]")
    known = {key for name in names for key in keys_of(found[name])} | {"schema"}
    known |= set(re.findall(r"\[\[?(?:score\.)?(\w+)\]", text_of("docs/files.md")))
    bounds = re.compile(r"(?:at_least|at_most|tolerance)(?:_\w+)?")
    stated = {
        key
        for entry in packaged("classes").iterdir()
        for key in keys_inside(tomllib.loads(entry.read_text(encoding="utf-8")))
    }
    assert {"target_time_s", "within_m", "measure"} <= stated
    assert [key for key in sorted(stated) if key not in known and not bounds.fullmatch(key)] == []


def test_a_range_and_a_default_stand_as_the_field_states_them() -> None:
    pack, launch = KINDS["pack"], blocks()["[launch]"]
    capacity = quantities(pack)["capacity_As"]
    row = next(line for line in blocks()["[[pack]]"].splitlines() if "`capacity_mAh`" in line)
    assert "above 0, at most 50000, usually 200 to 3000" in row
    assert "**must be given**" in row
    assert (capacity.above, capacity.at_most, capacity.usual) == (0, 50000, (200, 3000))
    # 1.0472 rad in the noun, 60 degrees in the file
    assert re.search(r"`steepest_path_deg` \| ° \| above 0, at most 89 \| 60 \(typical", launch)


def test_the_validation_page_has_every_worked_file_and_every_known_miss() -> None:
    page, files = text_of("docs/validation.md"), sorted((REPOSITORY / "tests" / "worked").glob("test_*.py"))
    compared = [path for path in files if "from outside import" in path.read_text(encoding="utf-8")]
    assert len(compared) > 20
    gone = [path.name for path in compared if f"(../tests/worked/{path.name})" not in page]
    assert gone == [], "run python docs/make_validation.py"
    misses = page.partition("## Known misses")[2].partition("\n## ")[0]
    expected_to_fail = [path for path in files if "xfail" in path.read_text(encoding="utf-8")]
    assert expected_to_fail
    assert [path.name for path in expected_to_fail if path.name not in misses] == []
