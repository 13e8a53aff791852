"""Files of parts that lie beside the model folders of a workshop."""

from collections.abc import Iterable, Sequence
from pathlib import Path

from glidewright.domain.model import Model
from glidewright.domain.parts import Part
from glidewright.faces.web.area import Subject, Values
from glidewright.faces.web.inputs import Choice, Input


def parts_file(words: str) -> Input:
    """The input that names a file of further parts; words: what is done with them."""
    return Input("parts", "Further parts", words, kind="choice", choices=_files, default="")


def parts_of(subject: Subject, values: Values, taken: Iterable[str] = ()) -> tuple[Part, ...]:
    """The parts of the file that was chosen; taken: ids that they must not have. Raises InputError."""
    from glidewright.store.parts_files import read_parts_files  # noqa: PLC0415 - read where a page is computed

    name = str(values.get("parts") or "")
    files = [subject.folder.parent / name] if name else []
    return read_parts_files(files, subject.model.currency, {}, taken)


def _files(model: Model, folder: Path | None) -> Sequence[Choice]:
    del model
    found = [] if folder is None else sorted(path.name for path in folder.parent.glob("*.toml"))
    return [("", "none"), *((name, name) for name in found)]
