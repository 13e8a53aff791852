"""What every command on a model folder does: read it, compute, show the answers."""

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import NoReturn, TypeVar

from glidewright.decisions.nouns import Answered
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.faces.cli.finish import finish
from glidewright.faces.cli.first_run import say_first_run
from glidewright.faces.cli.model_and_class import model_and_class
from glidewright.faces.report.document import Document

A = TypeVar("A", bound=Answered)


def answer(
    command: str,
    folder: Path,
    compute: Callable[[Model, ClassLimits | None], A],
    document: Callable[[A], Document],
    *,
    as_json: bool,
    show_all: bool,
    html: Path | None,
    sources: Callable[[A], Iterable[str]] = lambda _: (),
) -> NoReturn:
    """Compute on the model and class of a folder, show the result, and leave with its exit code."""
    model, rule = model_and_class(folder)
    say_first_run()
    result = compute(model, rule)
    finish(
        command,
        result.model,
        result,
        lambda: document(result),
        as_json=as_json,
        show_all=show_all,
        html=html,
        findings=result.findings,
        sources=sources(result),
    )
