"""The reference of the physics: every public function and class of models/, from its own docstring."""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from make_tables import suffixes, unit_of_name
from marked import ROOT, table

MODELS = ROOT / "src/glidewright/models"
_HEAD = """# Models

Every public function and class of the physics, from its docstring. Each is pure: numbers or arrays in,
numbers or arrays out, SI unless a name says otherwise. The notes in [methods](../methods/README.md) explain
them with equations and known misses; the docstrings hold shapes, valid ranges and running examples.

A unit stands in the second column where the name or the docstring states one. Where a row names no source,
the source of its file holds, which stands above the table; a file without one holds bookkeeping, or
arithmetic that follows from the files it calls.

{rooms}
"""
_UNIT_WORDS = (
    "kg m2|kg m|m/s2|m/s|rad/s|rad|1/m|1/s|N m|N|W/K|J/K|J|W|ohm|V|A s|A|K|kg|m2|m3|m|s|Pa|mol|points"
)
_UNIT_IN_TEXT = re.compile(rf"(?:\bin|,|\() ?({_UNIT_WORDS})(?=[\s.,;:)]|$)")
_NUMBER = re.compile(
    r"\b(?:coefficients?|factors?|share|shares|ratio|chance|efficiency|probability|whether|where|number"
    r"|between 0 and 1|0 to 1)\b",
    re.IGNORECASE,
)
_SOURCE = re.compile(
    r"equation|source|NACA|R&M|Raymer|Hoerner|Anderson|Etkin|ISO \d|studies/|coefficients/\S|common practice"
    r"|memory|\(\d{4}\)|\b(?:19|20)\d\d\b|chapter|section \d|conservation|Biot|Kutta|Drela|statics|Newton"
    r"|textbook|Huygens|Arrhenius|Multhopp|FAI|geometry of|trigonometry|binomial|normal distribution",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Entry:
    """A public function, class or method: where, its call, whether it holds data, and its docstring."""

    file: Path
    call: str
    is_data: bool
    text: str

    @property
    def first(self) -> str:
        """First paragraph of the docstring."""
        return _plain(self.text.split("\n\n")[0])

    @property
    def unit(self) -> str:
        """SI unit that the name or the docstring states; empty when neither does or for data."""
        if self.is_data:
            return ""
        name = self.call.split("(")[0]
        by_name = unit_of_name(name, suffixes())
        if by_name != "1":
            return by_name
        found = list(dict.fromkeys(_UNIT_IN_TEXT.findall(self.told)))
        return ", ".join(found) if found else "1" if _NUMBER.search(self.told) else ""

    @property
    def told(self) -> str:
        """The docstring on one line, without its examples."""
        return _plain(re.sub(r"^ *>>>.*", "", self.text, flags=re.MULTILINE | re.DOTALL))

    @property
    def source(self) -> str:
        """Sentences of the docstring below the first paragraph that name a source."""
        rest = self.told.removeprefix(self.first)
        return " ".join(one for one in sentences(rest) if _SOURCE.search(one))


def _plain(text: str) -> str:
    """A text on one line, with marks of code as Markdown has them."""
    return re.sub(r":\w+:`~?([^`]+)`", r"`\1`", " ".join(text.split())).replace("``", "`")


def sentences(text: str) -> list[str]:
    """A text cut after its full stops, but not within abbreviations and numbers."""
    return [one for one in re.split(r"(?<=[a-z0-9)\"`]\.) (?=[A-Z`])", text.strip()) if one]


def files() -> list[Path]:
    """Every file of models/ with something public in it, by room and name."""
    return [path for path in sorted(MODELS.rglob("*.py")) if any(entries(path))]


def entries(path: Path) -> Iterator[Entry]:
    """What is public in a file, in its order."""
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.FunctionDef) and node.name[0] != "_":
            yield _entry(path, node, node.name)
        elif isinstance(node, ast.ClassDef) and node.name[0] != "_":
            yield Entry(path, node.name, True, ast.get_docstring(node) or "")
            for inner in node.body:
                if isinstance(inner, ast.FunctionDef) and inner.name[0] != "_":
                    yield _entry(path, inner, f"{node.name}.{inner.name}")


def _entry(path: Path, node: ast.FunctionDef, name: str) -> Entry:
    is_property = any(isinstance(mark, ast.Name) and mark.id == "property" for mark in node.decorator_list)
    call = name if is_property else f"{name}({_arguments(node.args)})"
    return Entry(path, call, False, ast.get_docstring(node) or "")


def _arguments(own: ast.arguments) -> str:
    """The arguments by name with their defaults; types stand in the code."""
    plain = [*own.posonlyargs, *own.args]
    first = len(plain) - len(own.defaults)
    shown = [
        one.arg + (f"={ast.unparse(own.defaults[place - first])}" if place >= first else "")
        for place, one in enumerate(plain)
        if one.arg not in ("self", "cls")
    ]
    if own.vararg:
        shown.append(f"*{own.vararg.arg}")
    elif own.kwonlyargs:
        shown.append("*")
    for one, default in zip(own.kwonlyargs, own.kw_defaults, strict=True):
        shown.append(one.arg + (f"={ast.unparse(default)}" if default is not None else ""))
    if own.kwarg:
        shown.append(f"**{own.kwarg.arg}")
    return ", ".join(shown)


def page() -> str:
    """The whole page."""
    rooms = list(dict.fromkeys(path.parent.name for path in files()))
    parts = [_HEAD.format(rooms=", ".join(f"[{room}](#{room})" for room in rooms))]
    for room in rooms:
        parts.append(f"\n## {room}\n\n{_docstring(MODELS / room / '__init__.py')}\n")
        parts += [_file(path) for path in files() if path.parent.name == room]
    return "".join(parts)


def _docstring(path: Path) -> str:
    return _plain(ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or "")


def _file(path: Path) -> str:
    name = f"{path.parent.name}/{path.name}"
    where = f"../../{path.relative_to(ROOT).as_posix()}"
    rows = [(f"`{one.call}`", one.unit, one.first, one.source) for one in entries(path)]
    first, *rest = sentences(_docstring(path))
    cited = " ".join(one for one in rest if _SOURCE.search(one))
    lead = f"{first}\n" + (f"\nSource: {cited}\n" if cited else "")
    head = ("Name", "Unit", "What it gives", "Source")
    return f"\n### [{name}]({where})\n\n{lead}\n{table(head, rows)}"
