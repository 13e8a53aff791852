"""``glidewright glide``: how the model glides, circles and handles."""

from typing import Annotated

import typer

from glidewright.faces.cli.job import AsJson, HtmlFile, Job, ModelFolder, ShowAll

_HELP = """Compute the glide, the circling, and how the model handles.

Sink and glide ratio by airspeed with the elevator that trims, speed to fly against wind, ballast, circling
and thermals, what makes the drag; neutral point, static margin, motions, turn by rudder, and what building
faults ask of the trim. Leaves with 0 when the static margin is large enough, with 1 when it is not or
doubtful, with 2 when the folder cannot be used."""


Radius = Annotated[
    float, typer.Option("--thermal-radius", metavar="M", min=2, max=500, help="Radius where its lift ends.")
]
Strength = Annotated[
    float,
    typer.Option("--thermal-strength", metavar="M/S", min=0.1, max=20, help="Lift in its middle."),
]


def run(
    model: ModelFolder,
    radius: Radius = 15.0,
    strength: Strength = 2.0,
    show_all: ShowAll = False,
    html: HtmlFile = None,
    as_json: AsJson = False,
) -> None:
    """Read the folder, compute, and show the answers."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from glidewright.decisions import glide as job
    from glidewright.faces.cli.on_model import answer
    from glidewright.faces.report import glide as report

    answer(
        "glide",
        model,
        lambda found, rule: job.run(
            job.GlideRequest(model=found, rule=rule, thermal_radius_m=radius, thermal_strength_m_s=strength)
        ),
        report.document,
        as_json=as_json,
        show_all=show_all,
        html=html,
        sources=lambda result: result.sources,
    )


JOB = Job(
    "glide",
    _HELP,
    run,
    order=36,
    example="glidewright glide Lark --thermal-radius 20 --thermal-strength 1.5",
    answers="decisions.gliding.nouns:GlideResult",
)
