"""A document as one self-contained page: styles and pictures inside, no script, no foreign host."""

from collections.abc import Callable
from html import escape
from importlib.resources import files

from glidewright import __version__
from glidewright.base.wording import sentence
from glidewright.faces.report.charts import chart_svg
from glidewright.faces.report.document import (
    Answer,
    Answers,
    BarChart,
    Block,
    Caution,
    Chart,
    Details,
    Document,
    Drawing,
    FindingsBlock,
    LineChart,
    Note,
    Rows,
    ScatterChart,
    Section,
    Step,
    Steps,
    Table,
)
from glidewright.faces.report.drawing import drawing_svg
from glidewright.faces.report.html_tables import bare_table, findings_html, rows_html, table_html
from glidewright.faces.report.html_words import (
    TONE_SIGN,
    figure_html,
    folded_html,
    heading_html,
    page_words,
    sign_html,
)

_BAND_KEY = (
    '<svg class="swatch" viewBox="0 0 28 14" aria-hidden="true" focusable="false">'
    '<path d="M0 2H28V12H0Z" fill="var(--accent)" opacity=".18"/>'
    '<path d="M0 7H28" stroke="var(--accent)" stroke-width="2"/></svg>'
    "line: median; band: 10 to 90&nbsp;%"
)
_WHISKER_KEY = (
    '<svg class="swatch" viewBox="0 0 28 14" aria-hidden="true" focusable="false">'
    '<path d="M0 3H18V11H0Z" fill="var(--accent)" opacity=".55"/>'
    '<path d="M10 7H26M10 4V10M26 4V10" stroke="var(--ink)" stroke-width="1.5" fill="none"/></svg>'
    "bar: median; whisker: 10 to 90&nbsp;%"
)


HOW_TO_READ = (
    "A number in brackets is the 10 to 90&nbsp;% range: one result in ten lies below it, one in ten above. "
    "The thin bar beside a figure shows the same range; its track is half the value wide to either side, or "
    "as wide as range and limit need."
)
_DOT_KEY = (
    '<svg class="swatch" viewBox="0 0 28 14" aria-hidden="true" focusable="false">'
    '<path d="M2 7H26M14 1V13" stroke="var(--quiet)" stroke-width="1" fill="none"/>'
    '<circle cx="14" cy="7" r="4" fill="var(--accent)"/></svg>'
    "dot: the number that is compared; whiskers: 10 to 90&nbsp;%"
)


def render_html(document: Document) -> str:
    """The whole page as text."""
    style = files("glidewright.faces.report").joinpath("page.css").read_text(encoding="utf-8")
    parts = document_parts(document)
    title = parts["title"]
    subtitle = f'<p class="subtitle">{parts["subtitle"]}</p>' if document.subtitle else ""
    return f"""<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>{title}</title>
<style>
{style}</style>
</head>
<body>
<div class="page">
<header class="top">
<h1>{title}</h1>
{subtitle}
{parts["verdict"]}
<nav aria-label="Sections"><ul>{parts["links"]}</ul></nav>
</header>
<main>
{parts["sections"]}
{parts["cautions"]}
</main>
<footer><p>{HOW_TO_READ} Made by glidewright {page_words(__version__)}.</p></footer>
</div>
</body>
</html>
"""


def document_parts(document: Document, folds_details: bool = False) -> dict[str, str]:
    """The pieces of a page as HTML: title, subtitle, verdict, links to the sections, sections, cautions.

    folds_details: sections that a first reading can do without are folded under their titles.
    """
    named = (section for section in document.sections if section.title)
    links = "".join(f'<li><a href="#{s.key}">{page_words(s.title)}</a></li>' for s in named)
    return {
        "title": page_words(document.title),
        "subtitle": page_words(document.subtitle),
        "verdict": _verdict(document.verdict),
        "links": links,
        "sections": "\n".join(_section(section, folds_details) for section in document.sections),
        "cautions": _cautions(document.cautions),
    }


def _verdict(verdict: Note | None) -> str:
    if verdict is None:
        return ""
    return f'<p class="verdict {verdict.tone}">{_sign(verdict)}{page_words(verdict.text)}</p>'


def _sign(note: Note) -> str:
    return sign_html(TONE_SIGN[note.tone], note.tone)


def _section(section: Section, folds_details: bool) -> str:
    lead = f'<p class="lead">{page_words(section.lead)}</p>' if section.lead else ""
    blocks = "\n".join(_block(block) for block in section.blocks)
    key = escape(section.key)
    if not section.title:
        return f'<section id="{key}">\n{lead}\n{blocks}\n</section>'
    if folds_details and section.is_detail:
        return (
            f'<section id="{key}" class="folded" aria-labelledby="{key}-title">\n<details>'
            f'<summary><h2 id="{key}-title">{page_words(section.title)}</h2></summary>\n{lead}\n{blocks}\n'
            "</details></section>"
        )
    return (
        f'<section id="{key}" aria-labelledby="{key}-title">\n'
        f'<h2 id="{key}-title">{page_words(section.title)}</h2>\n{lead}\n{blocks}\n</section>'
    )


def _block(block: Block) -> str:
    return _WRITERS[type(block)](block)


def _answers(block: Answers) -> str:
    cells = "".join(map(_answer, block.answers))
    return f'{heading_html(block.title)}<dl class="answers">{cells}</dl>'


def _answer(answer: Answer) -> str:
    word = ""
    if answer.word:
        sign = sign_html(TONE_SIGN[answer.tone], answer.tone)
        word = f'<span class="word tone-{answer.tone}">{sign}{page_words(answer.word)}</span> '
    figure = figure_html(answer.figure) if answer.figure is not None else ""
    return (
        f'<div class="answer"><dt>{page_words(answer.question)}</dt><dd>{word}{figure}'
        f'<div class="text">{page_words(sentence(answer.text))}</div></dd></div>'
    )


def _chart(block: Chart) -> str:
    numbers = ""
    if block.table is not None:
        numbers = folded_html("The numbers behind this chart", bare_table(block.table))
    key = _chart_key(block)
    legend = f'<span class="key">{key}</span>' if key else ""
    pictures = "".join(
        f'<div class="picture {width}">{chart_svg(block, is_wide=width == "wide")}</div>'
        for width in ("wide", "narrow")
    )
    return (
        f'<figure class="chart" id="{page_words(block.key)}"><figcaption>'
        f"<strong>{page_words(block.title)}</strong> <span>{page_words(block.sentence)}</span>{legend}"
        f"</figcaption>{pictures}{numbers}</figure>"
    )


def _drawing(block: Drawing) -> str:
    return (
        f'<figure class="chart" id="{page_words(block.key)}"><figcaption>'
        f"<strong>{page_words(block.title)}</strong> <span>{page_words(block.sentence)}</span></figcaption>"
        f'<div class="picture">{drawing_svg(block.drawing)}</div></figure>'
    )


def _chart_key(block: Chart) -> str:
    """What band or whisker mean, where the chart has one."""
    if isinstance(block, LineChart):
        return _BAND_KEY if any(line.low for panel in block.panels for line in panel.lines) else ""
    if isinstance(block, ScatterChart):
        return _DOT_KEY
    return _WHISKER_KEY if any(bar.figure.low != bar.figure.high for bar in block.bars) else ""


def _steps(block: Steps) -> str:
    tag = "ol" if block.is_ordered else "ul"
    return f"{heading_html(block.title)}<{tag}>{''.join(map(_step, block.items))}</{tag}>"


def _step(step: Step) -> str:
    effects = "".join(f"<li>{page_words(effect)}</li>" for effect in step.effects)
    told = f'<ul class="effects">{effects}</ul>' if effects else ""
    terms = f'<span class="terms">{page_words(step.terms)}</span>' if step.terms else ""
    title = f"<strong>{page_words(step.text)}</strong>" if told or terms else page_words(step.text)
    return f"<li>{title} {terms}{told}</li>"


def _note(block: Note) -> str:
    title = f"<strong>{page_words(block.title)}.</strong> " if block.title else ""
    return f'<div class="note {block.tone}"><p>{_sign(block)}{title}{page_words(block.text)}</p></div>'


def _details(block: Details) -> str:
    return folded_html(block.title, "\n".join(map(_block, block.blocks)))


def _cautions(cautions: tuple[Caution, ...]) -> str:
    if not cautions:
        return ""
    sign = sign_html(TONE_SIGN["warning"], "warning")
    items = "".join(
        f"<li>{sign}<strong>{page_words(caution.short)}</strong> {page_words(caution.more)}</li>"
        for caution in cautions
    )
    return (
        '<section class="cautions" id="cautions" aria-labelledby="cautions-title">'
        f'<h2 id="cautions-title">Cautions</h2><ul>{items}</ul></section>'
    )


_WRITERS: dict[type, Callable[..., str]] = {
    Answers: _answers,
    Rows: rows_html,
    Table: table_html,
    FindingsBlock: findings_html,
    LineChart: _chart,
    BarChart: _chart,
    ScatterChart: _chart,
    Drawing: _drawing,
    Steps: _steps,
    Note: _note,
    Details: _details,
}
