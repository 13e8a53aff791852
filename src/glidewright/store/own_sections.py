"""Own sections of a model folder: coordinate files in ``sections/`` that a surface names, with their polars.

Polars take a second or two and a large package to compute, so they are kept in the program's cache, under a
digest of the points and of all that the computation depends on.
"""

import hashlib
import os
import secrets
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glidewright.base.caches import cache_folder
from glidewright.base.errors import InputError, OutsideModelError, Problem
from glidewright.domain.geometry import Geometry
from glidewright.domain.geometry_checks import stated_sections
from glidewright.domain.geometry_section import OwnSection, plain_name
from glidewright.models.aero.section_table import grid, stored_polars

from . import section_polars
from .section_files import section_of_text
from .tables import Problems
from .texts import SECTIONS_FOLDER

Array = NDArray[np.float64]
_ABOUT = (section_polars.TOOL, section_polars.MODEL_SIZE, section_polars.FREE_N_CRIT)
_FORCED = (section_polars.FORCED_N_CRIT, section_polars.FORCED_AT)


def read_own_sections(
    geometry: Geometry, texts: Mapping[str, str], problems: Problems
) -> tuple[OwnSection, ...]:
    """The own sections that a geometry names, in the order of the names; problems of their files are noted.

    A file counts by its name, of which only letters and figures matter, and goes before a packaged section.
    """
    files: dict[str, str] = {}
    for name in texts:
        key = plain_name(Path(name).stem) if name.startswith(f"{SECTIONS_FOLDER}/") else ""
        if key in files:
            problems.say(name, f"must have a name of its own; {files[key]} is named so already; rename one")
        elif key:
            files[key] = name
    wanted = dict.fromkeys(plain_name(name) for _, name in stated_sections(geometry))
    read = (_read(key, files[key], texts, problems) for key in wanted if key in files)
    return tuple(one for one in read if one is not None)


def _read(key: str, file: str, texts: Mapping[str, str], problems: Problems) -> OwnSection | None:
    try:
        read = section_of_text(texts[file], file)
        polars = _polars(read.outline.points, file)
    except (InputError, OutsideModelError) as refused:
        problems.extend(refused.problems)
        return None
    return OwnSection(
        name=key,
        title=read.title,
        source=f"own coordinate file {file}",
        thickness=read.outline.thickness,
        camber=read.outline.camber,
        usual_tilt_rad=read.outline.flat_tilt_rad,
        file_tilt_rad=read.outline.turned_rad,
        polars=polars,
    )


def _polars(points: Array, file: str) -> bytes:
    """Computed polars as they are stored, from the cache where they are in it."""
    kept = cache_folder("sections") / f"{_digest(points)}.polars"
    size = 2 * int(np.prod(grid().shape))
    with suppress(OSError):
        found = kept.read_bytes()
        if len(found) == size:
            return found
    try:
        table = section_polars.computed_table(points)
    except InputError as refused:
        raise InputError([Problem(file, problem.message) for problem in refused.problems]) from refused
    if not np.isfinite(table).all():
        message = "must be a section that polars can be computed of; none were found; check the points"
        raise InputError(Problem(file, message))
    polars = stored_polars(table)
    _keep(kept, polars)
    return polars


def _digest(points: Array) -> str:
    nodes = grid()
    about = repr((_ABOUT, _FORCED, nodes.alpha_rad.tolist(), nodes.reynolds.tolist()))
    return hashlib.sha256(about.encode() + points.astype("<f8").tobytes()).hexdigest()


def _keep(path: Path, data: bytes) -> None:
    """Put data into the cache in one step; a cache that cannot be written is none."""
    temporary = path.with_name(f".{path.name}.{secrets.token_hex(6)}.tmp")
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        temporary.write_bytes(data)
        os.replace(temporary, path)  # noqa: PTH105 - one step on every system
    with suppress(OSError):
        temporary.unlink(missing_ok=True)
