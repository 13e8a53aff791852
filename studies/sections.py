"""Compute the polar tables of the packaged sections.

    python studies/sections.py       compute with neuralfoil, write data/sections/sections.toml and polars.npy

Needs ``pip install neuralfoil aerosandbox`` beside glidewright: coordinates come from the archive that
aerosandbox carries (the UIUC airfoil coordinate database and others), polars from neuralfoil's largest
network. The grid is the one in the head of ``sections.toml``: change it there. One to three minutes.
``studies/section_bias.py`` then holds the tables against tunnel measurements.
"""

from importlib import import_module
from importlib.metadata import version
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glidewright.domain.geometry_section import plain_name
from glidewright.models.aero.section_outline import Outline, outline
from glidewright.models.aero.section_table import grid
from glidewright.store.section_polars import MODEL_SIZE, REYNOLDS_HIGH, REYNOLDS_LOW, computed_table
from section_list import ALSO_CALLED, ARCHIVED, PLATES, plate

Array = NDArray[np.float64]
FOLDER = Path(__file__).parents[1] / "src/glidewright/data/sections"
UNITS = (1e-4, 2e-5, 1e-4, 1e-2)  # one step of the stored whole numbers: CL, CD, CM, confidence

HEAD = """# Aerofoil sections. Written by studies/sections.py, do not edit.
# polars.npy: whole numbers (section, transition, Reynolds number, angle of attack, column), columns
# CL, CD, CM about the quarter chord, confidence of the tool, in column_units. Angles from the chord line.
# Transition 0: free, n_crit 9. Transition 1: forced at 10 % of the chord on both sides, n_crit 5.
# datum_tilt_deg: angle of the chord line less the angle of the flat bottom; 0: no flat bottom.
study = "studies/sections.py"
method = "{tool} {tool_version}, network {size}; outline fitted by the tool with 8 shape weights a side"
coordinates = "archive carried by aerosandbox {archive_version}"

[grid]
alpha_deg_low = {alpha_deg[0]:.1f}
alpha_deg_high = {alpha_deg[1]:.1f}
alpha_count = {counts[1]}
reynolds_low = {reynolds[0]:.1f}
reynolds_high = {reynolds[1]:.1f}
reynolds_count = {counts[0]}
column_units = {units}

[valid] # outside: no tunnel data in this house
reynolds_low = {low}
reynolds_high = {high}

[also_called]
{others}
"""


def head() -> str:
    """Head of ``sections.toml``."""
    nodes = grid()
    return HEAD.format(
        alpha_deg=np.degrees(nodes.alpha_rad[[0, -1]]),
        reynolds=nodes.reynolds[[0, -1]],
        counts=nodes.shape[1:3],
        tool="neuralfoil",
        tool_version=version("neuralfoil"),
        size=MODEL_SIZE,
        archive_version=version("aerosandbox"),
        units=list(UNITS),
        low=REYNOLDS_LOW,
        high=REYNOLDS_HIGH,
        others="\n".join(f'{other} = "{name}"' for other, name in sorted(ALSO_CALLED.items())),
    )


def drawings() -> dict[str, tuple[str, str, Array]]:
    """Title, source and points of every section, by name."""
    archive: Any = import_module("aerosandbox")
    found = {}
    for listed in ARCHIVED:
        points = np.asarray(archive.Airfoil(listed.archive).coordinates, dtype=np.float64)
        found[plain_name(listed.title)] = listed.title, f"archive designation {listed.archive}", points
    for chord, sheet in PLATES:
        title = f"Flat plate, {sheet:g} mm on {chord:g} mm chord"
        points = plate(sheet / chord)
        found[f"plate{1000 * sheet / chord:.0f}"] = (
            title,
            "own construction, front round, rear sanded",
            points,
        )
    return dict(sorted(found.items()))


def entry(row: int, name: str, title: str, source: str, shape: Outline) -> str:
    """One section of ``sections.toml``."""
    facts = (
        f"row = {row}, title = {title!r}, thickness = {shape.thickness:.4f}, camber = {shape.camber:.4f}, "
        f"datum_tilt_deg = {np.degrees(shape.flat_tilt_rad):.2f}, "
        f"source = {source!r}"
    )
    return f"{name} = {{ {facts} }}"


def main() -> None:
    """Compute and write everything."""
    text = FOLDER / "sections.toml"
    tables, lines = [], []
    for row, (name, (title, source, points)) in enumerate(drawings().items()):
        shape = outline(points)
        table = computed_table(shape.points)
        tables.append(np.round(table / np.array(UNITS)).astype(np.int16))
        lines.append(entry(row, name, title, source, shape))
        print(lines[-1])
    text.write_text(head() + "\n[section]\n" + "\n".join(lines) + "\n", encoding="utf-8")
    np.save(FOLDER / "polars.npy", np.stack(tables))
    print(len(lines), "sections,", (FOLDER / "polars.npy").stat().st_size, "bytes")


if __name__ == "__main__":
    main()
