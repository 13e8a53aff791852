"""``glidewright power``: the operating points of the power train, with margins."""

from glidewright.faces.cli.job import AsJson, HtmlFile, Job, ModelFolder, ShowAll

_HELP = """Compute the power train at rest, climbing, and over airspeed.

Every figure comes with its 10 to 90 % range. Leaves with 0 when every limit of it is kept, with 1 when one is
broken, doubtful or not known, with 2 when the folder cannot be used."""


def run(
    model: ModelFolder, show_all: ShowAll = False, html: HtmlFile = None, as_json: AsJson = False
) -> None:
    """Read the folder, compute, and show the answers."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from glidewright.decisions import power as job
    from glidewright.faces.cli.on_model import answer
    from glidewright.faces.report import power as report

    answer(
        "power",
        model,
        lambda found, rule: job.run(job.PowerRequest(model=found, rule=rule)),
        report.document,
        as_json=as_json,
        show_all=show_all,
        html=html,
        sources=lambda result: result.sources,
    )


JOB = Job(
    "power",
    _HELP,
    run,
    order=30,
    example="glidewright power Lark --all",
    answers="decisions.power:PowerResult",
)
