"""Bad input gets one clear sentence each: where, what must be, what came, what to do."""

from collections.abc import Callable
from pathlib import Path

import pytest

from glidewright.base.errors import InputError, MissingError
from glidewright.store import texts
from glidewright.store.reading import model_of_texts, read_model
from glidewright.store.texts import read_texts

Spoil = Callable[[str, str, str], None]

CASES = {
    "unknown key": (
        ("model.toml", "mass_g = 100", "mas_g = 100"),
        "model.toml [[item]] 'left-panel': mas_g: is not a key that is known here; correct or remove it; "
        "nearest known: mass_g",
    ),
    "wrong unit key": (
        ("model.toml", "span_m = 2.0", "span_mm = 2000"),
        "model.toml [airframe]: span_mm: must be written as span_m in m; the key span_mm came; "
        "rename it and convert the number",
    ),
    "key without its unit": (
        ("parts/drawer.toml", "capacity_mAh = 550", "capacity = 550"),
        "parts/drawer.toml [[pack]] 'p2': capacity: must be written as capacity_mAh in mAh; "
        "the key capacity came; rename it and convert the number",
    ),
    "unknown table": (
        ("model.toml", "[launch]", "[lanch]"),
        "model.toml: [lanch]: is not a table or key that is known here; correct or remove it; "
        "nearest known: launch, bench",
    ),
    "unknown part kind": (
        ("parts/drawer.toml", "[[servo]]", "[[servos]]"),
        "parts/drawer.toml: [servos]: is not a table or key that is known here; correct or remove it; "
        "nearest known: servo",
    ),
    "negative": (
        ("model.toml", "span_m = 2.0", "span_m = -2.0"),
        "model.toml [airframe]: span_m: must be greater than 0 m; -2 came; correct it or leave the key out",
    ),
    "mass of zero": (
        ("model.toml", "mass_g = 100", "mass_g = 0"),
        "model.toml [[item]] 'left-panel': mass_g: must be greater than 0 g; 0 came; "
        "correct it or leave the key out",
    ),
    "not a number": (
        ("model.toml", "mass_g = 100", "mass_g = nan"),
        "model.toml [[item]] 'left-panel': mass_g: must be a finite number; nan came; "
        "leave the key out when it is not known",
    ),
    "infinite": (
        ("model.toml", "mass_g = 100", "mass_g = -inf"),
        "model.toml [[item]] 'left-panel': mass_g: must be a finite number; -inf came; "
        "leave the key out when it is not known",
    ),
    "too large": (
        ("model.toml", "mass_g = 100", "mass_g = 100000"),
        "model.toml [[item]] 'left-panel': mass_g: must be at most 5000 g; 100000 came; "
        "check the unit of the key",
    ),
    "too small to divide by": (
        ("model.toml", "mass_g = 100", "mass_g = 5e-324"),
        "model.toml [[item]] 'left-panel': mass_g: must be 0, or 1e-09 g or more in size; 4.94066e-324 came; "
        "correct it or leave the key out",
    ),
    "text for a number": (
        ("model.toml", "mass_g = 100", 'mass_g = "100 g"'),
        "model.toml [[item]] 'left-panel': mass_g: must be a number in g; '100 g' came; "
        "write the number without a unit",
    ),
    "true for a number": (
        ("model.toml", "mass_g = 100", "mass_g = true"),
        "model.toml [[item]] 'left-panel': mass_g: must be a number in g; True came; "
        "write the number without a unit",
    ),
    "number for a text": (
        ("model.toml", 'name = "Small"', "name = 3"),
        "model.toml: name: must be text; 3 came; correct it",
    ),
    "name missing": (
        ("model.toml", 'name = "Small"\n', ""),
        "model.toml: name: must be given and is missing; add it",
    ),
    "pack with no cells": (
        ("parts/drawer.toml", "cells = 2", "cells = 0"),
        "parts/drawer.toml [[pack]] 'p2': cells: must be at least 1; 0 came; correct it",
    ),
    "pack that does not say its cells": (
        ("parts/drawer.toml", "cells = 2\n", ""),
        "parts/drawer.toml [[pack]] 'p2': cells: must be given and is missing; add it",
    ),
    "half a cell": (
        ("parts/drawer.toml", "cells = 2", "cells = 2.5"),
        "parts/drawer.toml [[pack]] 'p2': cells: must be a whole number; 2.5 came; correct it",
    ),
    "cells as text": (
        ("parts/drawer.toml", "cells = 2", 'cells = "2"'),
        "parts/drawer.toml [[pack]] 'p2': cells: must be a whole number; '2' came; correct it",
    ),
    "capacity missing": (
        ("parts/drawer.toml", "capacity_mAh = 550\n", ""),
        "parts/drawer.toml [[pack]] 'p2': capacity_mAh: must be given and is missing; add it",
    ),
    "group that is none": (
        ("model.toml", 'group = "wing"', 'group = "wings"'),
        "model.toml [[item]] 'left-panel': group: must be one of 'wing', 'fuselage', 'tail', 'radio', "
        "'power', 'ballast' or 'other'; 'wings' came; correct it",
    ),
    "unknown grade": (
        ("parts/drawer.toml", 'grade = "quoted"', 'grade = "sure"'),
        "parts/drawer.toml: grade: must be one of measured, quoted, typical, guessed; 'sure' came; "
        "choose one of them",
    ),
    "grade that is no word": (
        ("parts/drawer.toml", 'grade = "measured"', "grade = []"),
        "parts/drawer.toml [[pack]] 'p2': mass_g.grade: must be one of measured, quoted, typical, guessed; "
        "[] came; choose one of them",
    ),
    "control signs": (
        ("model.toml", 'part = "m28"', r'part = "m\u001b[2J"'),
        "model.toml [[fitted]] 'motor': part: must be the id of a part in parts/*.toml; 'm\\x1b[2J' came; "
        "known: m28, m35, p2, s6",
    ),
    "inline table without value": (
        ("parts/drawer.toml", "value = 34, ", ""),
        "parts/drawer.toml [[pack]] 'p2': mass_g: must have a value; the inline table has none; "
        "add value = ...",
    ),
    "low above high": (
        ("parts/drawer.toml", "low = 33.8, high = 34.2", "low = 34.2, high = 33.8"),
        "parts/drawer.toml [[pack]] 'p2': mass_g: must satisfy low <= value <= high; "
        "{'value': 34, 'grade': 'measured', 'low': 34.2, 'high': 33.8, 'because': 'letter scale'} came; "
        "correct it",
    ),
    "part not in the drawer": (
        ("model.toml", 'part = "m28"', 'part = "m29"'),
        "model.toml [[fitted]] 'motor': part: must be the id of a part in parts/*.toml; 'm29' came; "
        "nearest known: m28",
    ),
    "second motor": (
        ("model.toml", 'part = "s6"\nname = "rudder servo"', 'part = "m35"\nname = "second motor"'),
        "model.toml [[fitted]] 'second motor': must be the only motor that is fitted; a second one came; "
        "keep one in [[fitted]], the others stay in the drawer",
    ),
    "id twice": (
        ("parts/drawer.toml", 'id = "m35"', 'id = "m28"'),
        "parts/drawer.toml [[motor]] 'm28': id: must be unique; 'm28' is in parts/drawer.toml already; "
        "rename one of them",
    ),
    "id with a space": (
        ("parts/drawer.toml", 'id = "m35"', 'id = "m 35"'),
        "parts/drawer.toml [[motor]] 'm 35': id: must be letters, digits, - _ and . without spaces; "
        "'m 35' came; rename it",
    ),
    "item named as a part of the drawer": (
        ("model.toml", 'id = "left-panel"', 'id = "m35"'),
        "model.toml [[item]] 'm35': id: must not be the id of a part in the drawer; it is one; "
        "rename the item",
    ),
    "name twice": (
        ("model.toml", 'name = "elevator servo"', 'name = "rudder servo"'),
        "model.toml: 'rudder servo': must name one item only; 2 have that name; give each a name of its own",
    ),
    "name of a group": (
        ("model.toml", 'name = "pack"', 'name = "power"'),
        "model.toml: 'power': must not be the name of a group or all; it is one; rename the item",
    ),
    "weighing of nothing known": (
        ("model.toml", 'of = ["boom"]', 'of = ["bom"]'),
        "model.toml [[weighing]] 1: of: must name items or groups of this model, or all; 'bom' came; "
        "nearest known: boom",
    ),
    "weighing of nothing": (
        ("model.toml", 'of = ["boom"]', "of = []"),
        "model.toml [[weighing]] 1: of: must name what was weighed; an empty list came; write of = ['all']",
    ),
    "bench part of another kind": (
        ("model.toml", "voltage_V = 7.2", 'voltage_V = 7.2\nmotor = "p2"'),
        "model.toml [[bench]] 1: motor: must be the id of a motor in parts/*.toml; 'p2' is a pack; "
        "known: m28, m35",
    ),
    "single table where several may be": (
        ("model.toml", "[[bench]]", "[bench]"),
        "model.toml: bench: must be written as [[bench]]; [bench] came; double the brackets",
    ),
    "several tables where one must be": (
        ("model.toml", "[field]", "[[field]]"),
        "model.toml: field: must be one table [field]; [[field]] came; write it as [field]",
    ),
    "fitted with an unknown key": (
        ("model.toml", "x_mm = -200", "station_mm = -200"),
        "model.toml [[fitted]] 'motor': station_mm: is not a key that is known here; correct or remove it; "
        "known: name, part, x_mm, y_mm, z_mm",
    ),
    "weighing without a mass": (
        ("model.toml", "mass_g = 31.5\n", ""),
        "model.toml [[weighing]] 1: must have either mass_g or two or three supports; "
        "0 supports and no mass_g came; keep one way",
    ),
    "weighing on one support": (
        ("model.toml", "mass_g = 31.5\n", "support = [{ x_mm = 0, reading_g = 31.5 }]\n"),
        "model.toml [[weighing]] 1: must have either mass_g or two or three supports; "
        "1 supports and no mass_g came; keep one way",
    ),
    "weighing with a negative reaction": (
        (
            "model.toml",
            "mass_g = 31.5\n",
            "support = [{ x_mm = 0, reading_g = 40 }, { x_mm = 300, reading_g = -8 }]\n",
        ),
        "model.toml [[weighing]] 1: support 2: reading_g: must be greater than 0 g; -8 came; "
        "correct it or leave the key out",
    ),
    "bench reading of no current": (
        ("model.toml", "current_A = 13.1", "current_A = 0"),
        "model.toml [[bench]] 1: current_A: must be greater than 0 A; 0 came; "
        "correct it or leave the key out",
    ),
    "part without an id": (
        ("parts/drawer.toml", 'id = "m35"\n', ""),
        "parts/drawer.toml [[motor]] 2: id: must be given and is missing; add it",
    ),
    "schema missing": (
        ("model.toml", "schema = 1  # layout\n", ""),
        "model.toml: must state its schema and does not; write schema = 1 as its first line",
    ),
    "schema of the future": (
        ("model.toml", "schema = 1", "schema = 7"),
        "model.toml: schema: must be at most 1 for this version; 7 came, from a newer one; "
        "update glidewright to read this folder",
    ),
    "schema that is no number": (
        ("parts/drawer.toml", "schema = 1", 'schema = "one"'),
        "parts/drawer.toml: schema: must be a whole number from 0; 'one' came; write 1",
    ),
    "broken TOML": (
        ("parts/drawer.toml", "cells = 2", "cells 2"),
        "parts/drawer.toml line 17, column 7: must be valid TOML; "
        "expected '=' after a key in a key/value pair; correct it there",
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_one_sentence_names_the_place_and_what_to_do(folder: Path, spoil: Spoil, case: str) -> None:
    change, sentence = CASES[case]
    spoil(*change)
    with pytest.raises(InputError) as refused:
        read_model(folder)
    assert sentence in [str(problem) for problem in refused.value.problems]


SINGLE = [
    case
    for case in CASES
    # this one spoils a second thing as well: the servos that are fitted are then not in the drawer
    if case != "unknown part kind"
]


@pytest.mark.parametrize("case", SINGLE)
def test_one_fault_gives_one_problem(folder: Path, spoil: Spoil, case: str) -> None:
    change, sentence = CASES[case]
    spoil(*change)
    with pytest.raises(InputError) as refused:
        read_model(folder)
    assert str(refused.value) == sentence


@pytest.mark.parametrize("number", ["1" + "0" * 400, "0x" + "f" * 5000, "[9223372036854775808]"])
def test_a_whole_number_that_toml_does_not_have_is_refused(folder: Path, spoil: Spoil, number: str) -> None:
    spoil("model.toml", "mass_g = 100", f"mass_g = {number}")
    with pytest.raises(InputError) as refused:
        read_model(folder)
    assert str(refused.value) == (
        "model.toml: mass_g: must be a whole number of 64 bits at most, as TOML has them; a larger one came; "
        "correct it"
    )


def test_a_long_value_does_not_fill_the_screen(folder: Path, spoil: Spoil) -> None:
    spoil("model.toml", "mass_g = 100", f'mass_g = "{100_000 * "x"}"')
    with pytest.raises(InputError) as refused:
        read_model(folder)
    said = str(refused.value)
    assert len(said) < 700
    assert said.startswith("model.toml [[item]] 'left-panel': mass_g: must be a number in g; 'xxx")
    assert said.endswith("xxx' came; write the number without a unit")


def test_many_unknown_keys_come_as_a_number(folder: Path, spoil: Spoil) -> None:
    spoil("model.toml", "mass_g = 100", "".join(f"k{number} = 1\n" for number in range(300)))
    with pytest.raises(InputError) as refused:
        read_model(folder)
    said = [str(problem) for problem in refused.value.problems]
    assert len(said) == 21
    assert said[-1] == (
        "model.toml [[item]] 'left-panel': has 280 more keys that are not known here; correct or remove them"
    )


def test_many_unknown_tables_come_as_a_number(folder: Path) -> None:
    path = folder / "model.toml"
    path.write_text(path.read_text() + "".join(f"[t{number}]\n" for number in range(300)))
    with pytest.raises(InputError) as refused:
        read_model(folder)
    assert str(refused.value.problems[-1]) == (
        "model.toml: has 280 more keys that are not known here; correct or remove them"
    )
    assert len(refused.value.problems) == 21


@pytest.mark.parametrize("written", ["a{} = 1", "[a{}]", "b = {{ a{} = 1 }}", "'a'{} = 1", "a . b{} = 1"])
def test_a_key_of_thousands_of_parts_costs_no_gigabytes(folder: Path, written: str) -> None:
    path = folder / "model.toml"
    path.write_text("schema = 1\n" + written.format(".a" * 30_000))
    with pytest.raises(InputError, match=r"^model\.toml line 2: must have keys of 16 parts at most"):
        read_model(folder)


def test_missing_folder(tmp_path: Path) -> None:
    with pytest.raises(MissingError) as refused:
        read_model(tmp_path / "nowhere")
    assert str(refused.value) == (
        f"{tmp_path / 'nowhere'}: must be a model folder; nothing with that name exists; "
        "correct the name or make one with: glidewright new NAME"
    )


def test_missing_model_file(folder: Path) -> None:
    (folder / "model.toml").unlink()
    with pytest.raises(MissingError) as refused:
        read_model(folder)
    assert str(refused.value) == (
        f"{folder / 'model.toml'}: must exist in a model folder; the folder has no model.toml; "
        "give another folder or make one with: glidewright new NAME"
    )


def test_a_file_instead_of_the_folder(folder: Path) -> None:
    with pytest.raises(InputError) as refused:
        read_model(folder / "model.toml")
    assert str(refused.value) == (
        f"{folder / 'model.toml'}: must be a model folder; a file came; "
        f"give the folder that holds it, {folder}"
    )


def test_a_folder_instead_of_a_file(folder: Path) -> None:
    (folder / "model.toml").unlink()
    (folder / "model.toml").mkdir()
    (folder / "parts" / "odd.toml").mkdir()
    with pytest.raises(InputError) as refused:
        read_model(folder)
    assert str(refused.value) == (
        "model.toml: must be a file; a folder came; rename or remove it\n"
        "parts/odd.toml: must be a file; a folder came; rename or remove it"
    )


def test_a_file_where_the_drawer_must_be(folder: Path) -> None:
    (folder / "parts" / "drawer.toml").unlink()
    (folder / "parts").rmdir()
    (folder / "parts").write_text("motors")
    with pytest.raises(InputError) as refused:
        read_model(folder)
    assert str(refused.value) == ("parts: must be a folder with the drawer's files; a file came; rename it")


def test_an_empty_drawer_is_said(folder: Path) -> None:
    (folder / "parts" / "drawer.toml").unlink()
    with pytest.raises(InputError) as refused:
        read_model(folder)
    assert refused.value.problems[0].message == (
        "must be the id of a part in parts/*.toml; 'm28' came; "
        "the drawer has none, add it to a file in parts/"
    )


def test_a_file_that_is_no_utf_8(folder: Path) -> None:
    path = folder / "parts" / "drawer.toml"
    path.write_bytes(path.read_bytes().replace(b"letter scale", b"K\xfcchenwaage"))
    with pytest.raises(InputError) as refused:
        read_model(folder)
    assert str(refused.value) == (
        "parts/drawer.toml line 19: must be UTF-8 text; the byte 0xfc came; save the file as UTF-8"
    )


def test_an_absurdly_large_file(folder: Path) -> None:
    (folder / "parts" / "video.toml").write_bytes(b"#" * 2_500_000)
    with pytest.raises(InputError) as refused:
        read_model(folder)
    assert str(refused.value) == (
        "parts/video.toml: must be at most 2 MB; 2.5 MB came; "
        "it is no file of a model folder, remove it from here"
    )


@pytest.mark.parametrize("depth", [18, 30, 400])
def test_brackets_in_brackets_are_refused_at_any_depth(folder: Path, spoil: Spoil, depth: int) -> None:
    spoil("model.toml", 'name = "Small"', f"name = {'[' * depth}1{']' * depth}")
    with pytest.raises(InputError, match=r"^model\.toml: name: must (be text|stand in 20 brackets at most)"):
        read_model(folder)


def test_deeply_nested_brackets_do_not_break_the_reader(folder: Path, spoil: Spoil) -> None:
    spoil("model.toml", 'name = "Small"', "name = " + "[" * 20_000)
    with pytest.raises(InputError, match=r"model\.toml.*: must be valid TOML"):
        read_model(folder)


def test_a_file_that_may_not_be_read(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_path: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)  # the tests may run as root, whom no mode stops
    with pytest.raises(InputError) as refused:
        read_model(folder)
    assert str(refused.value) == (
        "model.toml: must be readable; reading it is not allowed; change its permissions\n"
        "parts/drawer.toml: must be readable; reading it is not allowed; change its permissions"
    )


@pytest.mark.parametrize("method", ["iterdir", "is_dir"])
def test_a_folder_that_may_not_be_read(folder: Path, monkeypatch: pytest.MonkeyPatch, method: str) -> None:
    def refuse(_path: Path) -> bool:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, method, refuse)
    with pytest.raises(
        InputError, match="must be readable; reading it is not allowed; change its permissions"
    ):
        read_texts(folder)


def test_a_broken_disk_is_said_in_the_words_of_the_system(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(_path: Path) -> bytes:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(Path, "read_bytes", refuse)
    with pytest.raises(InputError, match="the system said: Input/output error; check the disk or the name"):
        read_model(folder)


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("field = 3", "model.toml: field: must be one table [field]; 3 came; write it as [field]"),
        ("bench = 3", "model.toml: bench: must be written as [[bench]]; 3 came; double the brackets"),
        (
            "class_id = 'x'",
            "model.toml: class_id: is not a table or key that is known here; correct or remove it; "
            "nearest known: class",
        ),
    ],
)
def test_what_stands_at_the_top_must_be_what_it_is(line: str, sentence: str) -> None:
    head = f'schema = 1\nname = "Odd"\n{line}\n[airframe]\nspan_m = 2\nwing_area_dm2 = 36\n'
    with pytest.raises(InputError) as refused:
        model_of_texts({"model.toml": head})
    assert str(refused.value) == sentence


def test_nothing_is_read_into_a_model_that_a_person_did_not_write() -> None:
    with pytest.raises(InputError, match=r"\[airframe\]: span_m: must be given and is missing; add it"):
        model_of_texts({texts.MODEL_FILE: 'schema = 1\nname = "Empty"\n'})
