"""Hold the computed section polars against tunnel measurements and write how far they are off.

    python studies/section_bias.py [REFERENCE_FOLDER]

REFERENCE_FOLDER holds ``sections/*.csv`` (default: GLIDEWRIGHT_REFERENCE, then ``../shared/reference`` beside
the repository). Drag is compared at the measured lift coefficient, free transition, between 0.15 and 0.9 of
the measured and the computed highest lift, so that an angle that is off in the tunnel does not count as drag.
Every run has the same weight at its Reynolds number, however many points it has. The highest lift is compared
only where the run shows the stall: lift that grows over the last step by less than a third of its usual
slope. Too few runs do for a table by Reynolds number: there is one row for all. Lift slopes are the line
through the readings from 0 to 7 degrees (0 to 5 for thin symmetric sections, which stall there), over 2 pi.
"""

import csv
from collections import defaultdict
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glidewright.models.aero.section import cd_of_cl, highest_lift, lift_slope, section, zero_lift_angle
from write_table import TABLES, reference_folder

Array = NDArray[np.float64]
FILES = ("uiuc_lsat_drag_polars.csv", "soartech8_and_nrel_drag_polars.csv")
LIFT_FILE, LIFT_MODEL = "SD7037B_lift_Re101700_and_202900.csv", "SD7037B"  # lift only, up to the stall
NAMES = {
    "SD7037B": "sd7037",
    "RG15B": "rg15",
    "SD7003": "sd7003",
    "CLARKYB": "clarky",
    "CLARK-Y(ST8)": "clarky",
    "SD8020": "sd8020",
    "E387E": "e387",
    "E205A": "e205",
    "S3010": "s3010",
    "SD2030B": "sd2030",
}
NOMINAL = (60_000, 100_000, 150_000, 200_000, 300_000)
LIFT_SHARE = (0.15, 0.9)

HEAD = """# Computed sections against tunnels. Written by studies/section_bias.py, do not edit.
# drag_factor, highest_lift_factor: measured over computed. slope_over_thin: measured slope over 2 pi.
# zero_lift_shift: measured less computed angle of zero lift in degrees, the tunnels' own zero included.
# low and high: 10 % and 90 %. Between rows straight in the logarithm of the Reynolds number.
unit = "1, zero_lift_shift in degrees"
valid = "free transition; drag: lift coefficient from 0.15 to 0.9 of the highest"
source = "UIUC Low-Speed Airfoil Tests 1, 3, 4 (Selig et al.); SoarTech 8 (Selig et al. 1989); \
NREL/SR-500-34515 (Selig, McGranahan 2004)"
where = "drag polars of {sections}"
method = "drag at the measured lift: weighted median, 10 % and 90 % of single readings; the others: of runs"
study = "studies/section_bias.py"
"""


def measured(folder: Path) -> dict[tuple[str, float], Array]:
    """Runs by tunnel model and Reynolds number: angle in degrees, lift, drag."""
    runs = defaultdict(list)
    for name in FILES:
        with (folder / "sections" / name).open(encoding="utf-8") as stream:
            for row in csv.DictReader(line for line in stream if not line.startswith("#")):
                numbers = [float(row[key]) for key in ("alpha_deg", "Cl", "Cd")]
                runs[row["airfoil"], float(row["Re"])].append(numbers)
    return {run: np.array(rows) for run, rows in sorted(runs.items())}


def lift_runs(folder: Path) -> dict[float, Array]:
    """Runs without drag by Reynolds number, angle growing: angle in degrees, lift."""
    runs = defaultdict(list)
    with (folder / "sections" / LIFT_FILE).open(encoding="utf-8") as stream:
        for row in csv.DictReader(line for line in stream if not line.startswith("#")):
            if row["sweep"] == "up":
                runs[float(row["Re"])].append([float(row["alpha_deg"]), float(row["Cl"])])
    return {reynolds: np.array(rows) for reynolds, rows in runs.items()}


def ratios(model: str, reynolds: float, rows: Array, rough: float = 0.0) -> Array:
    """Measured over computed drag of one run."""
    one = section(NAMES[model])
    top = min(float(highest_lift(one, reynolds, rough)[0]), float(rows[:, 1].max()))
    lift = rows[:, 1]
    kept = (lift > LIFT_SHARE[0] * top) & (lift < LIFT_SHARE[1] * top)
    computed, _ = cd_of_cl(one, lift[kept], reynolds, rough)
    found: Array = rows[kept, 2] / computed
    return found


def quantiles(groups: list[Array]) -> Array:
    """10 %, 50 % and 90 % of all readings, each group with the same weight."""
    values = np.concatenate(groups)
    weights = np.concatenate([np.full(group.size, 1.0 / group.size) for group in groups if group.size])
    order = np.argsort(values)
    reached = (np.cumsum(weights[order]) - 0.5 * weights[order]) / weights.sum()
    return np.interp([0.1, 0.5, 0.9], reached, values[order])


def ceiling_ratio(model: str, reynolds: float, rows: Array) -> Array:
    """Measured over computed highest lift where the run shows the stall, one number or none."""
    angle, lift = rows[:, 0], rows[:, 1]
    middle = (angle > -0.5) & (angle < 5.5)
    slope = np.polyfit(angle[middle], lift[middle], 1)[0]
    last = (lift[-1] - lift[-2]) / (angle[-1] - angle[-2])
    computed = float(highest_lift(section(NAMES[model]), reynolds)[0])
    return np.array([lift.max() / computed] if last < slope / 3.0 else [])


def measured_slope(rows: Array, most_deg: float = 7.5) -> float:
    """Lift per radian by the line through the readings from 0 to 7 degrees."""
    angle = (rows[:, 0] > -0.5) & (rows[:, 0] < most_deg)
    return float(np.polyfit(np.radians(rows[angle, 0]), rows[angle, 1], 1)[0])


def zero_lift_shift(model: str, reynolds: float, rows: Array) -> Array:
    """Measured less computed angle of zero lift in degrees, one number or none."""
    before = np.flatnonzero((rows[:-1, 1] <= 0.0) & (rows[1:, 1] > 0.0))
    if not before.size:
        return np.array([])
    two = rows[before[0] : before[0] + 2]
    computed = np.degrees(zero_lift_angle(section(NAMES[model]), reynolds))
    return np.array([np.interp(0.0, two[:, 1], two[:, 0]) - float(computed)])


def said(model: str, reynolds: float, rows: Array, drag: Array) -> str:
    """What one run found."""
    forced = np.median(ratios(model, reynolds, rows, 1.0))
    one = section(NAMES[model])
    return (
        f"{model:13s} Re {reynolds:7.0f}  drag ratio median {np.median(drag):.3f} "
        f"({drag.min():.2f} to {drag.max():.2f}, {drag.size} points), forced {forced:.3f}; "
        f"slope {measured_slope(rows):.2f} computed {float(lift_slope(one, reynolds)):.2f}; "
        f"highest lift {rows[:, 1].max():.2f} computed {float(highest_lift(one, reynolds)[0]):.2f}"
    )


def row_text(table: str, nominal: int, groups: list[Array]) -> str:
    """One row of the written table, printed with how well it serves."""
    low, value, high = quantiles(groups)
    off = np.abs(np.concatenate(groups) / value - 1.0)
    runs = sum(group.size > 0 for group in groups)
    print(f"{table} Re {nominal}: {value:.3f} ({low:.3f} to {high:.3f}), {runs} runs, {off.size} points")
    if table == "drag_factor":
        shares = [np.mean(off < tolerance) for tolerance in (0.10, 0.25)]
        print(f"    after correction within 10 %: {shares[0]:.0%}, within 25 %: {shares[1]:.0%}")
    numbers = f"value = {value:.3f}\nlow = {low:.3f}\nhigh = {high:.3f}\nruns = {runs}\npoints = {off.size}"
    return f"[[{table}]]\nreynolds = {float(nominal)}\n{numbers}\n"


def main() -> None:
    """Print the comparison run by run and write ``section_bias.toml``."""
    drags, slopes = defaultdict(list), defaultdict(list)
    ceilings, shifts = [], []
    for reynolds, rows in lift_runs(reference_folder()).items():
        ceilings.append(ceiling_ratio(LIFT_MODEL, reynolds, rows))
    for (model, reynolds), rows in measured(reference_folder()).items():
        nominal = min(NOMINAL, key=lambda node: abs(np.log(node / reynolds)))
        drags[nominal].append(ratios(model, reynolds, rows))
        ceilings.append(ceiling_ratio(model, reynolds, rows))
        most_deg = 5.5 if section(NAMES[model]).camber < 0.005 else 7.5
        slopes[nominal].append(np.array([measured_slope(rows, most_deg) / (2.0 * np.pi)]))
        if nominal >= 100_000:
            shifts.append(zero_lift_shift(model, reynolds, rows))
        print(said(model, reynolds, rows, drags[nominal][-1]))
    lines = [HEAD.format(sections=", ".join(sorted(set(NAMES.values()))))]
    lines += [row_text("drag_factor", nominal, drags[nominal]) for nominal in NOMINAL]
    lines.append(row_text("highest_lift_factor", 100_000, ceilings))
    lines += [row_text("slope_over_thin", nominal, slopes[nominal]) for nominal in NOMINAL]
    lines.append(row_text("zero_lift_shift", 100_000, shifts))
    (TABLES / "section_bias.toml").write_text("\n".join(lines), encoding="utf-8")


if __name__ == "__main__":
    main()
