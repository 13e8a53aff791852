"""The report of ``new``."""

from glidewright.decisions.new_model import Result
from glidewright.faces.report.document import Column, Document, Section, Steps, Table


def document(result: Result, target: str) -> Document:
    """What was written, and what to do next."""
    columns = (Column("File", is_number=False), Column("Lines"))
    rows = tuple((name, text.count("\n")) for name, text in result.texts.items())
    steps = (
        f"Open {target}/model.toml and put your own numbers in place of the invented ones.",
        f"Run: glidewright check {target}",
        f"Look through the drawer: glidewright parts {target}",
    )
    return Document(
        title=f"New model folder {target}",
        subtitle="A complete example with invented numbers; it runs as it is.",
        model=result.folder,
        sections=(
            Section("files", "Files", "", (Table(columns, rows),)),
            Section("next", "Next", "", (Steps.of(steps),)),
        ),
    )
