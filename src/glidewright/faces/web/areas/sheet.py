"""Sheet: the page for the field box, on the screen and as PDF."""

from glidewright.faces.web.area import Area, Reply, Subject, Tell, Values

_PAPER_OF = {"a4.pdf": "a4", "letter.pdf": "letter"}


def answer(subject: Subject, values: Values, tell: Tell) -> Reply:
    """What stands on the sheet."""
    from glidewright.decisions import sheet as job
    from glidewright.faces.report import sheet as report

    del values
    tell(None, "filling in the sheet")
    return Reply(report.document(job.run(job.SheetRequest(model=subject.model, rule=subject.rule))))


def make(subject: Subject, ending: str) -> bytes:
    """The sheet on paper."""
    from glidewright.decisions import sheet as job
    from glidewright.faces.report import sheet as report
    from glidewright.faces.report.render_pdf import pdf_of

    result = job.run(job.SheetRequest(model=subject.model, rule=subject.rule))
    return pdf_of(report.sheet(result), _PAPER_OF[ending])


AREA = Area(
    "sheet",
    "Sheet",
    "One page for the field box, and the test plan to tick off behind it.",
    group="Fly",
    order=220,
    answer=answer,
    files=(("a4.pdf", "PDF, A4"), ("letter.pdf", "PDF, Letter")),
    make=make,
)
