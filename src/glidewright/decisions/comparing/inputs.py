"""What actually differs in the inputs of models: key by key, in the units of the files, and nothing else.

Words for people (names, titles, notes, sources) are no inputs. Measures that follow from the panels are none
either, the panels are; nor are outcomes of test flights, whose readings stand with the others.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from pydantic import BaseModel

from glidewright.base.door import shortest_number
from glidewright.base.fields import Noun, Quantity, quantities
from glidewright.base.figure import Given
from glidewright.base.wording import plain_text
from glidewright.decisions.comparing.nouns import InputRow
from glidewright.domain.airframe import WORKED_OUT
from glidewright.domain.model import Item, Model

NOTHING = "-"
_WORDS = frozenset({"name", "title", "note", "source", "invented", "balance_source", "ceiling_source"})
_APART = frozenset({"items", "drawer", "outcomes", "learned"})
_KEYS = {"class_id": "class"}
_THERE = "stated"


@dataclass(frozen=True)
class _Said:
    """What a model states under a key: the whole of it, to compare, and as text, short and with its grade."""

    whole: object
    text: str
    with_grade: str = field(default="", compare=False)


@dataclass(frozen=True)
class _Table:
    """The keys of one of several tables, and all of it in a few words."""

    short: str
    keys: dict[str, _Said]


def differing_inputs(models: Sequence[Model]) -> tuple[InputRow, ...]:
    """One row for every input that is not the same in all models, in the order of the files."""
    rows = list(_rows([dict(_single_keys(model)) for model in models]))
    tables = [dict(_tables(model)) for model in models]
    for label in dict.fromkeys(label for found in tables for label in found):
        found = [one.get(label) for one in tables]
        there = [one for one in found if one is not None]
        if len(there) < len(found):
            short = [NOTHING if one is None else one.short for one in found]
            rows.append(InputRow(key=label, values=tuple(short)))
        else:
            rows.extend(_rows([{f"{label}: {key}": one.keys[key] for key in one.keys} for one in there]))
    return tuple(rows)


def _rows(found: Sequence[Mapping[str, _Said]]) -> Iterator[InputRow]:
    for key in dict.fromkeys(key for one in found for key in one):
        said = [one.get(key) for one in found]
        if all(one == said[0] for one in said):
            continue
        texts = [NOTHING if one is None else one.text for one in said]
        if len(set(texts)) < len(set(said)):  # the number alone does not tell them apart
            texts = [NOTHING if one is None else one.with_grade or one.text for one in said]
        yield InputRow(key=key, values=tuple(texts))


def _single_keys(model: Model) -> Iterator[tuple[str, _Said]]:
    """Keys at the top, and of the tables that stand once."""
    yield from _keys_of(model, "", _APART)
    for noun in _nouns_of(model):
        yield from _keys_of(noun, f"[{_name_of(noun)}] ")


def _nouns_of(noun: BaseModel) -> Iterator[BaseModel]:
    """The tables that stand once, those inside of others too."""
    for name in type(noun).model_fields:
        value = getattr(noun, name)
        if isinstance(value, Noun) and name not in _APART:
            if not _lists_of(value) or quantities(type(value)):
                yield value
            yield from _nouns_of(value)


def _tables(model: Model) -> Iterator[tuple[str, _Table]]:
    """One of several tables by its label: fitted parts and items first, then the others."""
    owned = {part.id for part in model.drawer}
    for item in model.items:
        table = "fitted" if item.part.id in owned else item.part.kind
        yield f"[[{table}]] {item.name}", _Table(_item_text(item), dict(_item_keys(item)))
    for owner in (model, *_nouns_of(model), *_shapes_of(model)):
        for nouns in _lists_of(owner):
            for number, noun in enumerate(nouns, start=1):
                label, keys = _label(noun, number), dict(_keys_of(noun, ""))
                mass = keys.get("mass_g")
                yield f"[[{_name_of(noun)}]] {label}", _Table(f"{mass.text} g" if mass else _THERE, keys)


def _shapes_of(model: Model) -> Iterator[BaseModel]:
    if model.airframe.geometry is not None:
        yield model.airframe.geometry


def _lists_of(noun: BaseModel) -> list[tuple[BaseModel, ...]]:
    """The lists of tables that a noun holds, but for what stands apart."""
    values = [getattr(noun, name) for name in type(noun).model_fields if name not in _APART]
    return [one for one in values if isinstance(one, tuple) and one and isinstance(one[0], Noun)]


def _name_of(noun: BaseModel) -> str:
    return str(getattr(type(noun), "table", type(noun).__name__.lower()))


def _label(noun: BaseModel, number: int) -> str:
    """What a table of a list is called: its id or name, what was weighed, or its number."""
    named = getattr(noun, "id", "") or getattr(noun, "name", "")
    weighed = getattr(noun, "of", ())
    if weighed:
        return f"{', '.join(weighed)} {getattr(noun, 'date', '')}".rstrip()
    return str(named or number)


def _item_keys(item: Item) -> Iterator[tuple[str, _Said]]:
    yield "part", _Said((item.part.kind, item.part.id), item.part.id)
    yield from ((key, said) for key, said in _keys_of(item.part, "") if key != "id")


def _item_text(item: Item) -> str:
    """Which part it is, unless its name says so, and its mass."""
    words = [] if item.part.id == item.name else [item.part.id]
    words += [] if item.part.mass_kg is None else [plain_text(item.part.mass_kg.value, "g")]
    return ", ".join(words) or _THERE


def _keys_of(noun: BaseModel, lead: str, but: frozenset[str] = frozenset()) -> Iterator[tuple[str, _Said]]:
    """Every stated key of a table with what it says."""
    metas = quantities(type(noun))
    for name in type(noun).model_fields:
        value = getattr(noun, name)
        if name in _WORDS | but or value is None or value == "" or isinstance(value, Noun | bytes):
            continue
        if isinstance(value, Given):
            if value.because != WORKED_OUT:
                yield f"{lead}{metas[name].key}", _given(value, metas[name])
        elif not isinstance(value, tuple):
            text = str(value).lower() if isinstance(value, bool) else str(value)
            yield f"{lead}{_KEYS.get(name, name)}", _Said(value, text)
        elif not any(isinstance(one, Noun) for one in value):
            yield f"{lead}{name}", _Said(value, ", ".join(map(str, value)) or NOTHING)


def _given(given: Given, meta: Quantity) -> _Said:
    """A number in its file's unit."""
    number = f"{shortest_number(given.value, meta):g}"
    band = ""
    if given.low is not None and given.high is not None:
        band = f" ({shortest_number(given.low, meta):g} to {shortest_number(given.high, meta):g})"
    whole = (given.value, given.low, given.high, given.grade)
    return _Said(whole, number, f"{number}{band} {given.grade}")
