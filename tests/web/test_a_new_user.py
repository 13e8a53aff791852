"""From an empty folder to answers: the jobs of a person who opens the program for the first time."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import expect

from glidewright.store.reading import read_model

from .conftest import NARROW, Served, Visit, violations


def test_ten_answers_make_a_model_that_computes_up_to_its_sheet(
    serve: Callable[[Path], Served], tmp_path: Path, visit_of: Callable[..., Visit]
) -> None:
    empty = serve(tmp_path)
    visit = visit_of(empty)
    page = visit.open("/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Start with a model")
    page.get_by_role("link", name="Answer ten questions").click()
    page.get_by_label("Name", exact=True).fill("Lark")
    page.get_by_label("Wing span").fill("two")
    page.get_by_role("button", name="Make the model").click()
    expect(page.locator(".wrong .error")).to_contain_text("must be a number")
    expect(page.get_by_label("Name", exact=True)).to_have_value("Lark")
    page.get_by_label("Wing span").fill("1,8")
    page.get_by_role("button", name="Make the model").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Model Lark")
    made = read_model(tmp_path / "Lark")
    assert made.airframe.span_m.value == pytest.approx(1.8, abs=1e-3)
    page.get_by_role("link", name="Check", exact=True).click()
    page.wait_for_selector("#report[data-job]", state="detached")
    expect(page.locator("#report .verdict")).to_contain_text("Launch height")
    visit.keep("journey-ten-answers")
    page.get_by_role("link", name="Sheet", exact=True).click()
    with page.expect_download() as loaded:
        page.get_by_role("link", name="PDF, A4").click()
    assert loaded.value.suggested_filename == "Lark-a4.pdf"
    assert Path(loaded.value.path()).read_bytes().startswith(b"%PDF-")


def test_a_value_is_on_disk_at_once_and_can_be_undone(
    shop: Served, own: Path, visit_of: Callable[..., Visit]
) -> None:
    visit = visit_of(shop)
    before = (own / "model.toml").read_text(encoding="utf-8")
    page = visit.open(f"/m/{own.name}/model")
    span = page.get_by_label("Span", exact=True)
    span.fill("2.1")
    span.press("Tab")
    expect(page.locator("#say")).to_contain_text("Saved")
    after = (own / "model.toml").read_text(encoding="utf-8")
    assert "2.1" in after
    assert "# Flaw on purpose" in after
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#say")).to_contain_text("undone")
    expect(page.get_by_label("Span", exact=True)).to_have_value("1.995")
    assert (own / "model.toml").read_text(encoding="utf-8") == before
    page.get_by_role("button", name="Redo").click()
    expect(page.get_by_label("Span", exact=True)).to_have_value("2.1")


def test_a_bad_value_says_its_sentence_and_survives_a_reload(
    shop: Served, own: Path, visit_of: Callable[..., Visit]
) -> None:
    visit = visit_of(shop, NARROW)
    page = visit.open(f"/m/{own.name}/model")
    span = page.get_by_label("Span", exact=True)
    span.fill("12")
    span.press("Tab")
    beside = page.locator(".field", has=span).locator(".error")
    expect(beside).to_contain_text("must be at most 8 m")
    expect(span).to_have_attribute("aria-invalid", "true")
    assert read_model(own).airframe.span_m.value == pytest.approx(1.995)
    page.reload()
    expect(span).to_have_value("12")
    expect(beside).to_contain_text("not saved yet")
    span.fill("1.9")
    span.press("Enter")
    expect(page.locator("#say")).to_contain_text("Saved")
    expect(beside).to_be_hidden()
    page.reload()
    expect(span).to_have_value("1.9")


def test_a_bad_value_of_an_item_survives_a_reload_too(
    shop: Served, own: Path, visit_of: Callable[..., Visit], axe: str
) -> None:
    visit = visit_of(shop)
    page = visit.open(f"/m/{own.name}/model")
    page.locator("#item-0 > summary").click()
    mass = page.locator("#item-0").get_by_label("Mass", exact=True)
    mass.fill("sixty")
    mass.press("Tab")
    expect(page.locator("#item-0 .wrong .error")).to_contain_text("must be a number")
    assert violations(visit, axe) == []
    page.reload()
    expect(mass).to_have_value("sixty")
    mass.fill("61,5")
    mass.press("Enter")
    expect(page.locator("#say")).to_contain_text("Saved")
    assert "61.5" in (own / "model.toml").read_text(encoding="utf-8")


def test_two_tabs_do_not_overwrite_each_other(
    shop: Served, own: Path, visit_of: Callable[..., Visit]
) -> None:
    one, other = visit_of(shop), visit_of(shop)
    first, second = one.open(f"/m/{own.name}/model"), other.open(f"/m/{own.name}/model")
    for page, value in ((first, "2.0"), (second, "2.2")):
        span = page.get_by_label("Span", exact=True)
        span.fill(value)
        span.press("Tab")
        if page is first:
            expect(page.locator("#say")).to_contain_text("Saved")
    span = second.get_by_label("Span", exact=True)
    expect(second.locator(".field", has=span).locator(".error")).to_contain_text("was changed meanwhile")
    assert read_model(own).airframe.span_m.value == pytest.approx(2.0)


def test_the_pack_is_dragged_along_the_drawing_and_kept(
    shop: Served, own: Path, visit_of: Callable[..., Visit]
) -> None:
    visit = visit_of(shop)
    page = visit.open(f"/m/{own.name}/balance")
    page.wait_for_selector("[data-ready=yes]")
    centre = page.locator(".outcome [data-name=centre] dd")
    before = centre.inner_text()
    box = page.locator(".handle").bounding_box()
    assert box is not None and min(box["width"], box["height"]) >= 24
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 40, y, steps=4)
    page.mouse.up()
    expect(centre).not_to_have_text(before)
    dragged = float(page.get_by_label("Place", exact=True).input_value())
    assert dragged > -165
    page.locator(".handle").press("Shift+ArrowRight")
    page.locator(".handle").press("ArrowRight")
    expect(page.get_by_label("Place", exact=True)).to_have_value(str(round(dragged + 11)))
    page.get_by_role("button", name="Keep these places").click()
    expect(page.locator("#say")).to_contain_text("kept")
    model = read_model(own)
    pack = next(item.part for item in model.items if item.name == "pack")
    assert pack.x_m is not None and pack.x_m.value == pytest.approx(1e-3 * (dragged + 11))


def test_the_handle_moves_on_a_touch_screen(shop: Served, own: Path, visit_of: Callable[..., Visit]) -> None:
    visit = visit_of(shop, NARROW, has_touch=True, is_mobile=True)
    page = visit.open(f"/m/{own.name}/balance")
    page.wait_for_selector("[data-ready=yes]")
    handle = page.locator(".handle")
    handle.scroll_into_view_if_needed()
    box = handle.bounding_box()
    assert box is not None and min(box["width"], box["height"]) >= 24
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    touch = page.context.new_cdp_session(page)
    for kind, at in (("touchStart", x), ("touchMove", x + 15), ("touchMove", x + 30)):
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": at, "y": y}]})
    touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    assert float(page.get_by_label("Place", exact=True).input_value()) > -165


def test_a_slider_redraws_the_lines_and_its_report(shop: Served, visit_of: Callable[..., Visit]) -> None:
    visit = visit_of(shop)
    page = visit.open("/m/hill-demo/power")
    page.wait_for_selector("[data-ready]")
    line = page.locator(".live .picture.wide .panel0line0_marks > path")
    before, thrust = line.get_attribute("d"), page.locator('.outcome [data-name^="thrust_N-at"] dd')
    said = thrust.inner_text()
    slider = page.get_by_label("Charge of the pack at the start")
    slider.focus()
    for _ in range(12):
        slider.press("ArrowLeft")
    expect(thrust).not_to_have_text(said)
    assert line.get_attribute("d") != before
    expect(page).to_have_url(f"{shop.address}/m/hill-demo/power?{page.url.split('?')[1]}")
    assert "charge_at_start=88" in page.url
    page.wait_for_selector("#report[data-job]", state="detached")
    page.reload()
    expect(page.get_by_label("Charge of the pack at the start")).to_have_value("88")


def test_a_part_that_was_tried_is_put_into_the_model(
    shop: Served, own: Path, visit_of: Callable[..., Visit]
) -> None:
    visit = visit_of(shop)
    page = visit.open(f"/m/{own.name}/launch")
    page.wait_for_selector("[data-ready]")
    page.get_by_label("Pack", exact=True).select_option("p2-800")
    page.get_by_role("button", name="Put into the model").click()
    expect(page.locator("#say")).to_contain_text("put into the model")
    model = read_model(own)
    assert next(item.part.id for item in model.items if item.name == "pack") == "p2-800"
