"""The drawer: every part of ``parts/*.toml``, by kind, each id once."""

import re
from collections.abc import Mapping
from typing import Any

from glidewright.base.figure import Grade
from glidewright.domain.parts import KINDS, Part

from .tables import Problems, Table, grade_of, read_graded, tables_named, unknown_tables
from .texts import MODEL_FILE

_ID = re.compile(r"\w[\w.\-]*")


class Drawer:
    """The parts in the order of the files, and the ids that stand in a file but could not be read.

    ``is_whole`` is false when a whole file could not be read: then nobody can say what is not in it.
    """

    def __init__(self, is_whole: bool) -> None:
        self.parts: dict[str, Part] = {}
        self.unreadable: set[str] = set()
        self.is_whole = is_whole

    def may_have(self, part_id: str) -> bool:
        """Whether a part with this id stands or may stand in the drawer, though it could not be read."""
        return part_id in self.unreadable or (not self.is_whole and part_id not in self.parts)

    def ids(self, kind: type[Part] = Part) -> list[str]:
        """The ids of the parts of a kind."""
        return [part_id for part_id, part in self.parts.items() if isinstance(part, kind)]


def read_drawer(files: Mapping[str, Table], is_whole: bool, problems: Problems) -> Drawer:
    """All parts of the parsed files; model.toml among them is passed over."""
    drawer = Drawer(is_whole)
    seen_in: dict[str, str] = {}
    for name, table in files.items():
        if name == MODEL_FILE:
            continue
        unknown_tables(table, ["schema", "grade", *KINDS], name, problems)
        grade = grade_of(table, name, "quoted", problems)
        for kind, noun in KINDS.items():
            for number, raw in enumerate(tables_named(table, kind, name, problems), 1):
                where = f"{name} [[{kind}]] {label_of(raw, number)}"
                part = read_part(noun, raw, where, grade, problems)
                part_id = raw.get("id")
                if not isinstance(part_id, str):
                    continue
                if part_id in seen_in:
                    problems.say(
                        f"{where}: id",
                        f"must be unique; {part_id!r} is in {seen_in[part_id]} already; rename one of them",
                    )
                    continue
                seen_in[part_id] = name
                if part is None:
                    drawer.unreadable.add(part_id)
                else:
                    drawer.parts[part_id] = part
    return drawer


def read_part(noun: type[Part], raw: Table, where: str, grade: Grade, problems: Problems) -> Part | None:
    """One part of its kind, or nothing with its problems noted."""
    part = read_graded(noun, raw, where, grade, problems)
    if part is not None and not _ID.fullmatch(part.id):
        problems.say(
            f"{where}: id",
            f"must be letters, digits, - _ and . without spaces; {part.id!r} came; rename it",
        )
        return None
    return part


def label_of(raw: Table, number: int) -> str:
    """How messages name one of several tables: its id or name, else which one of them it is."""
    name: Any = raw.get("id") or raw.get("name")
    return repr(name) if isinstance(name, str) and name else str(number)
