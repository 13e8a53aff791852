"""``glidewright balance``: where the centre of gravity will be, and the least dead weight into its range."""

from typing import Annotated

import typer

from glidewright.faces.cli.job import AsJson, HtmlFile, Job, ModelFolder, ShowAll

_HELP = """Forecast the balance and find the least dead weight.

Works from the first part on; weighings narrow it. Says how the forecast moved, what a gram does where, and
which moves, parts and ballast bring it into its range with the least dead weight. Leaves with 0 when the
balance is kept, with 1 when it is broken, doubtful or not known, with 2 when the folder cannot be used."""

Chance = Annotated[
    float, typer.Option("--chance", metavar="PERCENT", min=1, max=99, help="Chance to be inside the range.")
]
Money = Annotated[
    float,
    typer.Option("--money", metavar="GRAM", min=0, help="What one unit of money is worth in grams of mass."),
]
Hour = Annotated[
    float,
    typer.Option("--hour", metavar="GRAM", min=0, help="What one hour of work is worth in grams of mass."),
]


def run(
    model: ModelFolder,
    chance: Chance = 90.0,
    money: Money = 0.2,
    hour: Hour = 2.0,
    show_all: ShowAll = False,
    html: HtmlFile = None,
    as_json: AsJson = False,
) -> None:
    """Read the folder, compute, and show the answers."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from glidewright.base.units import unit
    from glidewright.decisions import balance as job
    from glidewright.decisions.drawing_geometry import drawing_geometry
    from glidewright.faces.cli.finish import finish
    from glidewright.faces.cli.first_run import say_first_run
    from glidewright.faces.cli.model_and_class import model_and_class
    from glidewright.faces.report import balance

    found, rule = model_and_class(model)
    say_first_run()
    gram = unit("g")
    request = job.BalanceRequest(
        model=found,
        rule=rule,
        chance=unit("%").to_si(chance),
        money_kg=gram.to_si(money),
        hour_kg=gram.to_si(hour),
    )
    result = job.run(request)
    along, _, up = (one.figure for one in result.centre)
    drawing = drawing_geometry(found, along, up.value or 0.0, result.stability.neutral_point_x)
    finish(
        "balance",
        result.model,
        result,
        lambda: balance.document(result, drawing),
        as_json=as_json,
        show_all=show_all,
        html=html,
        findings=result.findings,
        sources=result.sources,
    )


JOB = Job(
    "balance",
    _HELP,
    run,
    order=34,
    example="glidewright balance Lark --chance 95",
    answers="decisions.balancing.nouns:BalanceResult",
)
