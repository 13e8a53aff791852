"""``glidewright new``: a complete commented example folder that runs as it is."""

from pathlib import Path
from typing import Annotated

import typer

from glidewright.faces.cli.job import AsJson, Job

_HELP = """Write a new model folder, an example that runs as it is.

Nothing that exists is ever overwritten."""


def run(
    name: Annotated[
        str, typer.Argument(metavar="NAME", help="Name of the model and of its folder.", show_default=False)
    ],
    into: Annotated[
        Path, typer.Option("--in", metavar="FOLDER", help="Where the new folder shall lie.")
    ] = Path(),
    as_json: AsJson = False,
) -> None:
    """Write the folder and say what to do next."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from glidewright.decisions import new_model
    from glidewright.faces.cli.finish import finish
    from glidewright.faces.report import new
    from glidewright.store.new_folder import write_new_folder

    result = new_model.run(new_model.Request(name=name))
    target = into / result.folder
    write_new_folder(target, result.texts)
    finish("new", result.folder, result, lambda: new.document(result, str(target)), as_json=as_json)


JOB = Job(
    "new",
    _HELP,
    run,
    order=10,
    example="glidewright new Lark --in models",
    answers="decisions.new_model:Result",
)
