"""What a study found, kept in docs/studies/<name>.json with its command, date, seed and code.

The code is every module of the program and of the studies that the run had loaded, the coefficient tables
and the demo where these name them, each file with a digest of what it does: comments, docstrings and layout
do not count. ``docs/make_validation.py`` shows what is kept and says which files do other things since.
"""

import ast
import hashlib
import json
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator, Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
FOLDER = ROOT / "docs/studies"
_SOURCES = (ROOT / "src/glidewright", ROOT / "studies")
_TABLES = ROOT / "src/glidewright/data/coefficients"
_DEMO = ROOT / "src/glidewright/data/demo/hill-demo"
_TABLE = re.compile(r'\b(?:coefficients?|usual|stand_in)\(\s*f?"(\w+)')  # its name, or how that begins
_DOCUMENTED = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
_KEYS_OF_PAPER = ("source", "where", "method", "study", "valid")


def keep(name: str, command: str, found: Mapping[str, Any], seed: int | None = None) -> None:
    """Write what a study found; found: what JSON can hold, floats rounded by the caller."""
    FOLDER.mkdir(exist_ok=True)
    head = {"command": command, "date": date.today().isoformat(), "commit": _commit(), "seed": seed}
    whole = {**head, "found": found, "code": {path: digest(ROOT / path) for path in _loaded()}}
    text = json.dumps(whole, indent=1, ensure_ascii=False, allow_nan=False)
    (FOLDER / f"{name}.json").write_text(text + "\n", encoding="utf-8")


def kept(name: str) -> dict[str, Any]:
    """What a study wrote last."""
    found: dict[str, Any] = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    return found


def stale(name: str) -> list[str]:
    """Files that do other things, or are gone, since the study ran."""
    return [path for path, known in kept(name)["code"].items() if digest(ROOT / path) != known]


@cache
def digest(path: Path) -> str:
    """A digest of what a file does; empty when it is not there."""
    if not path.exists():
        return ""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".py":
        text = _told(ast.parse(text))
    elif path.suffix == ".toml":
        text = json.dumps(_without_papers(tomllib.loads(text)), sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()[:10]


def _told(node: object) -> str:
    """A syntax tree as text without docstrings, the same from every version of Python."""
    if isinstance(node, list):
        return f"[{' '.join(map(_told, node))}]"
    if not isinstance(node, ast.AST) or isinstance(node, ast.Constant):
        return repr(node.value if isinstance(node, ast.Constant) else node)
    fields = {name: value for name, value in ast.iter_fields(node) if value not in (None, [])}
    if isinstance(node, _DOCUMENTED) and ast.get_docstring(node, clean=False) is not None:
        fields["body"] = node.body[1:]
    told = " ".join(f"{name}={_told(value)}" for name, value in fields.items())
    return f"{type(node).__name__}({told})"


def _without_papers(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _without_papers(one) for key, one in value.items() if key not in _KEYS_OF_PAPER}
    return value


def _loaded() -> Iterator[str]:
    """Files of the running program, from the root of the repository, in order."""
    files = {Path(file).resolve() for one in list(sys.modules.values()) if (file := _file_of(one))}
    own = {file for file in files if any(place in file.parents for place in _SOURCES)}
    texts = [file.read_text(encoding="utf-8") for file in own]
    named = tuple(found[1] for text in texts for found in _TABLE.finditer(text))
    own |= {file for file in _TABLES.glob("*.toml") if file.stem.startswith(named)}
    if any(_DEMO.name in text for text in texts):
        own |= set(_DEMO.rglob("*.toml"))
    yield from sorted(str(file.relative_to(ROOT)) for file in own)


def _file_of(module: object) -> str:
    file = getattr(module, "__file__", None)
    return file if isinstance(file, str) else ""


def _commit() -> str:
    words = ["git", "-C", str(ROOT), "rev-parse", "--short=10", "HEAD"]
    said = subprocess.run(words, capture_output=True, text=True, check=False)
    return said.stdout.strip()
