"""``glidewright check``: legal, inside every limit, balanced, how high, how often, what to change first."""

from glidewright.faces.cli.job import AsJson, HtmlFile, Job, ModelFolder, ShowAll

_HELP = """Check a model: legal, safe, balanced, how high, how often.

Every figure comes with its 10 to 90 % range. Leaves with 0 when every limit is kept, with 1 when one is
broken, doubtful or not known, with 2 when the folder cannot be used."""


def run(
    model: ModelFolder, show_all: ShowAll = False, html: HtmlFile = None, as_json: AsJson = False
) -> None:
    """Read the folder, compute, and show the answers."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from glidewright.decisions import check as job
    from glidewright.faces.cli.on_model import answer
    from glidewright.faces.report import check as report

    answer(
        "check",
        model,
        lambda found, rule: job.run(job.CheckRequest(model=found, rule=rule)),
        report.document,
        as_json=as_json,
        show_all=show_all,
        html=html,
        sources=lambda result: result.sources,
    )


JOB = Job(
    "check",
    _HELP,
    run,
    order=15,
    example="glidewright check Lark --html lark.html",
    answers="decisions.nouns:CheckResult",
)
