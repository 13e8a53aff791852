"""The sheet as one self-contained HTML file: the pages of the PDF, and their text for those who need it."""

from base64 import b64encode
from importlib.resources import files

from glidewright.faces.report.render_html import document_parts
from glidewright.faces.report.render_pdf import Sheet, pages_of

_STYLE = """
.pages img { display: block; width: 100%; max-width: 210mm; margin: 0 auto 1rem; background: #fff;
  border: 1px solid var(--hair); }
.page.text { margin-top: 2rem; }
@media print {
  .page.text, .sheet-words { display: none; }
  .pages img { border: 0; margin: 0; max-width: none; break-after: page; }
  @page { margin: 0; }
}
"""


def render_sheet(sheet: Sheet, paper: str = "a4") -> str:
    """The whole file as text; the pages print alone, the text below them is for the screen."""
    style = files("glidewright.faces.report").joinpath("page.css").read_text(encoding="utf-8")
    parts = document_parts(sheet.document)
    pages = pages_of(sheet, paper)
    images = "\n".join(
        f'<img alt="Page {number} of {len(pages)} of the sheet; its text stands below." '
        f'src="data:image/svg+xml;base64,{b64encode(page.encode()).decode()}">'
        for number, page in enumerate(pages, 1)
    )
    return f"""<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>{parts["title"]}</title>
<style>
{style}{_STYLE}</style>
</head>
<body>
<div class="pages">
{images}
</div>
<div class="page text">
<header class="top">
<h1>{parts["title"]}</h1>
<p class="subtitle">The same as on the pages above, as text. {parts["subtitle"]}</p>
{parts["verdict"]}
</header>
<main>
{parts["sections"]}
{parts["cautions"]}
</main>
</div>
</body>
</html>
"""
