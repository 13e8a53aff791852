"""``glidewright plan``: the test plan in small safe steps, and the place where outcomes are written down."""

from typing import Annotated

import typer

from glidewright.faces.cli.job import AsJson, HtmlFile, Job, ModelFolder, ShowAll

_HELP = """Plan the tests in small safe steps; write down what came.

Every step has the numbers of this model, what to write down and what to do if it fails. Outcomes go into
model.toml; masses, balance points and readings at rest narrow the forecast. Leaves with 0, with 1 while a
step that went badly was not done again, with 2 when the folder or an outcome cannot be used."""

Well = Annotated[str, typer.Option("--well", metavar="STEP", help="This step went well.", show_default=False)]
Badly = Annotated[
    str, typer.Option("--badly", metavar="STEP", help="This step went badly.", show_default=False)
]
Found = Annotated[
    list[str] | None,
    typer.Option(
        "--found",
        metavar="KEY=NUMBER",
        help="A number that was read, as in distance_m=21; may come several times.",
        show_default=False,
    ),
]
Text = Annotated[str, typer.Option("--note", metavar="TEXT", help="What was seen.", show_default=False)]
Day = Annotated[
    str,
    typer.Option(
        "--day", metavar="YYYY-MM-DD", help="When it was done; today if left out.", show_default=False
    ),
]


def run(
    model: ModelFolder,
    well: Well = "",
    badly: Badly = "",
    found: Found = None,
    note: Text = "",
    day: Day = "",
    show_all: ShowAll = False,
    html: HtmlFile = None,
    as_json: AsJson = False,
) -> None:
    """Write the outcome if there is one, then read the folder, compute, and show the plan."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from glidewright.decisions import plan as job
    from glidewright.faces.cli.on_model import answer
    from glidewright.faces.report.plan import document
    from glidewright.store.outcomes import write_outcome

    if well or badly or found or note or day:
        write_outcome(model, job.step_keys(), well=well, badly=badly, found=found or [], note=note, day=day)
    answer(
        "plan",
        model,
        lambda own, rule: job.run(job.PlanRequest(model=own, rule=rule)),
        document,
        as_json=as_json,
        show_all=show_all,
        html=html,
        sources=lambda result: result.sources,
    )


JOB = Job(
    "plan",
    _HELP,
    run,
    order=60,
    example="glidewright plan Lark --well range --found distance_m=21",
    answers="decisions.planning.nouns:PlanResult",
)
