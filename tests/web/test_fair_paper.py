"""The paper for the club meeting prints on one A4 sheet, however many options there are."""

import re

import pytest
from playwright.sync_api import Browser

from glidewright.decisions import fair
from glidewright.decisions.fairness.nouns import FairRequest, FairResult
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.faces.report.fair_paper import MOST_OPTIONS, paper_html

A4_IN_POINTS = (595, 842)


@pytest.fixture(scope="module")
def result(demo: Model, hill_class: ClassLimits) -> FairResult:
    """The class and its derived options, with a drawer of eight builds."""
    kept = {"m28-1020", "m28-1350", "c30", "p2-600", "p2-550", "f10x5", "f11x6"}
    power = ("motor", "controller", "pack", "propeller")
    drawer = tuple(part for part in demo.drawer if part.kind not in power or part.id in kept)
    model = demo.model_copy(update={"drawer": drawer})
    return fair.run(FairRequest(models=(model,), rule=hill_class, draws=16))


def printed(browser: Browser, html: str) -> bytes:
    page = browser.new_page()
    page.set_content(html)
    pdf: bytes = page.pdf(prefer_css_page_size=True)
    page.close()
    return pdf


def pages(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page[^s]", pdf))


def test_the_paper_is_one_sheet_of_a4(browser: Browser, result: FairResult) -> None:
    pdf = printed(browser, paper_html(result))
    assert pages(pdf) == 1
    box = re.search(rb"/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)", pdf)
    assert box is not None
    assert (round(float(box[1])), round(float(box[2]))) == A4_IN_POINTS


def test_many_options_with_long_names_still_fit(browser: Browser, result: FairResult) -> None:
    first = result.options[0]
    more = tuple(
        result.options[1].model_copy(
            update={
                "name": f"A long name of an option no. {place:02d}",
                "says": (
                    "motor run 20 s",
                    "climb rate at most 4.25 m/s over 10 s",
                    "cells in series at most 3",
                ),
                "unbeaten": place % 4 == 0,
            }
        )
        for place in range(30)
    )
    many = result.model_copy(
        update={"options": (first, *more), "unbeaten": tuple(one.name for one in more if one.unbeaten)}
    )
    html = paper_html(many)
    assert pages(printed(browser, html)) == 1
    assert f"{31 - MOST_OPTIONS} more options are in the full report" in html.replace("&nbsp;", " ")
