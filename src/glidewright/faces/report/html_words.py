"""Words and figures of a page."""

from html import escape

from glidewright.base.figure import Figure
from glidewright.base.wording import NOT_KNOWN, space_before, spread_digits, unit_text
from glidewright.faces.report.document import Tone
from glidewright.faces.report.letters import unbroken

TONE_SIGN: dict[Tone, str] = {"plain": "", "good": "✓", "warning": "▲", "alarm": "✕"}


def page_words(text: str) -> str:
    """Text for the page; a number stays on one line with its unit.

    >>> page_words("5 % -> 90 % & more").replace("\u00a0", "_")
    '5_% → 90_% &amp; more'
    """
    return escape(unbroken(text.replace(" -> ", " → ")))


def figure_html(figure: Figure, shown: str | None = None, with_unit: bool = True) -> str:
    """A figure with quiet spread and small unit; its text is that of ``number_text``."""
    found = spread_digits(figure, shown)
    if found is None:
        return f'<span class="figure unknown">{NOT_KNOWN}</span>'
    value, low, high = found
    symbol = unit_text(figure.shown if shown is None else shown)
    mark = f'{space_before(symbol)}<span class="unit">{page_words(symbol)}</span>'
    unit = mark if symbol and with_unit else ""
    if low == high == value:
        return f'<span class="figure">{value}{unit}</span>'
    return f'<span class="figure">{value} <span class="spread">({low} to {high}){unit}</span></span>'


def sign_html(sign: str, tone: Tone) -> str:
    """A sign in its tone; the word beside it says the same, so a screen reader skips it."""
    return f'<span class="sign tone-{tone}" aria-hidden="true">{sign}</span>' if sign else ""


def heading_html(title: str) -> str:
    """The title of a block, if it has one."""
    return f"<h3>{page_words(title)}</h3>\n" if title else ""


def folded_html(title: str, body: str, kind: str = "") -> str:
    """What a first reading can do without, folded under its title."""
    marked = f' class="{kind}"' if kind else ""
    return f"<details{marked}><summary>{page_words(title)}</summary>{body}</details>"
