"""What a seller leaves out of a motor: resistance and no-load current from Kv, mass and can diameter.

Figures of makers' data sheets, as collected in the public repository symbench/uav-analysis, file
uav_analysis/data_21/Motor.csv at commit 9cf43371e80ecd6de77dbd41145cc7275de3126f: 72 outrunners of two
makers below 180 g with resistance and no-load current at 10 V. Only figures are quoted, no file is carried.

Two laws of scale: a winding filled with more or fewer turns keeps ``R Kv^2``, which falls with size; the
no-load current follows mass and Kv. Fitted by least squares in logarithms with Huber weights (slim cans,
up to 37 mm, as fit into a sailplane's nose; with the diameter known, all cans). Bands: 10/90 % of the
residuals, widened by 20 % (one sigma) for makers that are not in the table.

``apparent_resistance``: what loaded benches show beyond winding and controller. Motors identified in
``studies/motors.py`` against the winding resistance expected from their Kv and mass. Masses of the second set
are from memory of their makers' sheets. Run: ``python studies/typical_motors.py [reference folder]``.
"""

import numpy as np
from numpy.typing import NDArray

from glidewright.models.power.motor import winding_resistance_ohm
from motors import bench_sets, fit_of, label_of
from write_table import write_entry

Floats = NDArray[np.float64]

# Kv rpm/V, resistance mΩ, no-load current A at 10 V, mass g, can diameter mm, length without shaft mm
SHEETS = (
    (2550, 44, 1.2, 42, 28.3, 18),
    (885, 127, 0.5, 75, 28.3, 28.5),
    (965, 102, 0.5, 75, 28.3, 28.5),
    (515, 130, 0.3, 125, 35.5, 31.7),
    (775, 69, 0.5, 125, 35.5, 31.7),
    (475, 105, 0.2, 175, 42.2, 35),
    (715, 54, 0.5, 175, 42.2, 35),
    (650, 275, 0.2, 46, 35, 18.4),
    (400, 645, 0.2, 46, 35, 18.4),
    (300, 452, 0.2, 53, 44.35, 19),
    (400, 359, 0.2, 53, 44.35, 19),
    (380, 194, 0.3, 68, 44.35, 21),
    (300, 125, 0.6, 108, 55.6, 25),
    (450, 60, 0.9, 106, 55.6, 25),
    (170, 270, 0.4, 128, 55.6, 27),
    (340, 55, 0.9, 135, 55.6, 27),
    (400, 50, 1.1, 132, 55.6, 27),
    (700, 50, 0.5, 128, 41.8, 33.3),
    (1450, 88, 0.74, 49, 29.4, 26),
    (2600, 30, 1.62, 49, 29.4, 26),
    (1150, 81, 0.76, 63, 29.4, 30),
    (1400, 50, 1.05, 63, 29.4, 30),
    (1250, 50, 1.7, 81, 29.4, 36),
    (1400, 35.2, 1.68, 81, 29.4, 36),
    (880, 80, 0.74, 81, 29.4, 36),
    (1050, 34.6, 1.35, 112, 36.2, 36),
    (1200, 25.2, 2.21, 112, 36.2, 36),
    (2000, 11, 4.5, 116, 36.2, 36),
    (900, 43.5, 1.35, 110, 36.2, 36),
    (1050, 23.2, 2.6, 144, 36.2, 42),
    (1250, 16.8, 3.44, 144, 36.2, 42),
    (880, 34, 2, 136, 36.2, 42),
    (1450, 90, 0.8, 47, 28.8, 26),
    (2600, 28, 1.8, 48, 28.8, 26),
    (2200, 35, 2.1, 52, 28.8, 24.8),
    (1150, 75, 0.85, 60, 28.8, 30),
    (1400, 55, 1.1, 60, 28.8, 30),
    (1250, 52, 1.3, 79, 28.8, 36),
    (1400, 35, 1.7, 80, 28.8, 36),
    (880, 82, 0.9, 79, 28.8, 36),
    (1250, 38, 1.8, 94, 28.8, 40),
    (950, 65, 1.2, 93, 28.8, 40),
    (1050, 35, 1.5, 107, 35.2, 36),
    (1200, 26, 1.8, 108, 35.2, 36),
    (900, 82, 1.2, 108, 35.2, 36),
    (1050, 28, 2, 139, 35.2, 43),
    (1250, 16, 2.7, 141, 35.2, 43),
    (880, 39, 1.6, 139, 35.2, 43),
    (1100, 110, 2.9, 175, 35.2, 49),
    (900, 24, 2.2, 175, 35.2, 49),
    (1400, 290, 0.3, 23, 27, 12),
    (780, 173, 0.4, 65, 27.5, 16),
    (920, 142, 0.5, 65, 24, 16),
    (470, 135, 0.3, 98, 37.7, 30),
    (700, 92, 0.3, 99, 37.7, 30),
    (780, 71, 0.4, 100, 37.7, 30),
    (380, 205, 0.4, 103, 41.8, 27),
    (580, 110, 0.4, 103, 41.8, 27),
    (700, 72, 0.5, 104, 41.8, 27),
    (360, 188, 0.4, 117, 41.8, 29),
    (630, 65, 0.5, 119, 41.8, 29),
    (700, 50, 0.5, 118, 41.8, 29),
    (370, 98, 0.8, 137, 44.7, 30),
    (580, 42, 1.3, 137, 44.7, 30),
    (340, 133, 0.9, 155, 44.7, 33),
    (400, 75, 1.0, 155, 44.7, 33),
    (480, 57, 1.3, 155, 44.7, 33),
    (330, 85, 1.1, 171, 44.7, 35),
    (400, 67, 1.3, 171, 44.7, 35),
    (3100, 62, 0.2, 11.2, 17.7, 12),
    (1100, 165, 0.1, 45, 27.5, 24.5),
    (800, 175, 0.3, 75, 27.5, 34),
)
SLIM_mm = 37.0
MASS_0_kg = 0.060
DIAMETER_0_m = 0.030
KV_0_rad_per_Vs = 100.0
OTHER_MAKERS = 0.20
BAND = 1.2816  # normal distance of the 10 and 90 % points

# mass in g, for the sets of studies/motors.py that are neither ill-conditioned nor mislabelled
MASSES_g = {
    "T-Motor 3110 780KV": 100.0,
    "Tarot 4114 320KV": 148.0,
    "EMAX RS2205S 2600": 30.0,
    "Lumenier 1806-13 2500": 18.0,
    "Lumenier RX2204-14 2300": 24.0,
    "Lumenier RX2205-12 2400": 29.0,
    "Lumenier RX2206-13 2000": 31.0,
    "TigerMotor F30 2300": 31.0,
    "Tiger F40 III 2400": 30.0,
    "Tiger F40 Pro 2400": 33.0,
}
RUN_TEMPERATURE_K = 333.15
CONTROLLER_ohm = 0.012
SOURCE = "makers' data sheets, in symbench/uav-analysis, uav_analysis/data_21/Motor.csv, commit 9cf43371"


def huber(matrix: Floats, target: Floats) -> tuple[Floats, Floats, Floats]:
    """Coefficients, their one sigma, and residuals of a robust linear fit."""
    weight = np.ones(len(target))
    for _ in range(60):
        root = np.sqrt(weight)
        found = np.linalg.lstsq(matrix * root[:, None], target * root, rcond=None)[0]
        residual = target - matrix @ found
        scale = 1.4826 * np.median(np.abs(residual))
        weight = 1.0 / np.maximum(1.0, np.abs(residual) / (1.345 * scale))
    inverse = np.linalg.inv(matrix.T @ (matrix * weight[:, None]))
    return np.asarray(found, float), np.asarray(scale * np.sqrt(np.diag(inverse)), float), residual


def write_law(
    name: str, terms: tuple[str, ...], matrix: Floats, target: Floats, units: tuple[str, str]
) -> Floats:
    """Fit one law, write its factor, exponents and band; the coefficients."""
    found, sigma, residual = huber(matrix, target)
    low, middle, high = np.quantile(residual, (0.1, 0.5, 0.9))
    wide = np.hypot((high - low) / 2.0, BAND * OTHER_MAKERS)
    print(
        f"{name}: {found.round(3)} ± {sigma.round(3)}, n {len(target)}, residual 10/50/90 % {low:+.2f} "
        f"{middle:+.2f} {high:+.2f}, worst {np.abs(residual).max():.2f}; band ±{wide:.2f}"
    )
    shared = {
        "source": SOURCE,
        "where": f"{len(target)} outrunners; reference 60 g, 30 mm, 100 rad/(V s)",
        "study": "studies/typical_motors.py",
    }
    write_entry(
        "typical",
        f"{name}_factor",
        value=round(float(np.exp(found[0])), 4),
        unit=units[0],
        low=round(float(np.exp(found[0] - wide)), 4),
        high=round(float(np.exp(found[0] + wide)), 4),
        valid=units[1],
        method="Huber fit in logarithms; 10/90 % of the residuals, 20 % one sigma added for other makers",
        **shared,
    )
    for term, exponent, one in zip(terms, found[1:], sigma[1:], strict=True):
        write_entry(
            "typical",
            f"{name}_{term}_exponent",
            value=round(float(exponent), 3),
            unit="1",
            low=round(float(exponent - BAND * one), 3),
            high=round(float(exponent + BAND * one), 3),
            valid=units[1],
            method="Huber fit in logarithms; band from the standard error",
            **shared,
        )
    return found


def apparent(law: Floats) -> None:
    """Write the resistance that benches show beyond winding and controller, over the winding's."""
    shares = []
    ctu, strawson = bench_sets()
    for motor, grams in MASSES_g.items():
        rows = ctu[motor] if motor in ctu else strawson[motor]
        rows = [row for row in rows if row.get("throttle_pct", "100") == "100"]
        fit = fit_of(rows, label_of(motor))
        winding = float(np.exp(law[0] + law[1] * np.log(grams / 1000.0 / MASS_0_kg))) / fit.kv_rad_per_Vs**2
        extra = fit.resistance_ohm - winding_resistance_ohm(winding, RUN_TEMPERATURE_K) - CONTROLLER_ohm
        shares.append(extra / winding)
        print(
            f"    {motor:26s} identified {1000 * fit.resistance_ohm:4.0f} mΩ, winding "
            f"expected {1000 * winding:4.0f}, beyond it {shares[-1]:+.2f} of the winding"
        )
    low, middle, high = np.quantile(shares, (0.1, 0.5, 0.9))
    write_entry(
        "typical",
        "apparent_resistance",
        value=round(float(middle), 2),
        unit="1",
        low=max(0.0, round(float(low), 2)),
        high=round(float(high), 2),
        valid="outrunners of 18 to 150 g at full throttle on 7 to 25 V",
        source="CTU MRS group motor tests; StrawsonDesign motor and propeller testing 2018 (MIT)",
        where=f"{len(shares)} motors identified from volts, amps and revolutions",
        method=(
            "identified resistance less the expected winding at 60 C and 12 mΩ of controller, over the "
            "winding at 20 C; median and 10/90 %; masses partly from memory"
        ),
        study="studies/typical_motors.py",
    )


def main() -> None:
    """Fit and write all laws."""
    kv_rpm, milliohm, idle, grams, can_mm, length_mm = np.array(SHEETS, dtype=np.float64).T
    kv, mass, can = kv_rpm * np.pi / 30.0, grams / 1000.0, can_mm / 1000.0
    one, by_mass = np.ones(len(kv)), np.log(mass / MASS_0_kg)
    loss = np.log(milliohm / 1000.0 * kv**2)
    slim = can_mm <= SLIM_mm
    slim_range = "11 to 175 g, can up to 37 mm, 400 to 3100 rpm/V"
    law = write_law(
        "resistance",
        ("mass",),
        np.column_stack((one, by_mass))[slim],
        loss[slim],
        ("ohm (rad/(V s))^2", slim_range),
    )
    wide_range = "11 to 175 g, can 18 to 56 mm, 170 to 3100 rpm/V"
    write_law(
        "sized_resistance",
        ("mass", "diameter"),
        np.column_stack((one, by_mass, np.log(can / DIAMETER_0_m))),
        loss,
        ("ohm (rad/(V s))^2", wide_range),
    )
    write_law(
        "no_load",
        ("mass", "kv"),
        np.column_stack((one, by_mass, np.log(kv / KV_0_rad_per_Vs)))[slim],
        np.log(idle)[slim],
        ("A", slim_range),
    )
    density = mass / (np.pi / 4.0 * can**2 * length_mm / 1000.0)
    low, middle, high = np.quantile(density[slim], (0.1, 0.5, 0.9))
    write_entry(
        "typical",
        "motor_density",
        value=round(float(middle)),
        unit="kg/m3",
        low=round(float(low)),
        high=round(float(high)),
        valid=slim_range,
        source=SOURCE,
        where=f"{int(slim.sum())} outrunners",
        method="mass over the cylinder of can diameter and length without shaft; median and 10/90 %",
        study="studies/typical_motors.py",
    )
    apparent(law)


if __name__ == "__main__":
    main()
