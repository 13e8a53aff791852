"""``glidewright compare``: models or variants side by side, with the spread of every difference."""

from typing import Annotated

import typer

from glidewright.faces.cli.job import AsJson, HtmlFile, Job, ShowAll
from glidewright.faces.cli.rates import Rates, read_rates

_HELP = """Compare two to six models or variants side by side.

A variant is a small file MODEL/variants/NAME.toml that holds what differs. One model alone is compared with
all its variants; after the first model the name of a variant of it is enough. Every figure with the spread
of its difference on the same draws, what is better and how sure that is: cost and hours, skill, mass,
glide, into the wind, launch, launches per charge, balance, limits; and what differs in the inputs. Leaves
with 0 when every limit of all is kept, with 1 when not, with 2 when something cannot be used."""

Wind = Annotated[
    float, typer.Option("--wind", metavar="M/S", min=0, max=20, help="Head wind to fly against.")
]
ClassId = Annotated[
    str, typer.Option("--class", metavar="ID", help="Judge all by this class; none for no class.")
]


def run(
    models: Annotated[
        list[str], typer.Argument(metavar="MODEL", help="Model folders or variants.", show_default=False)
    ],
    wind: Wind = 6.0,
    class_id: ClassId = "",
    rate: Rates = None,
    show_all: ShowAll = False,
    html: HtmlFile = None,
    as_json: AsJson = False,
) -> None:
    """Read the folders, compute, and show the answers."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from glidewright.decisions import compare as job
    from glidewright.decisions.comparing.nouns import CompareRequest
    from glidewright.faces.cli.entrants import NO_CLASS, read_entrants
    from glidewright.faces.cli.finish import finish
    from glidewright.faces.cli.first_run import say_first_run
    from glidewright.faces.report import compare

    request = CompareRequest(
        entrants=read_entrants(models, class_id),
        headwind_m_s=wind,
        rates=read_rates(rate),
        is_without_class=class_id == NO_CLASS,
    )
    say_first_run()
    result = job.run(request)
    finish(
        "compare",
        result.model,
        result,
        lambda: compare.document(result),
        as_json=as_json,
        show_all=show_all,
        html=html,
        findings=result.findings,
        sources=result.sources,
    )


JOB = Job(
    "compare",
    _HELP,
    run,
    order=42,
    example="glidewright compare Lark Heron --wind 5",
    answers="decisions.comparing.nouns:CompareResult",
)
