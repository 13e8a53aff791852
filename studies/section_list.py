"""Sections that the tables hold: name in the published archive, name of the house, title."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Listed:
    """One section to compute: its designation in the archive (or none, for our own plates), its title."""

    archive: str
    title: str


_WINGS = (
    *(Listed(f"ag{number:02d}", f"AG{number:02d}") for number in (3, 4, 8, 12, 13, 14, 16, 17, 18, 19)),
    *(Listed(f"ag{number}", f"AG{number}") for number in (24, 25, 26, 27, 34, 35, 36, 37, 38)),
    Listed("ag40d-02r", "AG40d-02r"),
    Listed("ag455ct-02r", "AG455ct-02r"),
    Listed("ag46ct-02r", "AG46ct-02r"),
    Listed("ag47ct-02r", "AG47ct-02r"),
    *(Listed(f"sd{number}", f"SD{number}") for number in (2030, 7003, 7032, 7037, 7080, 7084, 8000, 8040)),
    *(
        Listed(f"s{number}", f"S{number}")
        for number in (3010, 3014, 3021, 4061, 4083, 4110, 7012, 7055, 7075)
    ),
    *(Listed(f"e{number}", f"E{number}") for number in (178, 182, 193, 205, 214, 374, 387)),
    *(Listed(f"mh{number}", f"MH {number}") for number in (30, 32, 42, 43)),
    Listed("rg14", "RG14"),
    Listed("rg15", "RG15"),
    Listed("clarky", "Clark Y"),
    *(Listed(f"hq{camber}{part}", f"HQ {camber / 10}/{part}") for camber in (15, 20) for part in (8, 9)),
    Listed("hq108", "HQ 1.0/8"),
    Listed("hq259", "HQ 2.5/9"),
    Listed("gm15sm", "GM15"),
)

_TAILS = (
    *(Listed(f"naca{number:04d}", f"NACA {number:04d}") for number in (6, 7, 8, 10)),
    Listed("n0009sm", "NACA 0009"),
    *(Listed(f"ht{number:02d}", f"HT{number:02d}") for number in (5, 8, 12, 13, 14, 21, 22, 23)),
    Listed("sd8020", "SD8020"),
    Listed("s9026", "S9026"),
    Listed("s9033", "S9033"),
    Listed("e168", "E168"),
)

ARCHIVED = (*_WINGS, *_TAILS)
# chord and thickness in mm of sheet tails: front edge rounded, rear edge sanded thin
PLATES = ((100.0, 2.0), (90.0, 3.0), (90.0, 4.5))
ALSO_CALLED = {
    "clarkyb": "clarky",
    "flatplate": "plate33",
    "gm15sm": "gm15",
    "hq18": "hq108",
    "hq28": "hq208",
    "hq29": "hq209",
    "n0009sm": "naca0009",
}


def plate(thickness: float) -> Array:
    """Outline of a sheet of this thickness over the chord: round front, rear sanded to a quarter."""
    nose = thickness * (1.0 - np.cos(np.linspace(0.0, 0.5 * np.pi, 30)))
    half_nose = 0.5 * thickness * np.sqrt(1.0 - (1.0 - nose / thickness) ** 2)
    middle = np.linspace(thickness, 1.0 - 4.0 * thickness, 40)[1:]
    rear = np.linspace(1.0 - 4.0 * thickness, 1.0, 12)[1:]
    half_rear = 0.5 * thickness * np.interp(rear, [1.0 - 4.0 * thickness, 1.0], [1.0, 0.25])
    x = np.r_[nose, middle, rear]
    half = np.r_[half_nose, np.full(middle.size, 0.5 * thickness), half_rear]
    outline: Array = np.concatenate([np.c_[x, half][::-1], np.c_[x, -half][1:]])
    return outline
