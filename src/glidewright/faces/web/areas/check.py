"""Check: legal, inside every limit, balanced, how high, how often, what to change first."""

from glidewright.faces.web.area import Area, Reply, Subject, Tell, Values


def answer(subject: Subject, values: Values, tell: Tell) -> Reply:
    """The report of the check."""
    from glidewright.decisions import check as job
    from glidewright.faces.report import check as report

    del values
    tell(None, "flying the model over its spreads")
    return Reply(report.document(job.run(job.CheckRequest(model=subject.model, rule=subject.rule))))


AREA = Area(
    "check",
    "Check",
    "Legal, balanced, how high, how often, and what to change first.",
    order=10,
    answer=answer,
)
