"""How a study writes what it fitted into a packaged coefficient table: fields of one entry, comments kept."""

import os
import sys
from pathlib import Path

import tomlkit

REPOSITORY = Path(__file__).resolve().parent.parent
TABLES = REPOSITORY / "src" / "glidewright" / "data" / "coefficients"


def reference_folder() -> Path:
    """Folder of the measured data: first argument, else GLIDEWRIGHT_REFERENCE, else ../shared/reference."""
    if len(sys.argv) > 1:
        return Path(sys.argv[1])
    return Path(os.environ.get("GLIDEWRIGHT_REFERENCE", REPOSITORY.parent / "shared" / "reference"))


def write_entry(table: str, entry: str, **fields: object) -> None:
    """Set fields of one entry of ``coefficients/<table>.toml`` and print them."""
    path = TABLES / f"{table}.toml"
    document = tomlkit.parse(path.read_text(encoding="utf-8"))
    target = document.setdefault(entry, tomlkit.table())
    for key, value in fields.items():
        target[key] = value
    path.write_text(tomlkit.dumps(document), encoding="utf-8")
    print(f"{table}.toml [{entry}]", {key: fields[key] for key in ("value", "low", "high") if key in fields})
