"""The forms: every table and key of a folder has its place, with unit, range and help from the metadata."""

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

from glidewright.domain.model import Model
from glidewright.faces.web.forms import FieldForm
from glidewright.faces.web.tables import drawer_groups, model_groups
from glidewright.store.tables import parsed
from glidewright.store.texts import MODEL_FILE, read_texts
from glidewright.store.toml_edit import value_at


@pytest.fixture(scope="module")
def files(demo_folder: Path) -> dict[str, dict[str, Any]]:
    return {name: parsed(text, name) for name, text in read_texts(demo_folder).items()}


@pytest.fixture(scope="module")
def groups(files: dict[str, dict[str, Any]], demo: Model) -> list[Any]:
    drawer = {name: table for name, table in files.items() if name != MODEL_FILE}
    return [*model_groups(files[MODEL_FILE], demo, ("hill-club-electric",)), *drawer_groups(drawer)]


def test_every_key_of_the_demo_has_a_field_that_shows_it(groups: list[Any], files: dict[str, Any]) -> None:
    shown = {
        (table.file, *table.keys, form.key): json.loads(form.was)
        for group in groups
        for table in group.tables
        for form in table.fields
    }
    for (file, *keys), raw in shown.items():
        assert value_at(files[file], keys) == raw
    places = {tuple(map(str, place)) for place in shown}
    missing = [
        (file, name, key)
        for file, tables in files.items()
        for name, found in tables.items()
        for number, table in enumerate(found if isinstance(found, list) else [found])
        if isinstance(table, dict)
        for key in table
        if key not in ("grade", "value", "because", "low", "high")
        and (file, name, key) not in places
        and not any((file, name, str(step), key) in places for step in _steps(table, number))
    ]
    assert missing == []


def _steps(table: dict[str, Any], number: int) -> list[Any]:
    return [table.get("name"), table.get("id"), table.get("part"), number]


def test_ids_are_unique_and_fit_for_a_page(groups: list[Any]) -> None:
    ids = [form.id for group in groups for table in group.tables for form in table.fields]
    assert len(set(ids)) == len(ids)
    assert not any(set(one) & set(" |'\"<>") for one in ids)


def field(groups: list[Any], title: str, key: str) -> FieldForm:
    tables = next(group.tables for group in groups if group.title == title)
    found: FieldForm = next(form for form in tables[0].fields if form.key == key)
    return found


def test_a_field_says_unit_range_help_and_grade(groups: list[Any]) -> None:
    span = field(groups, "Airframe", "span_m")
    assert (span.unit, span.text, span.grade, span.base_grade) == ("m", "1.995", "measured", "quoted")
    assert span.range == "above 0, at most 8, usual 1 to 4"
    assert span.because == "tape, tip to tip on the flat board"
    assert field(groups, "Field", "pressure_hPa").was == "null"
    assert ("hill-club-electric", "hill-club-electric") in field(groups, "Model", "class").choices
    assert field(groups, "Weighings", "mass_g").base_grade == "measured"


def test_what_cannot_be_read_as_a_model_still_has_its_forms() -> None:
    table = tomllib.loads('name = "x"\n[airframe]\nspan_m = "long"\n[[item]]\nmass_g = 3\n')
    found = model_groups(table, None, ())
    assert field(found, "Airframe", "span_m").text == "long"
    structure = next(group for group in found if group.title == "Structure")
    assert structure.tables[0].keys == ("item", 0)
