"""A small model folder, whole and valid, that every test may spoil in its own way."""

from collections.abc import Callable
from pathlib import Path

import pytest

MODEL = """\
schema = 1  # layout
name = "Small"
class = "hill-club-electric"

# the wing
[airframe]
span_m = 2.0  # tip to tip
wing_area_dm2 = 36

[field]
elevation_m = 430

[launch]
throw_speed_m_per_s = 7

# --- structure
[[item]]
id = "left-panel"
group = "wing"
mass_g = 100  # planned
x_mm = 80

[[item]]
id = "boom"
group = "fuselage"
mass_g = 30
x_mm = 430

# --- fitted
[[fitted]]
part = "m28"
name = "motor"
x_mm = -200

[[fitted]]
part = "p2"
name = "pack"

[[fitted]]
part = "s6"
name = "rudder servo"

[[fitted]]
part = "s6"
name = "elevator servo"

# --- scale
[[weighing]]
of = ["boom"]
mass_g = 31.5

# --- bench
[[bench]]
voltage_V = 7.2
current_A = 13.1
"""
DRAWER = """\
schema = 1
grade = "quoted"

[[motor]]
id = "m28"
kv_rpm_per_V = 1020
mass_g = 52
x_mm = -190

[[motor]]
id = "m35"
kv_rpm_per_V = 900
mass_g = 80

[[pack]]
id = "p2"
cells = 2
capacity_mAh = 550
mass_g = { value = 34, grade = "measured", low = 33.8, high = 34.2, because = "letter scale" }

[[servo]]
id = "s6"
mass_g = 6
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "small"
    (made / "parts").mkdir(parents=True)
    (made / "model.toml").write_text(MODEL, encoding="utf-8")
    (made / "parts" / "drawer.toml").write_text(DRAWER, encoding="utf-8")
    return made


@pytest.fixture
def spoil(folder: Path) -> Callable[[str, str, str], None]:
    """Replace one text that stands once in a file of the folder."""

    def replace(file: str, old: str, new: str) -> None:
        path = folder / file
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
        path.write_text(text.replace(old, new), encoding="utf-8")

    return replace
