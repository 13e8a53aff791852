"""Open-circuit voltage of one lithium polymer cell against charge, and how far another cell lies from it.

Data: quasi open-circuit voltage at 0.1C of an LCO/graphite pouch cell of 2.28 Ah, W. Ai, L. Kraft, J. Sturm,
A. Jossen and B. Wu, J. Electrochem. Soc. 167 (2020) 013512; B. Rieger et al., J. Electrochem. Soc. 163 (2016)
A3099; files of an open battery modelling library, BSD-3. The second cell: M. Chen and G. A. Rincon-Mora,
IEEE Trans. Energy Conversion 21(2), 2006, doi 10.1109/TEC.2006.874229, equation (2), a 0.85 Ah polymer cell
charged to 4.1 V; transcribed from memory. Run: ``python studies/packs.py [reference folder]``. Writes
pack.toml, and what it found into docs/studies/.
"""

import csv
import math

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

import stored
from write_table import reference_folder, write_entry

NODES = 41


def measured_cell() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Charge 0 to 1 rising, and volts."""
    path = reference_folder() / "packs" / "ocv_0.1C_Enertech.csv"
    with path.open(encoding="utf-8") as lines:
        rows = list(csv.reader(line for line in lines if not line.startswith(("#", "SOC"))))
    table = np.array(rows, dtype=float)[::-1]
    return table[:, 0] / 100.0, table[:, 1]


def second_cell_V(soc: NDArray[np.float64]) -> NDArray[np.float64]:
    """Chen and Rincon-Mora (2006), equation (2)."""
    curve: NDArray[np.float64] = (
        -1.031 * np.exp(-35.0 * soc) + 3.685 + 0.2156 * soc - 0.1178 * soc**2 + 0.3201 * soc**3
    )
    return curve


def main() -> None:
    """Write the table and the spread."""
    soc, volts = measured_cell()
    nodes = np.linspace(0.0, 1.0, NODES)
    table = np.round(PchipInterpolator(soc, volts)(nodes), 4)

    # each inner reading predicted from its neighbours: the error of the table between the readings
    left_out = np.array(
        [
            np.interp(soc[i], nodes, PchipInterpolator(np.delete(soc, i), np.delete(volts, i))(nodes))
            - volts[i]
            for i in range(1, len(soc) - 1)
        ]
    )
    inner = (soc[1:-1] >= 0.0999) & (soc[1:-1] <= 0.9501)
    worst = float(np.max(np.abs(left_out[inner])))
    print(f"leave-one-out, 10 to 95 % charge: worst {1000 * worst:.1f} mV")

    used = (nodes >= 0.0999) & (nodes <= 0.9501)
    apart = table[used] - second_cell_V(nodes[used])
    # two cells: the standard deviation of one about their mean is the difference over the root of two
    rms = float(np.sqrt(np.mean(apart**2)))
    sigma = rms / math.sqrt(2.0)
    print(f"second cell: rms apart {1000 * rms:.1f} mV, worst {1000 * abs(apart).max():.1f}")

    rows = zip(soc, volts, np.interp(soc, nodes, table), second_cell_V(soc), strict=True)
    names = ("charge", "measured_V", "table_V", "second_cell_V")
    found = {
        "readings": [dict(zip(names, (round(float(one), 4) for one in row), strict=True)) for row in rows],
        "left_out_mV": [round(1000.0 * float(one), 2) for one in left_out],
        "worst_left_out_mV": round(1000.0 * worst, 2),
        "second_cell_rms_mV": round(1000.0 * rms, 2),
        "sigma_mV": round(1000.0 * sigma, 2),
    }
    stored.keep("packs", "python studies/packs.py", found)

    source = (
        "W. Ai et al., J. Electrochem. Soc. 167 (2020) 013512; "
        "B. Rieger et al., J. Electrochem. Soc. 163 (2016) A3099"
    )
    write_entry(
        "pack",
        "cell_voltage",
        value=[float(v) for v in table],
        low=[round(float(v) - 1.2816 * sigma, 4) for v in table],
        high=[round(float(v) + 1.2816 * sigma, 4) for v in table],
        source=source,
        where="0.1C discharge of an LCO/graphite pouch cell of 2.28 Ah, 21 readings at 5 % steps",
        method=(
            f"monotone cubic through the readings at {NODES} even nodes, straight lines between; each "
            f"reading left out in turn is met within {1000 * worst:.0f} mV from 10 to 95 % charge; "
            "band from cell_voltage_sigma"
        ),
    )
    write_entry(
        "pack",
        "cell_voltage_sigma",
        value=round(sigma, 4),
        low=round(sigma * 0.5, 4),
        high=round(sigma * 2.0, 4),
        valid="one standard deviation between makes of cell, 10 to 95 % charge, one shift for all charges",
        source=f"{source}; M. Chen and G. A. Rincon-Mora, IEEE Trans. Energy Conversion 21(2), 2006",
        where="Chen and Rincon-Mora equation (2), transcribed from memory",
        method="rms difference of two published cells over the root of two; two cells only, band ours",
    )


if __name__ == "__main__":
    main()
