"""The texts of a model folder: which files belong to it, read as UTF-8, with every refusal in a sentence."""

from collections.abc import Mapping
from pathlib import Path

from glidewright.base.errors import InputError, MissingError, Problem, nearest

MODEL_FILE = "model.toml"
PARTS_FOLDER = "parts"
SECTIONS_FOLDER = "sections"
DRAWER_FILE_OF_SCHEMA_0 = "drawer.toml"
LARGEST_BYTES = 2_000_000


def read_texts(folder: Path) -> dict[str, str]:
    """The texts of a model folder by name relative to it, ``/`` between folder and file.

    Raises MissingError when the folder or its model.toml does not exist, InputError with every file
    that cannot be read.
    """
    problem = _folder_problem(folder)
    if problem:
        raise problem
    problems: list[Problem] = []
    texts: dict[str, str] = {}
    for name in _names(folder, problems):
        try:
            texts[name] = read_text(folder / name, name)
        except InputError as refused:
            problems.extend(refused.problems)
    if problems:
        raise InputError(problems)
    return texts


def text_of(texts: Mapping[str, str], file: str) -> str:
    """One of the texts of a model folder; raises InputError for a file that is none of them."""
    if file not in texts:
        words = f"must be a file of the model folder; there is none; {nearest(file, list(texts))}"
        raise InputError(Problem(file, words))
    return texts[file]


def read_text(path: Path, where: str) -> str:
    """One file as text; ``where`` names it in messages. A byte order mark is dropped."""
    try:
        if not path.is_file():
            came = "a folder" if path.is_dir() else "something else"
            raise InputError(Problem(where, f"must be a file; {came} came; rename or remove it"))
        size = path.stat().st_size
        if size > LARGEST_BYTES:
            raise InputError(
                Problem(
                    where,
                    f"must be at most {LARGEST_BYTES // 1_000_000} MB; {size / 1e6:.1f} MB came; "
                    "it is no file of a model folder, remove it from here",
                )
            )
        data = path.read_bytes()
    except OSError as refused:
        raise InputError(Problem(where, unreadable(refused))) from refused
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as refused:
        line = data.count(b"\n", 0, refused.start) + 1
        raise InputError(
            Problem(
                f"{where} line {line}",
                f"must be UTF-8 text; the byte 0x{data[refused.start]:02x} came; save the file as UTF-8",
            )
        ) from refused


def _folder_problem(folder: Path) -> InputError | None:
    """Why this is no model folder, or nothing."""
    try:
        if folder.is_file():
            todo = (
                f"give the folder that holds it, {folder.parent}"
                if folder.name == MODEL_FILE
                else "give the folder"
            )
            return InputError(Problem(str(folder), f"must be a model folder; a file came; {todo}"))
        if not folder.is_dir():
            return MissingError(
                Problem(
                    str(folder),
                    "must be a model folder; nothing with that name exists; "
                    "correct the name or make one with: glidewright new NAME",
                )
            )
        if not (folder / MODEL_FILE).exists():
            return MissingError(
                Problem(
                    str(folder / MODEL_FILE),
                    f"must exist in a model folder; the folder has no {MODEL_FILE}; "
                    "give another folder or make one with: glidewright new NAME",
                )
            )
    except OSError as refused:
        return InputError(Problem(str(folder), unreadable(refused)))
    return None


def _names(folder: Path, problems: list[Problem]) -> list[str]:
    """Files that belong to the model, model.toml first; hidden files (of other systems) do not."""
    names = [MODEL_FILE]
    if (folder / DRAWER_FILE_OF_SCHEMA_0).is_file():
        names.append(DRAWER_FILE_OF_SCHEMA_0)
    names += _files(folder, PARTS_FOLDER, ".toml", "the drawer's files", problems)
    return names + _files(folder, SECTIONS_FOLDER, ".dat", "coordinate files of own sections", problems)


def _files(folder: Path, part: str, ending: str, what: str, problems: list[Problem]) -> list[str]:
    """Names of the files with an ending in a folder of the model folder, sorted; none where it is not."""
    if not (folder / part).exists():
        return []
    try:
        found = sorted(entry.name for entry in (folder / part).iterdir())
    except NotADirectoryError:
        problems.append(Problem(part, f"must be a folder with {what}; a file came; rename it"))
        return []
    except OSError as refused:
        problems.append(Problem(part, unreadable(refused)))
        return []
    wanted = (name for name in found if name.lower().endswith(ending) and not name.startswith("."))
    return [f"{part}/{name}" for name in wanted]


def files_in(folder: Path, where: str) -> list[Path]:
    """The files of a folder in the order of their names, hidden ones left out; none where there is no folder.

    where: names the folder in messages. Raises InputError when it cannot be looked into.
    """
    try:
        return [path for path in sorted(folder.iterdir()) if path.is_file() and path.name[0] != "."]
    except (FileNotFoundError, NotADirectoryError):
        return []
    except OSError as refused:
        raise InputError(Problem(where, unreadable(refused))) from refused


def unreadable(refused: OSError) -> str:
    """What must be, what came and what to do, for a file or folder that the system did not let be read."""
    if isinstance(refused, PermissionError):
        return "must be readable; reading it is not allowed; change its permissions"
    return f"must be readable; the system said: {refused.strerror}; check the disk or the name"
