"""``glidewright sheet``: the page for the field box, and the test plan behind it."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from glidewright.faces.cli.job import AsJson, Job, ModelFolder, ShowAll

_HELP = """Set the page for the field: balance, throws, launch, limits.

One page, and a second one with the test plan to tick off. --pdf and --html write them to files, both for the
printer; without them the text is shown. Leaves with 0 when every limit is kept, with 1 when one is broken,
doubtful or not known, with 2 when the folder cannot be used."""


class Paper(StrEnum):
    """Sizes of paper."""

    A4 = "a4"
    LETTER = "letter"


PdfFile = Annotated[
    Path | None, typer.Option("--pdf", metavar="FILE", help="Write the pages as PDF.", show_default=False)
]
HtmlFile = Annotated[
    Path | None,
    typer.Option(
        "--html", metavar="FILE", help="Write the pages as one self-contained HTML file.", show_default=False
    ),
]
PaperSize = Annotated[Paper, typer.Option("--paper", help="Size of the paper.")]
Day = Annotated[
    str,
    typer.Option(
        "--day", metavar="YYYY-MM-DD", help="Date of the sheet; today if left out.", show_default=False
    ),
]


def run(
    model: ModelFolder,
    pdf: PdfFile = None,
    html: HtmlFile = None,
    paper: PaperSize = Paper.A4,
    day: Day = "",
    show_all: ShowAll = False,
    as_json: AsJson = False,
) -> None:
    """Read the folder, compute, write the files that were asked for, and show the text."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from glidewright.decisions import sheet as job
    from glidewright.faces.cli.finish import finish
    from glidewright.faces.cli.first_run import say_first_run
    from glidewright.faces.cli.model_and_class import model_and_class
    from glidewright.faces.report import sheet as report
    from glidewright.store.atomic import write_whole, write_whole_bytes

    found, rule = model_and_class(model)
    say_first_run()
    result = job.run(job.SheetRequest(model=found, rule=rule, day=day))
    written = []
    if pdf is not None:
        from glidewright.faces.report.render_pdf import pdf_of

        write_whole_bytes(pdf, pdf_of(report.sheet(result), paper.value))
        written.append(pdf)
    if html is not None:
        from glidewright.faces.report.render_sheet import render_sheet

        write_whole(html, render_sheet(report.sheet(result), paper.value))
        written.append(html)
    finish(
        "sheet",
        result.model,
        result,
        lambda: report.document(result),
        as_json=as_json,
        show_all=show_all,
        written=written,
        findings=result.findings,
        sources=result.sources,
    )


JOB = Job(
    "sheet",
    _HELP,
    run,
    order=70,
    example="glidewright sheet Lark --pdf lark.pdf",
    answers="decisions.sheet:SheetResult",
)
