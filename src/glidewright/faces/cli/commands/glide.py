"""``glidewright glide``: how the model glides, circles and handles."""

from glidewright.faces.cli.job import AsJson, HtmlFile, Job, ModelFolder, ShowAll

_HELP = """Compute the glide, the circling, and how the model handles.

Sink and glide ratio by airspeed with the elevator that trims, speed to fly against wind, ballast, circling
and thermals, what makes the drag; neutral point, static margin, motions, turn by rudder, and what building
faults ask of the trim. Leaves with 0 when the static margin is large enough, with 1 when it is not or
doubtful, with 2 when the folder cannot be used."""


def run(
    model: ModelFolder, show_all: ShowAll = False, html: HtmlFile = None, as_json: AsJson = False
) -> None:
    """Read the folder, compute, and show the answers."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from glidewright.decisions import glide as job  # noqa: PLC0415
    from glidewright.faces.cli.finish import finish  # noqa: PLC0415
    from glidewright.faces.cli.first_run import say_first_run  # noqa: PLC0415
    from glidewright.faces.cli.model_and_class import model_and_class  # noqa: PLC0415
    from glidewright.faces.report import glide  # noqa: PLC0415

    found, rule = model_and_class(model)
    say_first_run()
    result = job.run(job.GlideRequest(model=found, rule=rule))
    finish(
        "glide",
        result.model,
        result,
        lambda: glide.document(result),
        as_json=as_json,
        show_all=show_all,
        html=html,
        findings=result.findings,
    )


JOB = Job("glide", _HELP, run, order=36)
