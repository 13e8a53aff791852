"""Motors on the bench: identify every set, and find the part-load loss of the controllers.

Data: Czech Technical University, MRS group, motor tests (12 propellers on three outrunners, 50 to 100 %
throttle) and StrawsonDesign, motor and propeller testing, 2018, MIT licence (nine small outrunners at full
throttle). Run: ``python studies/motors.py [reference folder]``. Writes ``part_load_factor`` into
controller.toml, and what it made of every set into docs/studies/.

Part load: at full throttle a set gives Kv and R. Below it the propeller on the same motor needs the current
``I0 + (T / T_full) (I_full - I0)``, because torque over thrust of a propeller at rest hardly depends on
revolutions (thrust was measured; with the square of the revolutions instead, tip effects of 3 % spoil the
balance). Duty follows from ``d V = w / Kv + R I``, and what the pack gives beyond ``d V I`` is the loss.
"""

import csv
from collections import defaultdict
from typing import Any

import numpy as np
from numpy.typing import NDArray

import stored
from glidewright.models.power.identify import MotorFit, identify_motor
from write_table import reference_folder, write_entry

RPM_PER_RAD = 30.0 / np.pi
# No-load current of the 780 rpm/V type from its maker's sheet at 10 V (see typical_motors.py)
NO_LOAD_A = 0.4
PART_LOAD_SET = "780KV"
WELL_MET_PERCENT = 2.0


def bench_sets() -> tuple[dict[str, list[dict[str, str]]], dict[str, list[dict[str, str]]]]:
    """Rows of both data sets by motor."""
    found: tuple[dict[str, list[dict[str, str]]], ...] = (defaultdict(list), defaultdict(list))
    folder = reference_folder() / "motors"
    for group, name in zip(found, ("ctu_mrs_motor_tests.csv", "strawson_full_throttle.csv"), strict=True):
        with (folder / name).open(encoding="utf-8") as lines:
            for row in csv.DictReader(lines):
                group[row["motor"]].append(row)
    return found[0], found[1]


def fit_of(rows: list[dict[str, str]], label_rpm_V: float) -> MotorFit:
    """Identified motor of some full-throttle rows."""
    return identify_motor(
        [float(row["V"]) for row in rows],
        [float(row["I_A"]) for row in rows],
        [float(row["rpm"]) / 60.0 for row in rows],
        label_kv_rad_per_Vs=label_rpm_V / RPM_PER_RAD,
    )


def label_of(motor: str) -> float:
    """Kv in rpm/V as printed at the end of the motor's name."""
    return float(motor.rsplit(maxsplit=1)[-1].removesuffix("KV"))


def show(motor: str, fit: MotorFit) -> None:
    """Print one line for a motor, and its warnings."""
    print(
        f"{motor:28s} n {fit.readings:2d}  Kv {fit.kv_rad_per_Vs * RPM_PER_RAD:6.0f} ± "
        f"{fit.kv_sigma_rad_per_Vs * RPM_PER_RAD:4.0f}  R {1000 * fit.resistance_ohm:4.0f} ± "
        f"{1000 * fit.resistance_sigma_ohm:4.0f} mΩ  rms {100 * fit.rms_relative:4.2f} %  "
        f"load spread {100 * fit.load_spread:3.0f} %  condition {fit.condition:4.1f}"
    )
    for sentence in fit.warnings:
        print("    ", sentence)


def told(source: str, label_rpm_V: float, fit: MotorFit) -> dict[str, Any]:
    """A fit in the units of the bench, without the name of a maker."""
    return {
        "source": source,
        "label_rpm_V": label_rpm_V,
        "readings": fit.readings,
        "kv_rpm_V": round(fit.kv_rad_per_Vs * RPM_PER_RAD, 1),
        "kv_sigma_rpm_V": _known(fit.kv_sigma_rad_per_Vs * RPM_PER_RAD),
        "resistance_mohm": round(1000.0 * fit.resistance_ohm, 1),
        "resistance_sigma_mohm": _known(1000.0 * fit.resistance_sigma_ohm),
        "rms_percent": round(100.0 * fit.rms_relative, 2),
        "load_spread": round(fit.load_spread, 3),
        "warnings": list(fit.warnings),
    }


def _known(value: float) -> float | None:
    return round(value, 1) if np.isfinite(value) else None


def part_load_factors(rows: list[dict[str, str]], fit: MotorFit) -> NDArray[np.float64]:
    """Factor k of ``k d (1 - d) V I`` for each reading between 50 and 80 % throttle."""
    kv, resistance = fit.kv_rad_per_Vs, fit.resistance_ohm
    found = []
    for row in rows:
        full = next(r for r in rows if r["propeller"] == row["propeller"] and r["throttle_pct"] == "100")
        if not 50 <= float(row["throttle_pct"]) <= 80:
            continue
        share = float(row["thrust_g"]) / float(full["thrust_g"])
        amps = NO_LOAD_A + share * (float(full["I_A"]) - NO_LOAD_A)
        volts = float(row["V"])
        duty = (float(row["rpm"]) / RPM_PER_RAD / kv + resistance * amps) / volts
        loss_W = volts * float(row["I_A"]) - duty * volts * amps
        found.append(loss_W / (duty * (1.0 - duty) * volts * amps))
        print(f"    {row['propeller']:33s} {row['throttle_pct']} %  duty {duty:.3f}  k {found[-1]:+.3f}")
    return np.array(found)


def main() -> None:
    """Identify all, then write the part-load factor."""
    ctu, strawson = bench_sets()
    full = {motor: [row for row in rows if row["throttle_pct"] == "100"] for motor, rows in ctu.items()}
    sets = []
    for source, group in (("CTU MRS", full), ("StrawsonDesign", strawson)):
        for motor, rows in group.items():
            fit = fit_of(rows, label_of(motor))
            show(motor, fit)
            sets.append(told(source, label_of(motor), fit))
    within = sum(one["rms_percent"] < WELL_MET_PERCENT for one in sets)
    print(f"{within} of {len(sets)} motors within {WELL_MET_PERCENT:g} % rms in revolutions")
    stored.keep("motors", "python studies/motors.py", {"sets": sets})

    motor = next(name for name in ctu if PART_LOAD_SET in name)
    fit = fit_of(full[motor], label_of(motor))
    factors = part_load_factors(ctu[motor], fit)
    low, middle, high = np.quantile(factors, (0.1, 0.5, 0.9))
    print(f"part-load factor: 10/50/90 % {low:.3f} {middle:.3f} {high:.3f}, n {len(factors)}")
    write_entry(
        "controller",
        "part_load_factor",
        value=round(float(middle), 3),
        low=max(0.0, round(float(low), 3)),
        high=round(float(high), 3),
        method=(
            f"median and 10/90 % of {len(factors)} readings, duty from revolutions, motor current from "
            f"thrust; one controller only, the 10 % point {low:.2f} cut at zero"
        ),
    )


if __name__ == "__main__":
    main()
