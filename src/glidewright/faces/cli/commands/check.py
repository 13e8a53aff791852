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
    from glidewright.decisions import check as job  # noqa: PLC0415
    from glidewright.faces.cli.finish import finish  # noqa: PLC0415
    from glidewright.faces.cli.first_run import say_first_run  # noqa: PLC0415
    from glidewright.faces.cli.model_and_class import model_and_class  # noqa: PLC0415
    from glidewright.faces.report import check  # noqa: PLC0415

    found, rule = model_and_class(model)
    say_first_run()
    result = job.run(job.CheckRequest(model=found, rule=rule))
    finish(
        "check",
        result.model,
        result,
        lambda: check.document(result),
        as_json=as_json,
        show_all=show_all,
        html=html,
        findings=result.findings,
        sources=result.sources,
    )


JOB = Job("check", _HELP, run, order=15)
