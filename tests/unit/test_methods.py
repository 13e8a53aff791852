"""The notes on the methods say what is true of the code, of its coefficients and of the validation page."""

import ast
import re
import tomllib
from collections import Counter
from pathlib import Path

import pytest

import make_methods
from glidewright.data import packaged
from marked import marked

REPOSITORY = Path(__file__).parents[2]
NOTES = make_methods.notes()
LINKED_NAME = re.compile(r"\[`(?P<name>\w+(?:\.\w+)?)`\]\((?P<file>[^)#]+\.py)\)")
NO_MODEL = ("__init__.py", "example.py")  # an invented power train and launch, for examples
each_note = pytest.mark.parametrize("note", NOTES, ids=lambda note: note.stem)


def text_of(page: Path) -> str:
    return page.read_text(encoding="utf-8")


def names_in(file: Path) -> set[str]:
    """Names that a module defines at its top, and those of its classes as Class.name."""
    found = set()
    for node in ast.parse(text_of(file)).body:
        found |= defined_by(node)
        if isinstance(node, ast.ClassDef):
            found |= {f"{node.name}.{name}" for inner in node.body for name in defined_by(inner)}
    return found


def defined_by(node: ast.stmt) -> set[str]:
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        return {node.name}
    targets = node.targets if isinstance(node, ast.Assign) else []
    targets = [*targets, node.target] if isinstance(node, ast.AnnAssign) else targets
    return {inner.id for one in targets for inner in ast.walk(one) if isinstance(inner, ast.Name)}


def test_the_made_parts_are_what_code_and_data_say() -> None:
    behind = [path.name for path, text in make_methods.pages().items() if text_of(path) != text]
    assert behind == [], "run python docs/make_methods.py"


@each_note
def test_every_function_that_a_note_links_is_where_the_link_leads(note: Path) -> None:
    linked = [*LINKED_NAME.finditer(text_of(note))]
    assert linked
    gone = [one[0] for one in linked if one["name"] not in names_in((note.parent / one["file"]).resolve())]
    assert gone == []


@each_note
def test_a_note_has_an_example_that_runs(note: Path) -> None:
    assert re.search(r"^```python\n>>> .*?\n\n```$", text_of(note), re.DOTALL | re.MULTILINE)


def test_a_plain_pytest_runs_the_examples() -> None:
    options = tomllib.loads(text_of(REPOSITORY / "pyproject.toml"))["tool"]["pytest"]["ini_options"]
    assert "docs/methods" in options["testpaths"]
    assert "--doctest-glob=docs/methods/*.md" in options["addopts"].split()


def test_every_file_of_coefficients_stands_in_one_note() -> None:
    files = {path.name.removesuffix(".toml") for path in packaged("coefficients").iterdir()}
    shown = Counter(name for note in NOTES for name in marked(text_of(note), "coefficients"))
    assert {name: count for name, count in shown.items() if count > 1} == {}
    assert set(shown) == files


def test_every_module_of_the_models_is_explained_in_some_note() -> None:
    inside = REPOSITORY / "src" / "glidewright" / "models"
    linked = {
        (note.parent / target).resolve()
        for note in NOTES
        for target in re.findall(r"\]\(([^)#]+\.py)\)", text_of(note))
    }
    modules = {path for path in inside.rglob("*.py") if path.name not in NO_MODEL}
    assert len(modules) > 30
    assert sorted(str(path.relative_to(inside)) for path in modules - linked) == []
