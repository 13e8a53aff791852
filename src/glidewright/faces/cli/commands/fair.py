"""``glidewright fair``: what a rule does to a field of entries, before a committee votes on it."""

import os
from pathlib import Path
from typing import Annotated

import typer

from glidewright.faces.cli.job import AsJson, HtmlFile, Job, ShowAll
from glidewright.faces.cli.rates import Rates, read_rates

_HELP = """Show what rule options do to a field of entries.

Every legal and sound build of the drawers enters, set up as well as its owner could: how far entries lie
apart, what binds whom, what it costs, what parts on hand are worth, and what a check by a logger can tell.
Leaves with 0 when done, with 2 when a folder, file or option cannot be used."""

ClassName = Annotated[
    str, typer.Argument(metavar="CLASS", help="The class, as in classes/ without .toml.", show_default=False)
]
Folders = Annotated[
    list[Path] | None,
    typer.Option(
        "--model", metavar="FOLDER", help="Airframe with its drawer; may be given again. Default: demo."
    ),
]
MoreParts = Annotated[
    list[Path] | None,
    typer.Option("--parts", metavar="FILE", help="Further parts for every drawer; may be given again."),
]
OptionsFile = Annotated[
    Path | None,
    typer.Option(
        "--options",
        metavar="FILE",
        help="Rule options; else options.toml of the first folder, else derived ones.",
    ),
]
Within = Annotated[float, typer.Option(help="Share of the best height from which an entry is in it.")]
Wrong = Annotated[
    float, typer.Option(help="Share of wrong verdicts that is accepted, above 0 and below 0.5.")
]
Draws = Annotated[int, typer.Option(help="Launches of every entry, a power of two.")]
Seed = Annotated[int, typer.Option(help="Of the noise of the loggers.", min=0)]
Paper = Annotated[
    Path | None,
    typer.Option("--paper", metavar="FILE", help="Write one page for the club meeting as an HTML file too."),
]


def run(
    class_name: ClassName,
    model: Folders = None,
    parts: MoreParts = None,
    options: OptionsFile = None,
    within: Within = 0.95,
    wrong: Wrong = 0.05,
    rate: Rates = None,
    draws: Draws = 64,
    seed: Seed = 1,
    paper: Paper = None,
    show_all: ShowAll = False,
    html: HtmlFile = None,
    as_json: AsJson = False,
) -> None:
    """Read folders and files, fly the field, and show the answers."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from concurrent.futures import ThreadPoolExecutor

    from glidewright.decisions import fair as job
    from glidewright.decisions.fairness.nouns import FairRequest
    from glidewright.faces.cli.fair_input import fair_input
    from glidewright.faces.cli.finish import finish
    from glidewright.faces.cli.first_run import say_first_run
    from glidewright.faces.cli.progress import Progress
    from glidewright.faces.report import fair as report

    found = fair_input(class_name, tuple(model or ()), tuple(parts or ()), options, read_rates(rate))
    request = FairRequest.under(
        found.options,
        models=found.models,
        rule=found.rule,
        within=within,
        wrong=wrong,
        draws=draws,
        seed=seed,
    )
    say_first_run()
    # threads and not processes: the kernels let go of the interpreter, and nothing has to start
    with ThreadPoolExecutor(os.cpu_count()) as executor, Progress("Flying the field") as progress:
        result = job.run(request, executor, progress)
    if paper is not None:
        from glidewright.faces.report.fair_paper import paper_html
        from glidewright.store.atomic import write_whole

        write_whole(paper, paper_html(result))
    finish(
        "fair",
        ", ".join(result.airframes),
        result,
        lambda: report.document(result),
        as_json=as_json,
        show_all=show_all,
        html=html,
        sources=result.sources,
    )


JOB = Job(
    "fair",
    _HELP,
    run,
    order=55,
    example="glidewright fair hill-club-electric --model Lark --model Heron --paper meeting.html",
    answers="decisions.fairness.nouns:FairResult",
)
