"""``glidewright power``: the operating points of the power train, with margins."""

from glidewright.faces.cli.job import AsJson, HtmlFile, Job, ModelFolder, ShowAll

_HELP = """Compute the power train at rest, in the climb and over airspeed.

Every figure comes with its 10 to 90 % range. Leaves with 0 when every limit of it is kept, with 1 when one is
broken, doubtful or not known, with 2 when the folder cannot be used."""


def run(
    model: ModelFolder, show_all: ShowAll = False, html: HtmlFile = None, as_json: AsJson = False
) -> None:
    """Read the folder, compute, and show the answers."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from glidewright.decisions import power as job  # noqa: PLC0415
    from glidewright.faces.cli.finish import finish  # noqa: PLC0415
    from glidewright.faces.cli.first_run import say_first_run  # noqa: PLC0415
    from glidewright.faces.cli.model_and_class import model_and_class  # noqa: PLC0415
    from glidewright.faces.report import power as report  # noqa: PLC0415

    found, rule = model_and_class(model)
    say_first_run()
    result = job.run(job.PowerRequest(model=found, rule=rule))
    finish(
        "power",
        result.model,
        result,
        lambda: report.document(result),
        as_json=as_json,
        show_all=show_all,
        html=html,
        findings=result.findings,
        sources=result.sources,
    )


JOB = Job("power", _HELP, run, order=30)
