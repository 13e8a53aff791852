"""``glidewright controls``: linkages, servos, throws, mixes, the brake, and checks of the build."""

from glidewright.faces.cli.job import AsJson, HtmlFile, Job, ModelFolder, ShowAll

_HELP = """Work out linkages, throws, the brake, and build checks.

How far each surface moves and how exactly, whether servos, rods and their supply stand it, how far the
surfaces should move, the elevator that goes with the brake, what a mistake costs in height, and what each
millimetre of a building fault asks for. Leaves with 0 when every limit is kept, with 1 when one is not or is
doubtful, with 2 when the folder cannot be used or a linkage cannot work."""


def run(
    model: ModelFolder, show_all: ShowAll = False, html: HtmlFile = None, as_json: AsJson = False
) -> None:
    """Read the folder, compute, and show the answers."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from glidewright.decisions import controls as job
    from glidewright.faces.cli.on_model import answer
    from glidewright.faces.report import controls as report

    answer(
        "controls",
        model,
        lambda found, rule: job.run(job.ControlsRequest(model=found, rule=rule)),
        report.document,
        as_json=as_json,
        show_all=show_all,
        html=html,
    )


JOB = Job(
    "controls",
    _HELP,
    run,
    order=37,
    example="glidewright controls Lark",
    answers="decisions.steering.nouns:ControlsResult",
)
