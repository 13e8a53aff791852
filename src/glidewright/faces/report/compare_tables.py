"""Tables of a comparison; where more models stand side by side than a line holds, they go on below."""

from collections.abc import Iterator, Sequence

from glidewright.base.wording import (
    NOT_KNOWN,
    chance_text,
    number_text,
    percent_text,
    spread_digits,
    unit_text,
)
from glidewright.decisions.comparing.nouns import FEWEST, Compared, CompareResult, InputRow, Line
from glidewright.faces.report.document import Column, Table
from glidewright.faces.report.status import chance_of, status_of
from glidewright.rules.finding import Finding, is_without_spread

SURE_ENOUGH = 0.9
ALIKE = "alike"
_BESIDE = 3  # models that stand beside the first one on a line
_NEARLY_ALL = 0.95
_CHANCE = "chance_balanced"
_BETTER, _BEST = "Better", "Best"
_SHORT = {
    "speed_sink_least_m_s": "- at airspeed",
    "speed_glide_best_m_s": "- at airspeed",
    "speed_to_fly_m_s": "In wind fly at",
    "sink_into_wind_m_s": "- sink there",
    "glide_over_ground": "- over the ground",
    "cg_x_m": "Centre of gravity",
    "chance_balanced": "Chance in range",
    "least_ballast_kg": "Least ballast",
    "cost": "Cost with postage",
    "cost_to_buy": "- still to pay",
    "build_time_s": "Hours to build",
}
"""Labels where a line is short."""


def groups_of(count: int) -> list[tuple[int, ...]]:
    """Places of the models that share a table, the first model in each.

    >>> groups_of(4), groups_of(6)
    ([(0, 1, 2, 3)], [(0, 1, 2, 3), (0, 4, 5)])
    """
    return [(0, *range(start, min(start + _BESIDE, count))) for start in range(1, max(count, 2), _BESIDE)]


def inputs_table(rows: Sequence[InputRow], letters: Sequence[str]) -> tuple[Table, ...]:
    """What each model states under every key that differs."""
    return tuple(
        Table(
            (Column("Key", is_number=False), *(Column(letters[place], is_number=False) for place in places)),
            tuple((row.key, *(row.values[place] for place in places)) for row in rows),
        )
        for places in groups_of(len(letters))
    )


def short_tables(result: CompareResult) -> tuple[Table, ...]:
    """Medians side by side; two models with their difference, more with a table of differences.

    Lines that are the same in all models are named in a note.
    """
    letters = [one.letter for one in result.models]
    figures = [line for line in result.lines if line.figures]
    told = [line for line in figures if not _is_alike(line)]
    alike = [line.title.lower() for line in figures if _is_alike(line)]
    note = f"The same in all: {', '.join(alike)}." if alike else ""
    labels = [_label(line, result, is_short=True) for line in told]
    if len(letters) == FEWEST:
        rows = [
            (label, *_medians(line), _apart(line, 0), better_text(line, 0))
            for label, line in zip(labels, told, strict=True)
        ]
        return (_table((*letters, _less(letters, 1), _BETTER), rows, note=note),)
    groups = groups_of(len(letters))
    tables = []
    for places in groups:
        is_last = places is groups[-1]
        rows = [
            (label, *(_medians(line)[place] for place in places), *([best_text(line)] if is_last else []))
            for label, line in zip(labels, told, strict=True)
        ]
        heads = [letters[place] for place in places] + ([_BEST] if is_last else [])
        tables.append(_table(heads, rows, note=note if is_last else ""))
    for places in groups:
        rows = [
            (label, *(_apart(line, place - 1) for place in places[1:]))
            for label, line in zip(labels, told, strict=True)
        ]
        heads = [_less(letters, place) for place in places[1:]]
        tables.append(_table(heads, rows, f"Differences to {letters[0]}"))
    return tuple(tables)


def _less(letters: Sequence[str], place: int) -> str:
    return f"{letters[place]} less {letters[0]}"


def _table(heads: Sequence[str], rows: Sequence[tuple[str, ...]], title: str = "", note: str = "") -> Table:
    columns = [Column("Figure", is_number=False)]
    columns += [Column(head, is_number=head not in (_BETTER, _BEST)) for head in heads]
    return Table(tuple(columns), tuple(rows), title, note)


def _is_alike(line: Line) -> bool:
    """Whether all models have the same in every draw."""
    return all(own.figure.low == own.figure.high == 0.0 for own in line.differences)


def _label(line: Line, result: CompareResult, is_short: bool = False) -> str:
    symbol = unit_text(line.shown, result.currency)
    title = _SHORT.get(line.name, line.title) if is_short else line.title
    return f"{title}, {symbol}" if symbol else title


def _medians(line: Line) -> tuple[str, ...]:
    if line.name == _CHANCE:
        return tuple(
            NOT_KNOWN if one.value is None else chance_text(one.value).removesuffix(" %")
            for one in line.figures
        )
    found = [spread_digits(figure) for figure in line.figures]
    return tuple(NOT_KNOWN if one is None else one[0] for one in found)


def _apart(line: Line, number: int) -> str:
    figure = line.differences[number].figure
    if line.name == _CHANCE and figure.value is not None:
        return percent_text(figure.value).removesuffix(" %")
    return number_text(figure, with_unit=False)


def better_text(line: Line, number: int) -> str:
    """Who of two is better and in what share of the draws, or that they are alike in more of them.

    Nothing where neither is wanted.
    """
    if line.wanted == "neither":
        return ""
    if not line.differences:
        return ", ".join(line.best) or ALIKE
    own = line.differences[number]
    if own.figure.value is None:
        return NOT_KNOWN
    if own.sure is None or own.chance_more is None or own.chance_less is None:
        return own.better or ALIKE
    same = 1.0 - own.chance_more - own.chance_less
    if same > own.sure:
        return ALIKE if same >= _NEARLY_ALL else f"{ALIKE} {chance_text(same)}"
    return f"{own.better} {chance_text(own.sure, is_without_spread(own.figure))}"


def best_text(line: Line) -> str:
    """Who of all is best, and in what share of the draws no other is better."""
    if line.wanted == "neither":
        return ""
    if not line.best:
        return NOT_KNOWN if any(one.value is None for one in line.figures) else ALIKE
    is_exact = all(is_without_spread(own.figure) for own in line.differences)
    sure = "" if line.sure is None else f" {chance_text(line.sure, is_exact)}"
    return f"{', '.join(line.best)}{sure}"


def winners(line: Line, models: int) -> tuple[tuple[str, ...], float | None]:
    """Letters of the best and how sure that is; nobody where most draws are alike."""
    if models > FEWEST or not line.differences:
        return line.best, line.sure
    own = line.differences[0]
    if not own.better or better_text(line, 0).startswith(ALIKE):
        return (), None
    return (own.better,), own.sure


def figures_table(result: CompareResult) -> tuple[Table, ...]:
    """Every figure with its range, each with its unit."""
    letters = [one.letter for one in result.models]
    lines = [line for line in result.lines if line.figures]
    return tuple(
        Table(
            (Column("Figure", is_number=False), *(Column(letters[place]) for place in places)),
            tuple((line.title, *(line.figures[place] for place in places)) for line in lines),
        )
        for places in groups_of(len(letters))
    )


def limits_table(models: Sequence[Compared]) -> tuple[tuple[Table, ...], tuple[Table, ...]]:
    """Limits that one of them breaks, or keeps less surely than another; and those alike in all."""
    told: list[tuple[str, ...]] = []
    rest: list[tuple[str, ...]] = []
    for found in _by_limit(models):
        title = next(one.title for one in found if one is not None)
        cells = tuple("-" if one is None else finding_text(one) for one in found)
        is_open = any(one is not None and one.severity in ("broken", "doubtful") for one in found)
        (told if is_open or len(set(cells)) > 1 else rest).append((title, *cells))
    return _limit_tables(told, models), _limit_tables(rest, models)


def _limit_tables(rows: Sequence[tuple[str, ...]], models: Sequence[Compared]) -> tuple[Table, ...]:
    if not rows:
        return ()
    return tuple(
        Table(
            (_words("Limit"), *(_words(models[place].letter) for place in places)),
            tuple((row[0], *(row[1 + place] for place in places)) for row in rows),
        )
        for places in groups_of(len(models))
    )


def _words(title: str) -> Column:
    return Column(title, is_number=False)


def finding_text(finding: Finding) -> str:
    """A finding in a word with its chance.

    The chance is left out where it is not known.
    """
    word = status_of(finding).word
    return word if finding.chance is None else f"{word}, {chance_of(finding)}"


def _by_limit(models: Sequence[Compared]) -> Iterator[tuple[Finding | None, ...]]:
    """The findings of all models limit by limit; none where one is not judged by it."""
    found = [{(one.kind, one.name): one for one in model.findings} for model in models]
    for key in dict.fromkeys(key for own in found for key in own):
        yield tuple(own.get(key) for own in found)


def limits_words(models: Sequence[Compared]) -> str:
    """How many limits each keeps."""
    each = []
    for model in models:
        kept = sum(status_of(one).is_kept for one in model.findings)
        each.append(f"{model.letter} keeps {kept} of {len(model.findings)}")
    return f"{', '.join(each)}."
