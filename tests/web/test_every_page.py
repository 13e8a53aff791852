"""Every page at both sizes, light and dark: accessible, nothing wider than the window, no foreign host."""

from collections.abc import Callable

import pytest

from glidewright.faces.web.area import areas

from .conftest import NARROW, WIDE, Served, Visit, violations

ALONE = ("/", "/new", "/nowhere")
ABOUT = ("model", "drawer", "text/model.toml", *(key for key, area in areas().items()))
PAGES = (*ALONE, *(f"/m/hill-demo/{key}" for key in ABOUT))


def too_wide(visit: Visit) -> int:
    root = "document.documentElement"
    return int(visit.page.evaluate(f"{root}.scrollWidth - {root}.clientWidth"))


@pytest.mark.parametrize("path", PAGES)
def test_a_page_is_accessible_and_fits_on_a_telephone_and_on_a_laptop_in_the_dark(
    path: str, shop: Served, visit_of: Callable[..., Visit], axe: str
) -> None:
    visit = visit_of(shop, NARROW)
    page = visit.open(path)
    assert violations(visit, axe) == []
    assert too_wide(visit) == 0
    visit.keep(f"phone{path.replace('/', '-')}")
    page.set_viewport_size({"width": WIDE[0], "height": WIDE[1]})
    page.emulate_media(color_scheme="dark")
    assert violations(visit, axe) == []
    assert too_wide(visit) == 0
    visit.keep(f"laptop{path.replace('/', '-')}")
