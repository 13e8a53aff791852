"""Compute the polar tables of the packaged sections.

    python studies/sections.py       compute with neuralfoil, write data/sections/sections.toml and polars.npy

Needs ``pip install neuralfoil aerosandbox`` beside glidewright: coordinates come from the archive that
aerosandbox carries (the UIUC airfoil coordinate database and others), polars from neuralfoil's largest
network. The grid of the tables stands in the head of ``sections.toml``. One to three minutes.
``studies/section_bias.py`` then holds the tables against tunnel measurements.
"""

from importlib import import_module
from importlib.metadata import version
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glidewright.models.aero.section_outline import Outline, outline
from glidewright.models.aero.section_table import CONFIDENCE, grid, plain_name
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
# confidence_low: least confidence of the tool from 0 to 6 degrees, Reynolds 60 000 and above, free.
study = "studies/sections.py"
method = "{tool} {tool_version}, network {size}; outline fitted by the tool with 8 shape weights a side"
coordinates = "archive carried by aerosandbox {archive_version}"

[grid]
alpha_deg_low = -12.0
alpha_deg_high = 16.0
alpha_count = 57
reynolds_low = 20000.0
reynolds_high = 500000.0
reynolds_count = 12
column_units = {units}

[valid] # below: no tunnel data in this house
reynolds_low = {low}
reynolds_high = {high}

[also_called]
{others}
"""


def head() -> str:
    """Head of ``sections.toml``."""
    return HEAD.format(
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


def entry(row: int, name: str, title: str, source: str, shape: Outline, table: Array) -> str:
    """One section of ``sections.toml``."""
    facts = (
        f"row = {row}, title = {title!r}, thickness = {shape.thickness:.4f}, camber = {shape.camber:.4f}, "
        f"datum_tilt_deg = {np.degrees(shape.flat_tilt_rad):.2f}, "
        f"confidence_low = {confidence_low(table):.2f}, source = {source!r}"
    )
    return f"{name} = {{ {facts} }}"


def confidence_low(table: Array) -> float:
    """Least confidence in straight flight: 0 to 6 degrees, Reynolds 60 000 and above, free transition."""
    alpha_deg = np.degrees(grid().alpha_rad)
    calm = (alpha_deg > -0.01) & (alpha_deg < 6.01)
    return float(np.min(table[0, grid().reynolds > 5.5e4][:, calm, CONFIDENCE]))


def main() -> None:
    """Compute and write everything."""
    text = FOLDER / "sections.toml"
    tables, lines = [], []
    for row, (name, (title, source, points)) in enumerate(drawings().items()):
        shape = outline(points)
        table = computed_table(shape.points)
        tables.append(np.round(table / np.array(UNITS)).astype(np.int16))
        lines.append(entry(row, name, title, source, shape, table))
        print(lines[-1])
    text.write_text(head() + "\n[section]\n" + "\n".join(lines) + "\n", encoding="utf-8")
    np.save(FOLDER / "polars.npy", np.stack(tables))
    print(len(lines), "sections,", (FOLDER / "polars.npy").stat().st_size, "bytes")


if __name__ == "__main__":
    main()
