"""Variants: a model folder with a small overlay ``variants/<name>.toml`` laid over its model.toml.

The overlay is laid over the parsed file before that is read as a model, so that the same door checks it;
whatever the door then finds wrong is named with the file of the variant.
"""

from collections.abc import Mapping
from pathlib import Path

from glidewright.base.errors import InputError, MissingError, Problem, nearest
from glidewright.domain.model import Model

from .migrations import SCHEMA, migrated, schema_of
from .overlay import Laid
from .reading import model_of_texts
from .tables import parsed
from .texts import MODEL_FILE, files_in, read_text, read_texts

VARIANTS_FOLDER = "variants"


def list_variants(folder: Path) -> tuple[str, ...]:
    """Names of the variants of a model folder, sorted; none where it has no such folder.

    Raises InputError when that folder cannot be looked into.
    """
    files = files_in(folder / VARIANTS_FOLDER, VARIANTS_FOLDER)
    return tuple(sorted(path.stem for path in files if path.suffix == ".toml"))


def is_variant_file(path: Path) -> bool:
    """Whether a path is written as that of a variant: ``MODEL/variants/NAME.toml``."""
    return path.suffix == ".toml" and path.parent.name == VARIANTS_FOLDER


def read_variant(folder: Path, name: str) -> Model:
    """The model of a folder with one of its variants laid over it, under the name of the variant.

    Raises MissingError for a folder or a variant that does not exist, InputError with the problems of the
    folder, or with none there those of the variant: file, key, what must be, what came and what to do.
    """
    texts = read_texts(folder)
    base = model_of_texts(texts)
    known = list_variants(folder)
    where = f"{VARIANTS_FOLDER}/{name}.toml"
    if name not in known:
        rest = nearest(name, known) if known else f"put one into {VARIANTS_FOLDER}/"
        raise MissingError(Problem(str(folder), f"must have the variant {name}; there is no {where}; {rest}"))
    overlay = parsed(read_text(folder / where, where), where)
    if schema_of(overlay, where) != SCHEMA:
        raise InputError(Problem(f"{where}: schema", f"must be {SCHEMA}; an older one came; write {SCHEMA}"))
    label = overlay.get("name", f"{base.name}, {name}")
    if not isinstance(label, str) or not label:
        raise InputError(Problem(f"{where}: name", f"must be text; {label!r} came; correct or remove it"))
    now = _texts_now(texts)
    laid = Laid(parsed(now[MODEL_FILE], MODEL_FILE), overlay, where)
    if laid.problems:
        raise InputError(laid.problems)
    try:
        model = model_of_texts(now, laid.head)
    except InputError as refused:
        raise InputError([laid.named(problem) for problem in refused.problems]) from None
    return model.model_copy(update={"name": label})


def _texts_now(texts: Mapping[str, str]) -> Mapping[str, str]:
    """The texts of the folder in today's schema."""
    schema = schema_of(parsed(texts[MODEL_FILE], MODEL_FILE), MODEL_FILE)
    return texts if schema == SCHEMA else migrated(texts, schema)
