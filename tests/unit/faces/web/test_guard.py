"""Who may ask: host, origin, method and size, on every route; and the door of the club."""

import re
from pathlib import Path

import pytest
from starlette.routing import Mount, Route
from starlette.testclient import TestClient

from glidewright.faces.web.app import _routes, make_app
from glidewright.faces.web.door import Door
from glidewright.faces.web.folders import Workshop
from glidewright.faces.web.guard import LARGEST_BODY_BYTES, LOOPBACK_NAMES, host_name

from .conftest import BASE, OWN


def every_route() -> list[tuple[str, str]]:
    """Method and an address of every route."""
    found = []
    for route in _routes():
        if isinstance(route, Mount):
            found.append(("GET", f"{route.path}/app.js"))
        elif isinstance(route, Route):
            path = re.sub(r"\{file:path\}", "model.toml", route.path)
            path = path.replace("{model}", "hill").replace("{area}", "check").replace("{key}", "0")
            found += [(method, path) for method in route.methods or () if method != "HEAD"]
    return found


ROUTES = every_route()


def test_the_list_of_routes_is_no_empty_promise() -> None:
    assert len(ROUTES) > 20
    assert ("POST", "/m/hill/set") in ROUTES


@pytest.mark.parametrize(("method", "path"), ROUTES)
def test_a_foreign_host_is_refused_on_every_route(client: TestClient, method: str, path: str) -> None:
    for host in ("evil.example", "127.0.0.1.evil.example:8765", "localhost@evil.example", ""):
        answer = client.request(method, path, headers={**OWN, "host": host})
        assert answer.status_code == 403, host


@pytest.mark.parametrize(("method", "path"), ROUTES)
def test_a_foreign_origin_is_refused_on_every_route(client: TestClient, method: str, path: str) -> None:
    for origin in ("http://evil.example", "null", "http://127.0.0.1:9999", "https://127.0.0.1:8765"):
        answer = client.request(method, path, headers={"origin": origin})
        assert answer.status_code == 403, origin


@pytest.mark.parametrize(("method", "path"), ROUTES)
def test_what_the_browser_calls_cross_site_is_refused(client: TestClient, method: str, path: str) -> None:
    for site in ("cross-site", "same-site"):
        answer = client.request(method, path, headers={"sec-fetch-site": site, "sec-fetch-mode": "no-cors"})
        assert answer.status_code == 403


@pytest.mark.parametrize(("method", "path"), [one for one in ROUTES if one[0] == "POST"])
def test_a_change_without_an_origin_is_refused(client: TestClient, method: str, path: str) -> None:
    assert client.request(method, path, json={}).status_code == 403
    frame = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"}
    assert client.request(method, path, headers=frame).status_code == 403


def test_a_link_from_elsewhere_opens_a_page_and_a_frame_does_not(client: TestClient) -> None:
    link = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"}
    assert client.get("/", headers=link).status_code == 200
    assert client.get("/", headers={**link, "sec-fetch-dest": "iframe"}).status_code == 403


def test_two_hosts_are_refused(client: TestClient) -> None:
    headers = [("host", "127.0.0.1:8765"), ("host", "127.0.0.1:8765")]
    assert client.get("/", headers=headers).status_code == 403


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_other_methods_are_refused(client: TestClient, method: str) -> None:
    assert client.request(method, "/", headers=OWN).status_code == 405


def test_every_answer_carries_the_headers_of_safety(client: TestClient) -> None:
    for path in ("/", "/static/app.js", "/nowhere"):
        headers = client.get(path).headers
        assert headers["content-security-policy"].startswith("default-src 'self'")
        assert "unsafe" not in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert "server" not in headers
    assert client.get("/").headers["cache-control"] == "no-store"


def test_no_page_holds_inline_script_or_style(client: TestClient) -> None:
    for path in ("/", "/new", "/m/hill/model", "/m/hill/drawer"):
        page = client.get(path, headers={"accept": "text/html"}).text
        assert not re.search(r"<style|<script(?![^>]*src=)|\son\w+=|\sstyle=|javascript:", page), path


def test_a_body_that_is_too_large_is_refused_before_it_is_kept(client: TestClient) -> None:
    answer = client.post("/m/hill/set", headers=OWN, content=b"x" * (LARGEST_BODY_BYTES + 1))
    assert answer.status_code == 413


def test_a_body_that_hides_its_length_is_counted_as_it_comes(client: TestClient) -> None:
    def pieces() -> object:
        for _ in range(20):
            yield b"x" * (LARGEST_BODY_BYTES // 10)

    answer = client.post("/m/hill/set", headers=OWN, content=pieces())  # type: ignore[arg-type]
    assert answer.status_code == 413


@pytest.mark.parametrize(
    "name",
    [
        "..",
        "../hill",
        "%2e%2e",
        "..%2f..%2fetc",
        "hill%2f..",
        ".hidden",
        "hill%00",
        "C:",
        "%5c",
    ],
)
def test_no_name_leads_out_of_the_workshop(client: TestClient, name: str) -> None:
    answer = client.get(f"/m/{name}/model", headers={"accept": "text/html"})
    assert answer.status_code == 404
    assert "<h1>That did not work</h1>" in answer.text


def test_no_file_outside_of_the_model_is_shown(client: TestClient, workshop: Path) -> None:
    (workshop / "secret.toml").write_text("secret = 1\n")
    for file in ("../secret.toml", "..%2fsecret.toml", "parts/../../secret.toml", "/etc/passwd"):
        answer = client.get(f"/m/hill/text/{file}", headers={"accept": "text/html"})
        assert "secret = 1" not in answer.text
        assert "root:" not in answer.text
        assert answer.status_code in (403, 404, 422)


def test_a_link_that_leads_out_is_no_model(workshop: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    outside = tmp_path_factory.mktemp("outside")
    (outside / "model.toml").write_text("")
    (workshop / "linked").symlink_to(outside)
    assert Workshop.at(workshop).names() == ["hill"]


def test_host_names_are_read_without_tricks() -> None:
    assert host_name("localhost:80") == "localhost"
    assert host_name("[::1]:8765") == "::1"
    assert host_name("localhost#.evil.example") == ""
    assert host_name("user@localhost") == ""
    assert host_name("localhost:port") == ""
    assert {"localhost", "127.0.0.1", "::1"} == LOOPBACK_NAMES


class Told(list[str]):
    """Codes as they were printed."""


@pytest.fixture
def club(workshop: Path) -> tuple[TestClient, Told]:
    told = Told()
    names = frozenset({*LOOPBACK_NAMES, "192.168.1.5"})
    app = make_app(Workshop.at(workshop), Door(told.append), names, is_warmed=False)
    client = TestClient(
        app, base_url="http://192.168.1.5:8765", client=("192.168.1.9", 1), follow_redirects=False
    )
    return client, told


def test_others_in_the_network_need_the_code_once_each(club: tuple[TestClient, Told]) -> None:
    client, told = club
    own = {"origin": "http://192.168.1.5:8765"}
    assert client.get("/").headers["location"] == "/code"
    assert client.post("/demo", headers=own).headers["location"] == "/code"
    assert client.get("/code").status_code == 200
    assert client.post("/code", data={"code": "WRONG"}, headers=own).status_code == 403
    first = told[-1]
    opened = client.post("/code", data={"code": first.lower()}, headers=own)
    assert opened.status_code == 303
    assert "HttpOnly" in opened.headers["set-cookie"]
    assert "samesite=strict" in opened.headers["set-cookie"].lower()
    assert client.get("/").status_code == 200
    assert told[-1] != first
    client.cookies.clear()
    assert client.post("/code", data={"code": first}, headers=own).status_code == 403
    assert client.get("/", headers={"cookie": "glidewright-door=made-up"}).headers["location"] == "/code"


def test_the_machine_itself_needs_no_code_and_cannot_be_played(workshop: Path) -> None:
    app = make_app(Workshop.at(workshop), Door(lambda _: None), is_warmed=False)
    here = TestClient(app, base_url=BASE, client=("127.0.0.1", 1), follow_redirects=False)
    assert here.get("/").status_code == 200
    there = TestClient(app, base_url=BASE, client=("192.168.1.9", 1), follow_redirects=False)
    assert there.get("/", headers={"x-forwarded-for": "127.0.0.1"}).headers["location"] == "/code"


def test_many_wrong_codes_make_a_new_one() -> None:
    told: list[str] = []
    door = Door(told.append)
    for _ in range(20):
        assert door.open("AAAAAAAA") is None
    assert len(told) == 2
    assert door.open(told[0]) is None
    assert door.open(told[1]) is not None
