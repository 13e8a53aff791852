"""Files of rule options: what a committee weighs against a class, and the logger that checks.

An option states what it changes and nothing else. Its limits are written as in a class file
(``[[option.limit]]`` with ``measure`` and bounds that carry their unit), so that what was voted on can be
copied into the class.
"""

from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from glidewright.base.door import read_noun
from glidewright.base.errors import InputError, MissingError
from glidewright.base.fields import Noun, plain
from glidewright.domain.class_limits import Limit
from glidewright.domain.rule_options import CheckLogger, LimitChange, RuleOption, RuleOptions

from .limit_tables import bound_of, read_limit
from .tables import (
    Problems,
    check_schema,
    grade_of,
    parsed,
    read_graded,
    table_named,
    tables_named,
    unknown_tables,
)
from .texts import read_text

SCHEMA = 1
FILE = "options.toml"
_HEAD = ("class", "note", "invented")
_KNOWN = ("schema", "grade", *_HEAD, "option", CheckLogger.table)
_LIMIT = "limit"


class _Head(Noun):
    """What stands above the tables."""

    class_id: str = plain("Class", help="file name of the class", default="")
    note: str = plain("Note", help="anything worth knowing", default="")
    invented: bool = plain("Invented", help="true for the demo", default=False)


def read_rule_options(path: Path, measures: Mapping[str, str]) -> RuleOptions:
    """The options of a file.

    measures: name -> SI symbol or ``words``. Raises MissingError when there is no such file, InputError with
    every problem of it: file, table and key, what must be, what came and what to do.
    """
    if not path.exists():
        raise MissingError.at(
            str(path), "must be a file of rule options; nothing with that name exists; correct the name"
        )
    return options_of_text(read_text(path, path.name), path.name, measures)


def options_beside(folder: Path, class_id: str, measures: Mapping[str, str]) -> RuleOptions:
    """The options that lie in a model folder and are meant for the class; else none. Raises InputError."""
    file = folder / FILE
    stated = read_rule_options(file, measures) if file.is_file() else RuleOptions()
    return stated if stated.class_id in ("", class_id) else RuleOptions()


def options_of_text(text: str, where: str, measures: Mapping[str, str]) -> RuleOptions:
    """The options that a text states; ``where`` names it in messages. Raises InputError."""
    problems = Problems()
    table = parsed(text, where)
    check_schema(table, SCHEMA, where, problems)
    unknown_tables(table, _KNOWN, where, problems)
    grade = grade_of(table, where, "quoted", problems)
    texts = {("class_id" if key == "class" else key): table[key] for key in _HEAD if key in table}
    head = problems.attempt(read_noun, _Head, texts, where)
    raw_logger = table_named(table, CheckLogger.table, where, problems)
    logger = (
        None
        if raw_logger is None
        else read_graded(CheckLogger, raw_logger, f"{where} [{CheckLogger.table}]", grade, problems)
    )
    options = [
        _option(raw, f"{where} [[option]] {raw.get('name') or number}", measures, problems)
        for number, raw in enumerate(tables_named(table, "option", where, problems), 1)
    ]
    if not options and not problems:
        problems.say(where, "must have at least one option; there is none; add [[option]] with a name")
    _unlike(options, where, problems)
    if problems or head is None or logger is None:
        raise InputError(problems)
    return RuleOptions(
        **head.model_dump(), options=tuple(one for one in options if one is not None), logger=logger
    )


def _option(
    raw: Mapping[str, Any], where: str, measures: Mapping[str, str], problems: Problems
) -> RuleOption | None:
    before = len(problems)
    changes = [
        change
        for number, limit in enumerate(tables_named(raw, _LIMIT, where, problems), 1)
        if (change := _change(limit, f"{where}: limit {limit.get('measure') or number}", measures, problems))
    ]
    named = [change.limit.measure for change in changes]
    for name in sorted({one for one in named if named.count(one) > 1}):
        problems.say(f"{where}: limit {name}", "must be stated once; it came twice; keep one of them")
    rest = {key: value for key, value in raw.items() if key != _LIMIT}
    option = problems.attempt(read_noun, RuleOption, rest, where, also={"changes": tuple(changes)})
    if option is None or len(problems) > before:
        return None
    _contradictions(option, where, problems)
    return option if len(problems) == before else None


def _change(
    raw: Mapping[str, Any], where: str, measures: Mapping[str, str], problems: Problems
) -> LimitChange | None:
    limit = read_limit(raw, where, measures, problems)
    if limit is None:
        return None
    stated = [bound_of(key) or key for key in raw]
    return LimitChange(limit=limit, stated=tuple(name for name in stated if name in Limit.model_fields))


def _contradictions(option: RuleOption, where: str, problems: Problems) -> None:
    """An option that says two things about one limit, or nothing at all."""
    for change in option.changes:
        limit = change.limit
        if limit.measure in option.lift:
            problems.say(
                f"{where}: lift",
                f"must not name a limit that the option states; {limit.measure} came in both; keep one",
            )
        if limit.measure == "motor_run" and option.motor_run_s not in (None, limit.at_most):
            problems.say(
                f"{where}: motor_run_s",
                f"must agree with the limit motor_run; {option.motor_run_s:g} s and "
                f"{limit.at_most or 0.0:g} s came; state one of them",
            )
    for name, value in (("motor_run", option.motor_run_s), ("cut_height", option.cut_height_m)):
        if value is not None and name in option.lift:
            problems.say(
                f"{where}: lift",
                f"must not name what the option states; {name} came in both; keep one",
            )
    is_empty = not option.changes and not option.lift
    same = (option.motor_run_s, option.cut_height_m, option.height_count, option.height_window_s)
    if is_empty and all(one is None for one in same):
        problems.say(where, "must change something; it only has a name; state a limit or remove the option")


def _unlike(options: list[RuleOption | None], where: str, problems: Problems) -> None:
    names = Counter(one.name.casefold() for one in options if one is not None)
    for option in options:
        if option is not None and names[option.name.casefold()] > 1:
            problems.say(
                f"{where} [[option]] {option.name}",
                "must have a name of its own; another option has the same; rename one of them",
            )
            return
