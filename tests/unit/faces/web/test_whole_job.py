"""What pages write besides single keys: outcomes, builds, logs; and files that are loaded down."""

import json
import shutil
import time
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

import glidewright
from glidewright.decisions.choosing.builds import Build, with_more_parts
from glidewright.domain.parts import Pack, Servo
from glidewright.faces.web.area import Subject, areas
from glidewright.faces.web.areas.choose import _changes
from glidewright.faces.web.folders import revision
from glidewright.faces.web.inputs import read_inputs
from glidewright.store.logbook import Logbook, logbook_url
from glidewright.store.parts_files import read_parts_files
from glidewright.store.reading import read_model

from .conftest import OWN

LOG = Path(glidewright.__file__).parent / "data/demo/hill-demo-flights/evening-1.csv"


@pytest.fixture
def folder(workshop: Path) -> Path:
    return workshop / "hill"


def tell(client: TestClient, path: str, **values: Any) -> Any:
    return client.post(f"/m/hill/{path}", headers=OWN, json=values)


def upload(client: TestClient, name: str, data: bytes) -> Any:
    return client.post(
        "/m/hill/flights/upload", headers={**OWN, "accept": "text/html"}, files={"file": (name, data)}
    )


def page_with(client: TestClient, address: str, words: str) -> Any:
    """The page when its report is there, which comes when its process is done."""
    for _ in range(300):
        page = client.get(address)
        if words in page.text:
            return page
        time.sleep(0.1)
    raise AssertionError(f"{address} never shows {words!r}")


def test_an_outcome_is_written_down_and_undone(client: TestClient, folder: Path) -> None:
    wrong = tell(client, "outcome", step="weigh", went="well", mass_g="heavy", revision="any")
    assert wrong.status_code == 422
    assert "must be a number" in wrong.json()["errors"][0]["message"]
    assert tell(client, "outcome", step="fly upside down", went="well").status_code == 422
    assert tell(client, "outcome", step="weigh", went="maybe").status_code == 422
    assert read_model(folder).outcomes == ()
    good = tell(client, "outcome", step="weigh", went="well", mass_g="602,5", note="scale of the club")
    assert good.status_code == 200
    outcome = read_model(folder).outcomes[0]
    assert (outcome.step, outcome.went, outcome.note) == ("weigh", "well", "scale of the club")
    assert outcome.mass_kg is not None
    assert outcome.mass_kg.value == pytest.approx(0.6025)
    tell(client, "undo")
    assert read_model(folder).outcomes == ()


def build(**more: Any) -> str:
    return json.dumps({"set": [], "items": [], "parts": []} | more)


def test_a_build_is_put_in_as_one_change(client: TestClient, folder: Path) -> None:
    before = (folder / "model.toml").read_bytes()
    ballast = {"id": "tail-ballast", "group": "ballast", "mass_g": 4, "x_mm": 800, "y_mm": 0, "z_mm": 0}
    changes = [[["fitted", "pack", "part"], "p2-800"], [["fitted", "pack", "x_mm"], -120.5]]
    answer = tell(client, "put", pick=build(set=changes, items=[ballast]), revision=revision(folder))
    assert answer.status_code == 200
    items = {item.name: item.part for item in read_model(folder).items}
    assert items["pack"].id == "p2-800"
    assert items["pack"].x_m is not None and items["pack"].x_m.value == pytest.approx(-0.1205)
    assert "tail-ballast" in items
    tell(client, "undo")
    assert (folder / "model.toml").read_bytes() == before


def test_a_build_for_another_state_of_the_folder_is_refused(client: TestClient, folder: Path) -> None:
    before = revision(folder)
    pick = build(set=[[["fitted", "pack", "part"], "p2-800"]])
    assert tell(client, "put", pick=pick, revision="0" * 16).status_code == 409
    gone = build(set=[[["fitted", "pack", "part"], "no-such-pack"]])
    assert tell(client, "put", pick=gone, revision=before).status_code == 422
    other = build(set=[[["airframe", "span_m"], 9]])
    assert tell(client, "put", pick=other, revision=before).status_code == 422
    for nonsense in ("", "{}", "[]", '{"set": [1]}'):
        assert tell(client, "put", pick=nonsense, revision=before).status_code == 422
    assert revision(folder) == before


def test_a_log_is_kept_under_a_safe_name_and_entered_once(client: TestClient, folder: Path) -> None:
    answer = upload(client, "Evening 1, low sun.csv", LOG.read_bytes())
    assert answer.status_code == 303
    kept = [path.name for path in (folder / "flights").iterdir() if path.is_file()]
    assert len(kept) == 1
    assert kept[0].startswith("Evening_1_low_sun-")
    assert answer.headers["location"].endswith(kept[0])
    assert (folder / "flights" / kept[0]).read_bytes() == LOG.read_bytes()
    looked = client.get(answer.headers["location"])
    assert looked.status_code == 200
    assert not (folder / "logbook.sqlite").exists()  # looking writes nothing
    assert "1 flight entered" in tell(client, "enter", log=kept[0]).json()["words"]
    assert "already" in tell(client, "enter", log=kept[0]).json()["words"]
    with Logbook(logbook_url(folder)) as book:
        assert len(book.flights(read_model(folder).name)) == 1
    day = page_with(client, "/m/hill/day?day=2025-05-03", "Score sheet")
    assert day.status_code == 200


def test_weather_and_landing_go_with_a_log_into_the_logbook(client: TestClient, folder: Path) -> None:
    upload(client, "evening.csv", LOG.read_bytes())
    kept = next(path.name for path in (folder / "flights").iterdir() if path.is_file())
    asked = f"/m/hill/flights?log={kept}&temperature=11,5&wind=3&landing=4.2"
    assert 'name="temperature" value="11.5"' in page_with(client, asked, 'data-tell="enter"').text
    refused = tell(client, "enter", log=kept, landing="near")
    assert refused.status_code == 422
    assert "must be a number" in refused.text
    tell(client, "enter", log=kept, temperature="11.5", wind="3", landing="4.2")
    with Logbook(logbook_url(folder)) as book:
        flight = book.flights(read_model(folder).name)[0]
    assert flight.landing_m == 4.2
    assert flight.weather.temperature_K is not None
    assert flight.weather.temperature_K.value == pytest.approx(284.65)
    assert flight.weather.headwind_m_s is not None and flight.weather.headwind_m_s.value == 3.0


@pytest.mark.parametrize("name", ["../../evil.csv", "..\\evil.csv", "/etc/passwd", "C:evil", ".hidden"])
def test_no_name_of_a_log_leads_out_of_the_folder(
    client: TestClient, folder: Path, workshop: Path, name: str
) -> None:
    upload(client, name, LOG.read_bytes())
    outside = {path for path in workshop.rglob("*") if path.is_file() and folder not in path.parents}
    assert outside == set()
    flights = folder / "flights"
    assert all(path.parent == flights for path in flights.glob("*.csv"))
    assert tell(client, "enter", log=name).status_code == 422


def test_what_is_no_log_is_not_kept(client: TestClient, folder: Path) -> None:
    for data in (b"", b"no log at all", bytes(range(256)) * 20):
        answer = upload(client, "note.txt", data)
        assert answer.status_code == 422
        assert "must be" in answer.text
    assert client.post("/m/hill/flights/upload", headers=OWN, data={"file": "x"}).status_code == 422
    assert not (folder / "flights").exists()


def test_files_that_nobody_makes_are_not_found(client: TestClient) -> None:
    assert client.get("/m/hill/sheet/file/a5.pdf").status_code == 404
    assert client.get("/m/hill/check/file/a4.pdf").status_code == 404
    found = client.get("/m/hill/sheet/file/letter.pdf")
    assert found.content.startswith(b"%PDF-")
    assert found.headers["content-disposition"] == 'attachment; filename="Hill-Demo-2000-letter.pdf"'


def test_areas_say_what_they_need() -> None:
    for area in areas().values():
        names = [one.name for one in area.inputs]
        assert len(set(names)) == len(names)
        assert not area.asks or area.asks in names
        assert bool(area.files) == (area.make is not None)
        assert area.live is None or (area.panel and area.scene is not None)


def test_parts_of_a_file_beside_the_models_can_be_chosen_and_put_in(
    client: TestClient, folder: Path, workshop: Path
) -> None:
    catalogue = Path(glidewright.__file__).parent / "data/demo/hill-catalogue.toml"
    shutil.copy(catalogue, workshop / "catalogue.toml")
    assert '<option value="catalogue.toml"' in client.get("/m/hill/choose").text
    assert client.get("/m/hill/choose?parts=../model.toml").status_code == 422
    own = read_model(folder)
    parts = read_parts_files([workshop / "catalogue.toml"], own.currency, {}, [one.id for one in own.drawer])
    pack = next(one for one in parts if isinstance(one, Pack))
    servos = tuple(part.id for _, part in own.of_kind(Servo))
    other = Build(
        motor="m28-1020", controller="c30", pack=pack.id, propeller="f11x6", servos=servos, pack_x_m=-0.12
    )
    changes = _changes(own, with_more_parts(own, parts), other)
    before = (folder / "model.toml").read_bytes()
    wrong = {**changes, "set": [*changes["set"], [["fitted", "pack", "x_mm"], "far"]]}
    assert tell(client, "put", pick=json.dumps(wrong), revision=revision(folder)).status_code == 422
    assert read_model(folder) == own  # no part is left behind by a build that cannot be put in
    answer = tell(client, "put", pick=json.dumps(changes), revision=revision(folder))
    assert answer.status_code == 200
    now = read_model(folder)
    fitted = now.first(Pack)
    assert fitted is not None and fitted.id == pack.id
    assert fitted.x_m is not None and fitted.x_m.value == pytest.approx(-0.12)
    bought = now.from_drawer(pack.id)
    assert bought is not None and bought.price == pack.price
    tell(client, "undo")  # both files are one change
    assert (folder / "model.toml").read_bytes() == before
    assert read_model(folder).from_drawer(pack.id) is None
    tell(client, "redo")
    again = read_model(folder).first(Pack)
    assert again is not None and again.id == pack.id


class AskedError(Exception):
    """Stands in for the work itself, which takes a while."""


def test_the_field_takes_airframes_and_parts_that_lie_beside_the_model(
    workshop: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copytree(folder, workshop / "lark")
    text = (folder / "model.toml").read_text(encoding="utf-8")
    (workshop / "lark/model.toml").write_text(text.replace("Hill Demo 2000", "Lark", 1), encoding="utf-8")
    part = '[[pack]]\nid = "club-580"\ncells = 2\ncapacity_mAh = 580\nmass_g = 40\n'
    (workshop / "club.toml").write_text(f"schema = 1\n{part}", encoding="utf-8")
    requests: list[Any] = []

    def run(request: Any, progress: Any) -> None:
        del progress
        requests.append(request)
        raise AskedError

    monkeypatch.setattr("glidewright.decisions.fair.run", run)
    area = areas()["fair"]
    model = read_model(folder)
    values, filled = read_inputs(
        area.inputs, {"second": "lark", "third": "lark", "parts": "club.toml"}, model, folder
    )
    assert not any(one.problem for one in filled)
    assert area.answer is not None
    with pytest.raises(AskedError):
        area.answer(Subject(folder, revision(folder), model, None), values, lambda *_: None)
    assert [one.name for one in requests[0].models] == [model.name, "Lark"]
    assert all("club-580" in [part.id for part in one.drawer] for one in requests[0].models)
