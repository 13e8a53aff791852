"""The other jobs in the browser: long searches and their stop, test plan, sheet, flight logs."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import expect

import glidewright
from glidewright.store.logbook import Logbook, logbook_url
from glidewright.store.reading import read_model

from .conftest import PATIENCE_MS, Served, Visit, violations

LOGS = Path(glidewright.__file__).parent / "data/demo/hill-demo-flights"


def test_a_long_search_says_how_far_it_is_and_is_stopped(
    shop: Served, visit_of: Callable[..., Visit]
) -> None:
    visit = visit_of(shop)
    page = visit.page
    page.goto(f"{shop.address}/m/hill-demo/fair")
    page.get_by_role("button", name="Compute").click()
    expect(page.locator("#report .words")).not_to_be_empty(timeout=PATIENCE_MS)
    address = page.url
    page.reload()  # what is computed goes on, and is found again
    expect(page.locator("#report progress")).to_be_visible()
    page.get_by_role("button", name="Stop").click()
    expect(page.locator("#report")).to_contain_text("Stopped before its end", timeout=PATIENCE_MS)
    page.goto(address)
    expect(page.locator("#report")).to_contain_text("Stopped before its end")


def test_a_build_is_searched_for_and_put_into_the_model(
    shop: Served, own: Path, visit_of: Callable[..., Visit], axe: str
) -> None:
    visit = visit_of(shop)
    page = visit.page
    page.goto(f"{shop.address}/m/{own.name}/choose")
    page.get_by_label("Builds flown with spread").fill("8")
    page.get_by_label("Must be reached").fill("launches>=a")
    page.get_by_role("button", name="Search").click()
    page.wait_for_selector("#report[data-job]", state="detached")
    expect(page.locator("#report [role=alert]")).to_contain_text("must be")
    page.get_by_label("Must be reached").fill("")
    page.get_by_role("button", name="Search").click()
    page.wait_for_selector("#report .verdict", timeout=2 * PATIENCE_MS)
    assert violations(visit, axe) == []
    visit.keep("journey-choose")
    before = {item.name: item.part.id for item in read_model(own).items}
    page.get_by_role("button", name="Put it into the model").click()
    expect(page.locator("#say")).to_contain_text("a build put in")
    after = {item.name: item.part.id for item in read_model(own).items}
    assert after != before
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#say")).to_contain_text("undone")


def test_a_step_of_the_plan_is_ticked_off(shop: Served, own: Path, visit_of: Callable[..., Visit]) -> None:
    visit = visit_of(shop)
    page = visit.open(f"/m/{own.name}/plan")
    first = page.locator("form[data-tell=outcome]").first
    first.get_by_label("Mass").fill("heavy")
    first.get_by_role("button", name="It went well").click()
    expect(first.locator(".error")).to_contain_text("must be a number")
    first.get_by_label("Mass").fill("602")
    first.get_by_role("button", name="It went well").click()
    expect(page.locator("#report .verdict")).to_contain_text("1 of", timeout=PATIENCE_MS)
    outcome = read_model(own).outcomes[0]
    assert outcome.mass_kg is not None
    assert outcome.mass_kg.value == pytest.approx(0.602)


def test_the_sheet_is_loaded_down_as_pdf(shop: Served, visit_of: Callable[..., Visit]) -> None:
    visit = visit_of(shop, accept_downloads=True)
    page = visit.open("/m/hill-demo/sheet")
    with page.expect_download(timeout=PATIENCE_MS) as loaded:
        page.get_by_role("link", name="PDF, A4").click()
    assert loaded.value.suggested_filename == "Hill-Demo-2000-a4.pdf"
    assert Path(loaded.value.path()).read_bytes().startswith(b"%PDF-")


def test_a_log_is_loaded_up_read_and_entered(
    shop: Served, own: Path, visit_of: Callable[..., Visit], axe: str
) -> None:
    visit = visit_of(shop)
    page = visit.open(f"/m/{own.name}/flights")
    page.get_by_label("Log file").set_input_files(
        files=[{"name": "../../note.txt", "mimeType": "text/plain", "buffer": b"no log at all"}]
    )
    page.get_by_role("button", name="Upload").click()
    expect(page.locator("[role=alert]")).to_be_visible()
    assert not (own / "flights").exists()
    page.get_by_role("link", name="Back to the flights").click()
    page.get_by_label("Log file").set_input_files(LOGS / "evening-1.csv")
    page.get_by_role("button", name="Upload").click()
    page.wait_for_selector("#report .verdict", timeout=PATIENCE_MS)
    assert violations(visit, axe) == []
    visit.keep("journey-flight")
    page.get_by_role("button", name="enter it").click()
    expect(page.locator("#say")).to_contain_text("1 flight entered", timeout=PATIENCE_MS)
    with Logbook(logbook_url(own)) as book:
        assert len(book.flights(read_model(own).name)) == 1
