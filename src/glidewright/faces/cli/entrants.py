"""Models and variants as a person names them on the command line."""

from collections.abc import Sequence
from pathlib import Path

from glidewright.base.errors import InputError, Problem, nearest
from glidewright.decisions.comparing.nouns import Entrant
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.rules.measures import MEASURE_UNITS
from glidewright.store.class_files import read_class
from glidewright.store.reading import read_model
from glidewright.store.variants import VARIANTS_FOLDER, is_variant_file, list_variants, read_variant

NO_CLASS = "none"
Named = tuple[Path, str]  # a folder, and a variant of it or nothing


def read_entrants(words: Sequence[str], class_id: str) -> tuple[Entrant, ...]:
    """The models of some folders and variants; a folder alone stands with all of its variants.

    words: a folder, ``FOLDER/variants/NAME.toml``, or the name of a variant of the first one; class_id:
    judges all of them, ``none`` for no class, empty for each by its own. Raises InputError.
    """
    named = _named(words)
    is_one_folder = len({folder for folder, _ in named}) == 1
    bases: dict[Path, Model] = {}
    found: list[Entrant] = []
    problems: list[Problem] = []
    for folder, variant in named:
        try:
            if folder not in bases:
                bases[folder] = read_model(folder)
            model = read_variant(folder, variant) if variant else bases[folder]
            rule = _rule(named[0][0] if class_id else folder, class_id or model.class_id)
            found.append(Entrant(model=model, base=bases[folder] if variant else None, rule=rule))
        except InputError as refused:
            problems += [one if is_one_folder else _in_folder(one, folder) for one in refused.problems]
    if problems:
        raise InputError(list(dict.fromkeys(problems)))
    return tuple(found)


def _in_folder(problem: Problem, folder: Path) -> Problem:
    """The problem with its folder in front."""
    is_named = problem.where.startswith(str(folder))
    return problem if is_named else Problem(f"{folder}/{problem.where}", problem.message)


def _rule(folder: Path, class_id: str) -> ClassLimits | None:
    if class_id in ("", NO_CLASS):
        return None
    return read_class(folder, class_id, MEASURE_UNITS)


def _named(words: Sequence[str]) -> list[Named]:
    """Folder and variant of each word, none twice."""
    first = _place(words[0], None)
    if len(words) == 1 and not first[1]:
        return [first, *((first[0], name) for name in list_variants(first[0]))]
    found: list[Named] = []
    seen = set()
    for word in words:
        folder, variant = _place(word, first[0])
        key = (folder.resolve(), variant)
        if key in seen:
            message = "must stand once among the models to compare; it stands twice; name another one"
            raise InputError(Problem(word, message))
        seen.add(key)
        found.append((folder, variant))
    return found


def _place(word: str, first: Path | None) -> Named:
    path = Path(word)
    if is_variant_file(path):
        return path.parent.parent, path.stem
    known = () if first is None or path.exists() else list_variants(first)
    if word in known and first is not None:
        return first, word
    if known:
        message = f"must be a model folder or a variant of {first}; nothing with that name exists"
        raise InputError(Problem(word, f"{message}; {nearest(word, known)}"))
    if path.suffix == ".toml" and path.is_file() and path.name != "model.toml":
        message = f"must be a model folder or a variant, MODEL/{VARIANTS_FOLDER}/NAME.toml"
        raise InputError(Problem(word, f"{message}; another file came; put it there"))
    return path, ""
