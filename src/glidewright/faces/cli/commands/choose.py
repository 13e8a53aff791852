"""``glidewright choose``: which parts of the drawer, and of further lists, make the better model."""

from pathlib import Path
from typing import Annotated

import typer

from glidewright.faces.cli.job import AsJson, HtmlFile, Job, ModelFolder, ShowAll
from glidewright.faces.cli.rates import Rates, read_rates

_HELP = """Choose parts: the builds that nothing beats on your goals.

Tries every motor, controller, pack, propeller with yoke, servo and place that the drawer and further parts
files allow, what is on hand first, under all limits. Goals: height, launches, margin (the more the better),
mass, cost, days, purchases (the less the better). A Ctrl-C shows what was found so far. Leaves with 0 when
the recommended build keeps every limit, with 1 when one is doubtful or not known, with 2 when nothing can be
chosen, with 130 when it was stopped."""

Goals = Annotated[
    list[str] | None,
    typer.Option("--goal", metavar="NAME", help="Compare by this; repeat. Usual: height, launches, cost."),
]
Needs = Annotated[
    list[str] | None,
    typer.Option("--need", metavar="BOUND", help='Must be reached, as "launches>=6" or "mass<=600"; repeat.'),
]
Parts = Annotated[
    list[Path] | None,
    typer.Option("--parts", metavar="FILE", help="Further parts file to choose from; repeat."),
]
Catalogue = Annotated[
    list[Path] | None,
    typer.Option("--catalogue", metavar="FILE", help="Asked only what one part of it would add; repeat."),
]
By = Annotated[str, typer.Option("--by", metavar="DATE", help="All parts must be there, as 2030-05-01.")]
Buy = Annotated[
    int | None, typer.Option("--buy", metavar="N", min=0, help="Buy at most so many different parts.")
]
Chance = Annotated[
    float | None,
    typer.Option("--chance", metavar="PERCENT", min=50, max=99, help="Chance to keep every limit."),
]
Simulate = Annotated[
    int, typer.Option("--simulate", metavar="N", min=1, max=10000, help="Most builds kept with spread.")
]


def run(
    model: ModelFolder,
    goal: Goals = None,
    need: Needs = None,
    parts: Parts = None,
    catalogue: Catalogue = None,
    by: By = "",
    buy: Buy = None,
    rate: Rates = None,
    chance: Chance = None,
    simulate: Simulate = 100,
    show_all: ShowAll = False,
    html: HtmlFile = None,
    as_json: AsJson = False,
) -> None:
    """Read the folder and the files, search, and show the answers."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from datetime import date

    from glidewright.decisions import choose as job
    from glidewright.domain.day import day_of
    from glidewright.faces.cli.finish import finish
    from glidewright.faces.cli.first_run import say_first_run
    from glidewright.faces.cli.model_and_class import model_and_class
    from glidewright.faces.cli.progress import Progress
    from glidewright.faces.report import choose
    from glidewright.store.parts_files import read_parts_files

    found, rule = model_and_class(model)
    rates = read_rates(rate)
    names = [part.id for part in found.drawer]
    further = read_parts_files(parts or (), found.currency, rates, names)
    names += [part.id for part in further]
    request = job.ChooseRequest(
        model=found,
        rule=rule,
        parts=further,
        catalogue=read_parts_files(catalogue or (), found.currency, rates, names),
        goals=tuple(goal or ()),
        needs=tuple(need or ()),
        buy=buy,
        today=date.today(),
        by=day_of(by, "--by"),
        chance=None if chance is None else chance / 100.0,
        simulated=simulate,
    )
    say_first_run()
    with Progress() as line:
        result = job.run(
            request,
            progress=lambda told: line.say(f"{told.stage}: {told.done}; Ctrl-C shows what is found"),
        )
    finish(
        "choose",
        result.model,
        result,
        lambda: choose.document(result),
        as_json=as_json,
        show_all=show_all,
        html=html,
        findings=result.findings,
        is_partial=result.is_partial,
    )


JOB = Job(
    "choose",
    _HELP,
    run,
    order=40,
    example='glidewright choose Lark --goal height --goal launches --need "launches>=6" --buy 1',
    answers="decisions.choosing.nouns:ChooseResult",
)
