"""``glidewright launch``: how high, how it goes, and how many from one charge."""

from glidewright.faces.cli.job import AsJson, HtmlFile, Job, ModelFolder, ShowAll

_HELP = """Compute the launch, and all launches of one charge.

Every figure comes with its 10 to 90 % range. Leaves with 0 when every limit of it is kept, with 1 when one is
broken, doubtful or not known, with 2 when the folder cannot be used."""


def run(
    model: ModelFolder, show_all: ShowAll = False, html: HtmlFile = None, as_json: AsJson = False
) -> None:
    """Read the folder, compute, and show the answers."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from glidewright.decisions import launch as job
    from glidewright.faces.cli.on_model import answer
    from glidewright.faces.report import launch as report

    answer(
        "launch",
        model,
        lambda found, rule: job.run(job.LaunchRequest(model=found, rule=rule)),
        report.document,
        as_json=as_json,
        show_all=show_all,
        html=html,
        sources=lambda result: result.sources,
    )


JOB = Job(
    "launch",
    _HELP,
    run,
    order=32,
    example="glidewright launch Lark",
    answers="decisions.launch:LaunchResult",
)
