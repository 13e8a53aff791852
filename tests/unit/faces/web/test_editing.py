"""Changing a model folder by its pages: at once on disk, undone, refused with a sentence."""

import json
import threading
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from glidewright.base.errors import InputError, WriteError
from glidewright.faces.web.desk import ConflictError, Desk
from glidewright.faces.web.folders import Workshop, revision
from glidewright.store import alone
from glidewright.store.atomic import os as atomic_os
from glidewright.store.reading import read_model
from glidewright.store.tables import parsed

from .conftest import OWN


def tell(client: TestClient, path: str, **values: Any) -> Any:
    return client.post(f"/m/hill/{path}", headers=OWN, json=values)


def set_span(client: TestClient, folder: Path, text: str, **more: Any) -> Any:
    raw = parsed((folder / "model.toml").read_text(encoding="utf-8"), "")
    asked = {
        "file": "model.toml",
        "keys": ["airframe", "span_m"],
        "kind": "number",
        "text": text,
        "grade": "measured",
        "base_grade": "quoted",
        "was": raw["airframe"].get("span_m"),
        "revision": revision(folder),
    }
    return tell(client, "set", **(asked | more))


@pytest.fixture
def folder(workshop: Path) -> Path:
    return workshop / "hill"


def test_a_value_is_written_with_its_grade_and_comments_stay(client: TestClient, folder: Path) -> None:
    before = (folder / "model.toml").read_text(encoding="utf-8")
    answer = set_span(client, folder, "2,01", because="tape")
    assert answer.status_code == 200
    after = (folder / "model.toml").read_text(encoding="utf-8")
    changed = [
        pair for pair in zip(before.splitlines(), after.splitlines(), strict=True) if pair[0] != pair[1]
    ]
    assert [new for _, new in changed] == ['span_m = {value = 2.01, grade = "measured", because = "tape"}']
    assert answer.json()["revision"] == revision(folder)
    assert answer.json()["undo"] == "span_m of airframe"


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("long", "must be a number"),
        ("9", "must be at most 8 m"),
        ("0", "must be greater than 0 m"),
        ("1e999", "finite"),
    ],
)
def test_a_bad_value_is_refused_with_its_sentence_and_nothing_changes(
    client: TestClient, folder: Path, text: str, sentence: str
) -> None:
    before = revision(folder)
    answer = set_span(client, folder, text)
    assert answer.status_code == 422
    assert sentence in answer.json()["errors"][0]["message"]
    assert revision(folder) == before


def test_undo_and_redo_walk_through_the_changes_byte_by_byte(client: TestClient, folder: Path) -> None:
    texts = [(folder / "model.toml").read_bytes()]
    for text in ("2.0", "2.1", "2.2"):
        assert set_span(client, folder, text).status_code == 200
        texts.append((folder / "model.toml").read_bytes())
    for expected in reversed(texts[:-1]):
        assert tell(client, "undo").status_code == 200
        assert (folder / "model.toml").read_bytes() == expected
    assert tell(client, "undo").status_code == 422
    assert tell(client, "redo").status_code == 200
    assert (folder / "model.toml").read_bytes() == texts[1]
    set_span(client, folder, "1.8")
    assert tell(client, "redo").status_code == 422


def test_an_empty_field_takes_the_value_out(client: TestClient, folder: Path) -> None:
    asked = {"keys": ["field", "headwind_m_per_s"]}
    raw = parsed((folder / "model.toml").read_text(encoding="utf-8"), "")["field"]
    assert set_span(client, folder, "", **asked, was=raw["headwind_m_per_s"]).status_code == 200
    assert read_model(folder).field.headwind_m_s.because == "not stated, calm assumed"
    assert set_span(client, folder, "", **asked, was=None).status_code == 200  # twice is no mistake


def test_a_value_that_another_hand_changed_is_not_overwritten(client: TestClient, folder: Path) -> None:
    assert set_span(client, folder, "2.0").status_code == 200
    answer = set_span(client, folder, "2.2", was=1.995)
    assert answer.status_code == 409
    assert "was changed meanwhile" in answer.json()["errors"][0]["message"]
    assert read_model(folder).airframe.span_m.value == pytest.approx(2.0)


def test_a_text_editor_counts_as_another_hand(client: TestClient, folder: Path) -> None:
    set_span(client, folder, "2.0")
    path = folder / "model.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("elevation_m = 430", "elevation_m = 500"))
    answer = tell(client, "undo")
    assert answer.status_code == 409
    assert "elevation_m = 500" in path.read_text(encoding="utf-8")


def test_tables_without_a_name_need_the_folder_as_it_was_seen(client: TestClient, folder: Path) -> None:
    keys = ["weighing", 1, "mass_g"]
    stale = set_span(client, folder, "66", keys=keys, was=65.1, revision="0" * 16)
    assert stale.status_code == 409
    assert set_span(client, folder, "66", keys=keys, was=65.1).status_code == 200
    assert read_model(folder).weighings[1].mass_kg is not None


def test_tables_come_and_go_and_come_back(client: TestClient, folder: Path) -> None:
    fields = {
        "id": {"kind": "text", "text": "hatch"},
        "group": {"kind": "choice", "text": "fuselage"},
        "mass_g": {"kind": "number", "text": "4"},
        "x_mm": {"kind": "number", "text": "-20"},
    }
    assert tell(client, "add", file="model.toml", table="item", fields=fields).status_code == 200
    assert any(item.name == "hatch" for item in read_model(folder).items)
    gone = tell(client, "remove", file="model.toml", keys=["item", "hatch"], revision=revision(folder))
    assert gone.status_code == 200
    assert not any(item.name == "hatch" for item in read_model(folder).items)
    tell(client, "undo")
    assert any(item.name == "hatch" for item in read_model(folder).items)


def test_a_new_table_that_lacks_something_is_refused_whole(client: TestClient, folder: Path) -> None:
    before = revision(folder)
    fields = {"part": {"kind": "choice", "text": "no-such-part"}}
    answer = tell(client, "add", file="model.toml", table="fitted", fields=fields)
    assert answer.status_code == 422
    assert "no-such-part" in json.dumps(answer.json())
    assert revision(folder) == before


def test_a_part_that_is_fitted_cannot_be_removed_from_the_drawer(client: TestClient, folder: Path) -> None:
    answer = tell(
        client, "remove", file="parts/power.toml", keys=["pack", "p2-550"], revision=revision(folder)
    )
    assert answer.status_code == 422
    assert read_model(folder).from_drawer("p2-550") is not None


def test_a_save_that_is_cut_off_leaves_the_old_file(
    client: TestClient, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = (folder / "model.toml").read_bytes()

    def cut(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(atomic_os, "replace", cut)
    answer = set_span(client, folder, "2.0")
    assert answer.status_code == 422
    assert "the disk is full" in answer.json()["errors"][0]["message"]
    assert (folder / "model.toml").read_bytes() == before
    assert not list(folder.glob(".*.tmp"))


def test_many_hands_at_once_lose_no_change(folder: Path) -> None:
    desk = Desk(folder)
    items = [f"panel-{side}" for side in ("left", "right")] + ["canopy", "boom"]

    def change(name: str) -> None:
        raw = parsed((folder / "model.toml").read_text(encoding="utf-8"), "")
        own = next(item for item in raw["item"] if item["id"] == name)
        desk.set("model.toml", ("item", name, "mass_g"), 20.5, own["mass_g"], "")

    threads = [threading.Thread(target=change, args=(name,)) for name in items]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    masses = {item.name: item.part.mass_kg for item in read_model(folder).items}
    assert all(given is not None and given.value == pytest.approx(0.0205) for given in map(masses.get, items))


def test_a_file_as_text_is_written_only_when_it_reads(client: TestClient, folder: Path) -> None:
    text = (folder / "model.toml").read_text(encoding="utf-8")
    form = {"text": text.replace("elevation_m = 430", "elevation_m = high"), "revision": revision(folder)}
    page = client.post("/m/hill/text/model.toml", headers={**OWN, "accept": "text/html"}, data=form)
    assert page.status_code == 422
    assert "elevation_m = high" in page.text  # what was written is still there
    assert (folder / "model.toml").read_text(encoding="utf-8") == text
    form["text"] = text.replace("elevation_m = 430", "elevation_m = 431")
    assert client.post("/m/hill/text/model.toml", headers=OWN, data=form).status_code == 303
    assert read_model(folder).field.elevation_m.value == 431


def test_a_folder_that_cannot_be_read_says_where_and_offers_its_text(
    client: TestClient, folder: Path
) -> None:
    path = folder / "model.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("elevation_m = 430", "elevation_m = "))
    for page in ("check", "model"):
        answer = client.get(f"/m/hill/{page}", headers={"accept": "text/html"})
        assert answer.status_code == 422
        assert "must be valid TOML" in answer.text
        assert "/m/hill/text/model.toml" in answer.text
    assert "cannot be read: 1 problem" in client.get("/").text


def test_what_is_no_json_is_a_sentence(client: TestClient) -> None:
    for content in (b"{", b"[]", b"7"):
        answer = client.post("/m/hill/set", headers=OWN, content=content)
        assert answer.status_code == 422
        assert "must be" in answer.json()["errors"][0]["message"]


def test_only_listed_models_have_a_desk(workshop: Path) -> None:
    with pytest.raises(InputError):
        Workshop.at(workshop).folder("nobody")
    with pytest.raises(InputError):
        Workshop.at(workshop / "nowhere")
    assert Workshop.at(workshop / "hill").names() == ["hill"]
    assert issubclass(ConflictError, InputError)


@pytest.mark.parametrize("body", [b"", b"{", b"[]", b"null", b"\xff\xfe", b"[" * 50_000])
@pytest.mark.parametrize("path", ["set", "add", "remove", "outcome", "put", "enter"])
def test_a_body_that_is_no_json_object_is_refused(client: TestClient, path: str, body: bytes) -> None:
    answer = client.post(f"/m/hill/{path}", headers=OWN, content=body)
    assert answer.status_code == 422
    assert "must be JSON" in answer.json()["errors"][0]["message"] or "must be a JSON" in answer.text


@pytest.mark.parametrize(
    "pick",
    [
        "[" * 50_000,
        "[]",
        '{"set": [[[], 1]]}',
        '{"set": 1}',
        '{"set": [[["item"], 1]]}',
        '{"set": [], "parts": true}',
        '{"set": [], "parts": [["a", "b"]]}',
        '{"set": [], "parts": [["parts/power.toml", 1, {}]]}',
        '{"set": [], "items": ["x"]}',
        '{"set": [], "items": [{"id": null}]}',
    ],
)
def test_a_build_that_is_none_is_refused(client: TestClient, pick: str) -> None:
    answer = tell(client, "put", pick=pick, revision="")
    assert answer.status_code == 422


@pytest.mark.parametrize("field", [None, [], "x", 3])
def test_a_field_that_is_none_is_refused(client: TestClient, field: Any) -> None:
    answer = tell(client, "add", file="model.toml", table="item", fields={"id": field})
    assert answer.status_code == 422


def test_whole_texts_and_undo_wait_for_another_program(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    desk, text = Desk(folder), (folder / "model.toml").read_text(encoding="utf-8")
    desk.write("model.toml", text + "\n# seen\n", revision(folder))
    monkeypatch.setattr(alone, "WAIT_s", 0.05)
    with alone.alone_in(folder):
        with pytest.raises(WriteError, match="must be free to be changed"):
            desk.undo()
        with pytest.raises(WriteError, match="must be free to be changed"):
            desk.write("model.toml", text, revision(folder))
    assert (folder / "model.toml").read_text(encoding="utf-8").endswith("# seen\n")
    desk.undo()
    assert (folder / "model.toml").read_text(encoding="utf-8") == text
