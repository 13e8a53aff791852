"""How far the propeller families are off for sizes that they have not seen, and whether their bands say so.

    python studies/propellers_left_out.py [REFERENCE_FOLDER]      measure, print, keep in docs/studies/

Every size is left out of the fit once (a known make), then whole makes at once (an unknown make), with the
terms of the packaged families. Errors are signed shares of what the tunnel found: thrust and power at rest,
and their mean up to 80 % of the advance ratio without thrust. A measured size is held against its own rows.
Bands are the packaged ones, without the widening that the program adds for sizes beyond those fitted.
"""

import math
import os
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

import stored
from glidewright.data import coefficients
from glidewright.forecast.spread import Z90
from glidewright.models.power.propeller import PropellerCurve, interpolate, propeller_curve
from glidewright.models.power.propeller_family import INCH_M
from propeller_fits import FOLDING, NODES, USEFUL, X_STEP, Family, Floats, Shape, fit_size, measured, shape_of

KINDS = ("thrust at rest", "power at rest", "thrust in use", "power in use")


def signed(truth: Shape, model: Shape) -> list[float]:
    """Errors of a size by ``KINDS``, shares."""
    place = np.linspace(0.0, USEFUL * truth.zero, 40)
    at_rest = [model.thrust[0] / truth.thrust[0] - 1.0, model.power[0] / truth.power[0] - 1.0]
    in_use = []
    for ours, theirs in ((model.thrust, truth.thrust), (model.power, truth.power)):
        mine = interpolate(ours[:NODES], X_STEP * model.zero, place)
        in_use.append(
            float(mine.mean() / interpolate(theirs[:NODES], X_STEP * truth.zero, place).mean()) - 1.0
        )
    return [round(float(one), 4) for one in (*at_rest, *in_use)]


def left_out(shapes: Sequence[Shape], table: str, *, is_make_known: bool) -> dict[str, Any]:
    """Errors of every size by a model of the others, the packaged band, and the share that it holds."""
    packaged = coefficients(table)
    terms = tuple(packaged["model"]["shape_terms"])
    band = packaged["band"]["known_family" if is_make_known else "unknown_family"]
    sizes: list[dict[str, Any]] = []
    for one in shapes:
        others = [s for s in shapes if (s is not one if is_make_known else s.family != one.family)]
        errors = signed(one, Family(others or [s for s in shapes if s is not one], terms).predict(one))
        sizes.append({"make": one.family, "pitch_ratio": round(one.ratio, 4), "errors": errors})
    sigma = [band["thrust_sigma"], band["power_sigma"]] * 2
    held = np.abs([one["errors"] for one in sizes]) <= Z90 * np.array(sigma)
    return {"kinds": KINDS, "band": [round(Z90 * one, 4) for one in sigma],
            "held": [round(float(one), 4) for one in held.mean(axis=0)], "sizes": sizes}  # fmt: skip


def by_curve(curve: PropellerCurve, name: str, advance_ratio: Floats, revs_per_s: Floats) -> Floats:
    """Coefficients of thrust or power of a curve at some rows."""
    logs = np.log(np.clip(revs_per_s, curve.revs_low_per_s, curve.revs_high_per_s) / curve.revs_ref_per_s)
    base, slope = (
        interpolate(getattr(curve, f"{name}_{part}"), curve.advance_ratio_step, advance_ratio)
        for part in ("base", "slope")
    )
    found: Floats = base + slope * logs
    return found


def of_a_size(rows: Floats, size: Mapping[str, Any]) -> dict[str, Any]:
    """Rows of the tunnel in the useful range that lie in the band of their own size, and the signed mean."""
    curve = propeller_curve(size["diameter_m"], size["pitch_m"], size["folding"], size["family"])
    rpm, advance, thrust, power = rows[:, :4].T
    used = (advance <= USEFUL * curve.zero_thrust_advance_ratio) & (
        rpm / 60.0 >= 0.98 * size["revs_low_per_s"]
    )
    found: dict[str, Any] = {"size": size["key"], "rows": int(used.sum())}
    for name, read in (("thrust", thrust), ("power", power)):
        off = by_curve(curve, name, advance[used], rpm[used] / 60.0) / read[used] - 1.0
        band = Z90 * size[f"{name}_sigma"]
        found[name] = {
            "mean": round(float(off.mean()), 4),
            "low": round(float(np.quantile(off, 0.1)), 4),
            "high": round(float(np.quantile(off, 0.9)), 4),
            "band": round(band, 4),
            "held": round(float(np.mean(np.abs(off) <= band)), 4),
        }
    return found


def main() -> None:
    """Measure, print, keep."""
    default = os.environ.get("GLIDEWRIGHT_REFERENCE", str(Path(__file__).parents[2] / "shared/reference"))
    data = measured(Path(sys.argv[1] if len(sys.argv) > 1 else default))
    shapes = [shape_of(fit_size(key, rows)) for key, rows in data.items()]
    families = {}
    for blades, is_folding in (("folding", True), ("fixed", False)):
        own = [one for one in shapes if (one.family in FOLDING) == is_folding]
        for make, is_known in (("make known", True), ("make unknown", False)):
            found = left_out(own, f"propeller_{blades}", is_make_known=is_known)
            families[f"{blades}, {make}"] = found
            print(f"{blades}, {make}:", dict(zip(KINDS, found["held"], strict=True)))
    packaged = {size["key"]: size for size in coefficients("propeller_sizes")["size"]}
    sizes = []
    for (family, diameter, pitch), rows in data.items():
        sizes.append(of_a_size(rows, packaged[f"{family} {diameter:g}x{pitch:g}"]))
        assert math.isclose(packaged[sizes[-1]["size"]]["diameter_m"], diameter * INCH_M, rel_tol=1e-3)
    for name in ("thrust", "power"):
        held = np.average([one[name]["held"] for one in sizes], weights=[one["rows"] for one in sizes])
        print(f"rows of {len(sizes)} measured sizes in the band of their size, {name}: {100 * held:.1f} %")
    found = {"families": families, "sizes": sizes}
    stored.keep("propellers_left_out", "python studies/propellers_left_out.py", found)


if __name__ == "__main__":
    main()
