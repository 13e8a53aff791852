"""Pages, reports in work, and the crew that computes them."""

import asyncio
import time
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from glidewright.base.errors import GlidewrightError
from glidewright.faces.web.area import areas
from glidewright.faces.web.crew import BrokenError, Crew, StoppedError
from glidewright.faces.web.filled import written
from glidewright.faces.web.inputs import Input, read_inputs
from glidewright.faces.web.jobs import Jobs, key_of, states, wait_for
from glidewright.store.reading import read_model

from .conftest import OWN


def in_a_thread(work: Coroutine[Any, Any, None]) -> None:
    """Run it in a loop of its own, also where the browser of other tests keeps one in this thread."""
    with ThreadPoolExecutor(1) as thread:
        thread.submit(asyncio.run, work).result()


@pytest.fixture
def errands(monkeypatch: pytest.MonkeyPatch) -> str:
    """The module of errands by its name, which a spawned process can import too."""
    monkeypatch.syspath_prepend(str(Path(__file__).parent))
    return "crew_errands"


def test_the_home_page_lists_models_and_ways_to_one(client: TestClient) -> None:
    page = client.get("/").text
    assert "Hill Demo 2000" in page
    assert "Answer ten questions" in page


def test_the_demo_is_copied_under_a_name_that_is_free(client: TestClient, workshop: Path) -> None:
    for name in ("hill-demo", "hill-demo-2"):
        answer = client.post("/demo", headers=OWN)
        assert answer.headers["location"] == f"/m/{name}/"
        assert read_model(workshop / name).name == "Hill Demo 2000"


def test_ten_answers_are_a_model(client: TestClient, workshop: Path) -> None:
    answers = {
        "name": "Wren", "class_id": "", "span_m": "1.5", "root_chord_m": "180", "tip_chord_m": "110",
        "length_m": "900", "airframe_kg": "260", "motor": "m28-1350", "pack": "p2-550", "propeller": "f9x5",
    }  # fmt: skip
    missing = client.post("/new", headers=OWN, data={**answers, "span_m": "", "name": ""})
    assert missing.status_code == 422
    assert missing.text.count("must be answered") == 2
    taken = client.post("/new", headers=OWN, data={**answers, "name": "hill"})
    assert taken.status_code == 422
    assert "holds files already" in taken.text
    assert client.post("/new", headers=OWN, data=answers).headers["location"] == "/m/Wren/model"
    model = read_model(workshop / "Wren")
    assert model.airframe.span_m.value == pytest.approx(1.5, abs=2e-4)
    geometry = model.airframe.geometry
    assert geometry is not None and geometry.body is not None
    assert geometry.body.end_x_m.value - geometry.body.nose_x_m.value == pytest.approx(0.9, abs=2e-4)
    bare = [item.part.mass_kg for item in model.items if item.group in ("wing", "fuselage", "tail")]
    assert sum(given.value for given in bare if given is not None) == pytest.approx(0.26, abs=5e-4)
    assert {item.part.id for item in model.items if item.part.kind in ("motor", "pack", "propeller")} == {
        "m28-1350", "p2-550", "f9x5",
    }  # fmt: skip


def test_every_area_has_a_page_and_names_it(client: TestClient) -> None:
    page = client.get("/m/hill/model").text
    for area in areas().values():
        assert f'href="/m/hill/{area.key}"' in page
        assert area.help.endswith(".")


def test_an_unknown_page_is_a_sentence_for_people_and_for_programs(client: TestClient) -> None:
    assert "must be a page" in client.get("/m/hill/nothing", headers={"accept": "text/html"}).text
    assert client.get("/m/hill/nothing").json()["errors"]
    assert client.get("/m/nobody/check").status_code == 404
    assert client.get("/jobs/unknown").status_code == 404


def test_a_report_is_computed_once_and_followed_by_events(client: TestClient) -> None:
    page = client.get("/m/hill/glide").text
    key = page.split('data-job="')[1].split('"')[0] if "data-job" in page else None
    if key is not None:
        with client.stream("GET", f"/jobs/{key}/events") as events:
            told = [line for line in events.iter_lines() if line.startswith("data:")]
        assert '"state": "done"' in told[-1]
        assert 'class="verdict' in client.get(f"/jobs/{key}/report").text
    again = client.get("/m/hill/glide").text
    assert "data-job" not in again
    assert 'class="verdict' in again


def test_a_wrong_input_is_said_beside_it_and_nothing_is_computed(client: TestClient) -> None:
    answer = client.get("/m/hill/power?temperature_K=hot", headers={"accept": "text/html"})
    assert answer.status_code == 422
    assert "must be a number in °C" in answer.text
    live = client.get("/m/hill/power/live?temperature_K=hot")
    assert live.status_code == 422
    assert "temperature_K" in live.json()["errors"][0]["where"]


def test_inputs_turn_units_into_si(demo: Any) -> None:
    inputs = (
        Input("warm", "Warm", kind="slider", unit="°C", low=-10, high=40, default=15.0),
        Input("on", "On", kind="switch"),
    )
    values, filled = read_inputs(inputs, {"warm": "20,5", "on": "on"}, demo)
    assert values == {"warm": pytest.approx(293.65), "on": True}
    assert filled[0].range_words == "-10 to 40 °C"
    values, _ = read_inputs(inputs, {}, demo)
    assert values == {"warm": pytest.approx(288.15), "on": False}


def test_what_is_filled_in_keeps_whole_numbers_whole() -> None:
    assert written("number", "300", "quoted", "quoted", {}) == (300, "")
    assert written("number", "\u22121,5", "quoted", "quoted", {"low": "-2", "high": "-1"}) == (
        {"value": -1.5, "low": -2, "high": -1}, "",
    )  # fmt: skip
    assert written("number", "1", "quoted", "quoted", {"low": "x"})[1].startswith("low must be a number")
    assert written("list", "rudder, elevator,", "", "", {}) == (["rudder", "elevator"], "")


def test_work_says_how_far_it_is_and_gives_its_result(errands: str) -> None:
    async def ask() -> None:
        crew = Crew(1)
        told: list[tuple[float | None, str]] = []
        try:
            found = await crew.run(
                f"{errands}:number", 21, tell=lambda share, words: told.append((share, words))
            )
            assert found == 42
            await asyncio.sleep(0)
            assert told == [(0.5, "half")]
            with pytest.raises(GlidewrightError, match="must be shorter"):
                await crew.run(f"{errands}:wrong")
            with pytest.raises(BrokenError, match="of ours"):
                await crew.run(f"{errands}:mistaken")
            with pytest.raises(StoppedError):
                await crew.run(f"{errands}:gone")
            assert await crew.run(f"{errands}:number", 1) == 2  # another worker took its place
        finally:
            crew.close()

    in_a_thread(ask())


def test_long_work_is_stopped_at_once_and_can_be_asked_again(errands: str) -> None:
    async def ask() -> None:
        crew = Crew(1)
        jobs = Jobs(crew)
        try:
            job = jobs.ensure(key_of("slow"), f"{errands}:slow", ())
            assert jobs.ensure(key_of("slow"), f"{errands}:slow", ()) is job
            seen = []
            async for told in states(job):
                seen.append(told)
                if told["state"] == "running" and (told["share"] or 0) > 0:
                    break
            assert seen[-1]["words"].startswith("step")
            began = time.perf_counter()
            await jobs.stop(job.key)
            assert job.state == "stopped"
            assert time.perf_counter() - began < 5.0
            assert jobs.ensure(key_of("slow"), f"{errands}:slow", ()) is not job
            await jobs.stop(job.key)
            refused = jobs.ensure("other", f"{errands}:wrong", ())
            assert await wait_for(refused, 20.0)
            assert [str(problem) for problem in refused.problems] == [
                "span_m: must be shorter; long came; cut it"
            ]
        finally:
            crew.close()

    in_a_thread(ask())


def test_work_that_is_stopped_gives_what_it_has_and_the_worker_goes_on(errands: str) -> None:
    async def ask() -> None:
        crew = Crew(1)
        jobs = Jobs(crew)
        try:
            job = jobs.ensure("patient", f"{errands}:patient", ())
            async for told in states(job):
                if (told["share"] or 0) > 0:
                    break
            await jobs.stop(job.key)
            assert job.state == "done"
            assert job.result.startswith("so far")
            again = jobs.ensure("patient", f"{errands}:patient", ())
            assert again is not job  # an answer cut short is not the answer
            crew.ask_to_end(again)  # before it has begun or while it works: it must end either way
            await jobs.stop(again.key)
            assert again.is_over
            assert await crew.run(f"{errands}:number", 1) == 2
            assert not crew.ask_to_end(job)
        finally:
            crew.close()

    in_a_thread(ask())


def test_work_that_does_not_listen_is_ended_all_the_same(
    errands: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("glidewright.faces.web.jobs._GRACE_S", 0.2)

    async def ask() -> None:
        crew = Crew(1)
        jobs = Jobs(crew)
        try:
            job = jobs.ensure("deaf", f"{errands}:deaf", ())
            async for told in states(job):
                if told["share"]:
                    break
            await jobs.stop(job.key)
            assert job.state == "stopped"
            assert await crew.run(f"{errands}:number", 1) == 2
        finally:
            crew.close()

    in_a_thread(ask())


@pytest.mark.parametrize("path", ["check/live", "plan/live", "check/scene", "flights/live", "nothing/live"])
def test_what_an_area_does_not_show_is_no_address(client: TestClient, path: str) -> None:
    assert client.get(f"/m/hill/{path}", headers=OWN).status_code == 404
