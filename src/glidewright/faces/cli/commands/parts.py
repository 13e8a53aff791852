"""``glidewright parts``: the drawer, what is missing in it, and which reading would narrow it."""

from typing import Annotated

import typer

from glidewright.faces.cli.job import AsJson, Job, ModelFolder

_HELP = """List and search the drawer, and say what is missing.

Says which reading would narrow a missing value. Words must all stand in the id, title, kind or
note of a part; a condition compares a key, as in "mass_g<40"."""


def run(
    model: ModelFolder,
    query: Annotated[
        list[str] | None,
        typer.Argument(metavar="[WORD]...", help="Words or conditions.", show_default=False),
    ] = None,
    kind: Annotated[
        str, typer.Option("--kind", metavar="KIND", help="Only this kind: motor, pack, propeller ...")
    ] = "",
    on_hand: Annotated[bool, typer.Option("--on-hand", help="Only what lies in the drawer.")] = False,
    ready_in: Annotated[
        float | None,
        typer.Option("--ready-in", metavar="DAYS", help="On hand, or at the door within so many days."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Read the folder and list what fits."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from glidewright.decisions import parts as job
    from glidewright.faces.cli.finish import finish
    from glidewright.faces.report import parts
    from glidewright.store.reading import read_model

    found = read_model(model)
    request = job.Request(query=" ".join(query or ()), kind=kind, on_hand=on_hand, ready_in_days=ready_in)
    result = job.run(found, request)
    finish("parts", result.model, result, lambda: parts.document(result), as_json=as_json)


JOB = Job(
    "parts",
    _HELP,
    run,
    order=20,
    example='glidewright parts Lark "mass_g<40" --kind motor',
    answers="decisions.parts:Result",
)
