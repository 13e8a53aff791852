"""Fit the propeller tables of the program to the published wind-tunnel measurements.

    python studies/propellers.py [REFERENCE_FOLDER]            fit, print what was found, write the tables
    python studies/propellers.py [REFERENCE_FOLDER] --check    fit again and compare with the packaged tables

REFERENCE_FOLDER holds ``propellers/uiuc_measured.csv`` (default: GLIDEWRIGHT_REFERENCE, then
``../shared/reference`` beside the repository).

1. Every size: ``C(J, n) = base(J) + slope(J) ln(n / n_ref)``, both smoothed on the nodes and evaluated by the
   interpolation of the program itself. Rows far off the rest (one run is mislabelled in the source) are
   dropped by Tukey's weight and counted. Static rows, another run, join by the same penalty. The revs are
   kept within those of the tunnel runs, so static rows above them count as taken at the highest.
2. Folding and fixed family: the curves against J / J0, each node a polynomial in pitch/diameter and
   ln(diameter). The terms are chosen by the error of sizes left out.
"""

import math
import os
import sys
import tomllib
from pathlib import Path

import numpy as np

from glidewright.models.power.propeller_family import INCH_M, numbers
from propeller_fits import (
    CANDIDATES,
    CENTRE,
    FOLDING,
    NODES,
    REVS_REF_PER_S,
    TABLES,
    TWICE,
    X_STEP,
    ZERO_TERMS,
    Family,
    Floats,
    Shape,
    Size,
    fit_size,
    left_out,
    measured,
    outside_growth,
    shape_of,
    specimen_scatter,
)

REPEATABILITY = 0.015  # of one run, from memory (1 to 2 %)
WIDENING = 3.0
DATA = Path(__file__).parents[1] / "src/glidewright/data/coefficients"


def text(values: Floats, digits: int = 5) -> str:
    """A table as one TOML literal text: it is read 20 times faster than a text that may hold escapes."""
    return "'" + " ".join(f"{value:.{digits}f}" for value in values) + "'"


def header(title: str, method: str) -> str:
    """Head of a packaged file with its source."""
    return f"""# {title} Written by studies/propellers.py, do not edit.
# Tables are texts of {NODES} numbers on the uniform grid 0, step, 2 step, ...; texts are read faster.
# C(J, n) = base + slope ln(n / revs_ref_per_s), n kept within revs_low_per_s .. revs_high_per_s.
# sigma: relative standard deviation of the whole curve; low and high (10 %, 90 %) are exp(-+ 1.2816 sigma).
study = "studies/propellers.py"
method = "{method}"
unit = "1"
nodes = {NODES}

[source]
key = "uiuc-propellers"
title = "UIUC Propeller Data Site, volumes 1 to 3"
authors = "J. B. Brandt, R. W. Deters, G. K. Ananda, O. D. Dantsker, M. S. Selig"
where = "University of Illinois at Urbana-Champaign, Department of Aerospace Engineering"
licence = "none stated, the authors ask to be cited; only fitted coefficients are kept here"

"""


def sizes_file(sizes: list[Size], scatter: tuple[float, float, float]) -> str:
    """The packaged table of all measured sizes."""
    out = [header("Propellers that were measured.", "penalised least squares a size, Tukey weights")]
    out.append("[refused_outside] # common practice: nobody flies such a propeller on a light model\n")
    out.append("diameter_m = [0.1016, 0.508]\npitch_ratio = [0.2, 1.5]\n")
    for size in sizes:
        family, diameter, pitch = size.key
        # the specimen at hand is not the one measured
        sigma = [math.hypot(size.rms[i], REPEATABILITY, scatter[i]) for i in (0, 1)]
        out.append(f"""
[[size]]
key = "{family} {diameter:g}x{pitch:g}"
family = "{family}"
folding = {"true" if family in FOLDING else "false"}
diameter_m = {diameter * INCH_M:.6g}
pitch_m = {pitch * INCH_M:.6g}
advance_ratio_step = {size.step:.6f}
advance_ratio_valid = [0.0, {size.reach:.4f}]
revs_ref_per_s = {size.ref:.6f}
revs_low_per_s = {size.low:.4f}
revs_high_per_s = {size.high:.4f}
zero_thrust_advance_ratio = {size.zero:.4f}
zero_thrust_sigma = {math.hypot(REPEATABILITY * size.zero, scatter[2]):.4f}
rows = {size.rows}
rows_dropped = [{size.dropped[0]}, {size.dropped[1]}]
rms = [{size.rms[0]:.4f}, {size.rms[1]:.4f}]
useful_rms = [{size.useful_rms[0]:.4f}, {size.useful_rms[1]:.4f}]
useful_rms_all = [{size.useful_rms_all[0]:.4f}, {size.useful_rms_all[1]:.4f}]
useful_worst = [{size.useful_worst[0]:.4f}, {size.useful_worst[1]:.4f}]
thrust_sigma = {sigma[0]:.4f}
power_sigma = {sigma[1]:.4f}
""")
        out += [f"{name} = {text(size.tables[name])}\n" for name in TABLES]
    return "".join(out)


def band_lines(name: str, found: Floats, makes: Floats | None = None) -> str:
    """One table of the error band: what a forecast takes, and the figures of sizes left out behind it."""
    rms, worst = np.sqrt(np.mean(found**2, axis=0)), np.abs(found).max(axis=0)
    sigma = [max(rms[0], rms[3]), max(rms[1], rms[4]), rms[2]]
    if makes is not None:
        sigma = [math.hypot(*pair) for pair in zip(sigma, makes, strict=True)]
    steep = found[:, 5] > 0.8
    zero = [np.sqrt(np.mean(found[pick, 2] ** 2)) for pick in (~steep, steep)]
    return f"""
[band.{name}]
thrust_sigma = {sigma[0]:.4f}
power_sigma = {sigma[1]:.4f}
zero_thrust_sigma = {sigma[2]:.4f}
left_out_static_thrust = {{ rms = {rms[0]:.4f}, worst = {worst[0]:.4f} }}
left_out_static_power = {{ rms = {rms[1]:.4f}, worst = {worst[1]:.4f} }}
left_out_useful_thrust = {{ rms = {rms[3]:.4f}, worst = {worst[3]:.4f} }}
left_out_useful_power = {{ rms = {rms[4]:.4f}, worst = {worst[4]:.4f} }}
left_out_zero_thrust = {{ rms = {rms[2]:.4f}, worst = {worst[2]:.4f} }}
left_out_zero_thrust_up_to_pitch_ratio_0_8 = {{ rms = {zero[0]:.4f} }}
left_out_zero_thrust_above_pitch_ratio_0_8 = {{ rms = {zero[1]:.4f} }}
"""


def family_file(shapes: list[Shape], sizes: list[Size], folding: bool) -> str:
    """The packaged family model; the terms with the least error of sizes left out."""
    tried = {terms: left_out(shapes, terms, False) for terms in CANDIDATES}
    score = {terms: float(np.mean(found[:, 3:5] ** 2)) for terms, found in tried.items()}
    terms = min(score, key=lambda key: score[key])
    kind = "folding" if folding else "fixed"
    for one, value in score.items():
        print(f"  {kind} {'+'.join(one):<18} left-out rms, both curves, useful range {math.sqrt(value):.4f}")
    for name, far, rms in outside_growth(shapes, terms):
        print(f"  {kind} beyond {name:<20} {far:.2f} widths: rms {rms:.3f}")
    model = Family(shapes, terms)
    known = tried[terms]
    out = [header(f"Family model of {kind} blades.", "ridge polynomial a node, terms by leave-one-size-out")]
    out.append(f"""
[fitted] # {len(shapes)} sizes
pitch_ratio = [{model.fitted.pitch_ratio[0]:.6f}, {model.fitted.pitch_ratio[1]:.6f}]
diameter_m = [{model.fitted.diameter_m[0]:.6g}, {model.fitted.diameter_m[1]:.6g}]

[centre]
pitch_ratio = {CENTRE[0]}
diameter_m = {CENTRE[1]}
""")
    if folding:
        # one make was measured: another is taken to differ from it as its sizes do from their common model
        apart = np.sqrt(np.mean(known**2, axis=0))
        out.append(band_lines("known_family", known))
        out.append(
            band_lines(
                "unknown_family",
                known,
                np.array([max(apart[0], apart[3]), max(apart[1], apart[4]), apart[2]]),
            )
        )
    else:
        out.append(band_lines("known_family", known))
        out.append(band_lines("unknown_family", left_out(shapes, terms, True)))
    for key, effect in sorted(model.effects.items()):
        out.append(f"""
[[family]]
key = "{key}"
thrust_factor = {math.exp(effect[0]):.4f}
power_factor = {math.exp(effect[1]):.4f}
zero_thrust_shift = {effect[2]:.4f}
""")
    low = float(np.median([s.low for s in sizes]))
    high = float(np.median([s.high for s in sizes]))
    at_zero = int(1.0 / X_STEP)  # the node before zero thrust
    share = min(s.power[at_zero] / s.power[:NODES].max() for s in shapes)
    out.append(f"""
[model]
x_step = {X_STEP}
revs_ref_per_s = {REVS_REF_PER_S:.6f}
revs_low_per_s = {low:.4f}
revs_high_per_s = {high:.4f}
least_power_share = {share:.4f} # power at zero thrust over its maximum, the least of the measured sizes
outside_widening = {WIDENING} # for each width outside; judgement, above the growth the study prints
zero_thrust_terms = [{", ".join(f'"{name}"' for name in ZERO_TERMS)}]
zero_thrust = [{", ".join(f"{value:.5f}" for value in model.zero)}]
shape_terms = [{", ".join(f'"{name}"' for name in terms)}]
""")
    for i, name in ((0, "thrust"), (1, "power")):
        for part, nodes in (("base", slice(0, NODES)), ("slope", slice(NODES, 2 * NODES))):
            out.append(f"{name}_{part} = {text(model.curves[i][:, nodes].ravel(), 6)}\n")
    return "".join(out)


def flat(value: object) -> list[object]:
    """All leaves of a parsed file in order; texts of numbers as numbers."""
    if isinstance(value, dict):
        return [leaf for key in sorted(value) for leaf in (key, *flat(value[key]))]
    if isinstance(value, list):
        return [leaf for item in value for leaf in flat(item)]
    if isinstance(value, str) and value[:1] in "-0123456789" and " " in value:
        return list(numbers(value))
    return [value]


def differences(old: str, new: str) -> int:
    """How many leaves differ by more than a few units of the last digit (libraries round differently)."""
    one, two = flat(tomllib.loads(old)), flat(tomllib.loads(new))
    if len(one) != len(two):
        return max(len(one), len(two))
    close = [
        abs(a - b) <= 3e-5 + 1e-3 * abs(a) if isinstance(a, float) and isinstance(b, float) else a == b
        for a, b in zip(one, two, strict=True)
    ]
    return close.count(False)


def report(sizes: list[Size]) -> None:
    """Print how well every size fits."""
    print("size            rows dropped  rms T, P %    useful rms T, P %   dropped too T, P %  worst T, P %")
    for s in sizes:
        figures = "  ".join(
            f"{100 * v:6.2f}" for v in (*s.rms, *s.useful_rms, *s.useful_rms_all, *s.useful_worst)
        )
        print(f"{s.key[0]:<6}{s.key[1]:g}x{s.key[2]:<8g} {s.rows:4d} {s.dropped!s:>8}  {figures}")
    for i, name in ((0, "thrust"), (1, "power")):
        over = sum(s.useful_rms[i] > 0.02 for s in sizes)
        everything = sum(s.useful_rms_all[i] > 0.02 for s in sizes)
        worst = sum(s.useful_worst[i] > 0.02 for s in sizes)
        print(
            f"{name}: rms over 2 % of the row in {over} sizes ({everything} with the rows dropped), "
            f"a row kept over 2 % in {worst}, of {len(sizes)}"
        )


def main(arguments: list[str]) -> int:
    """Fit, print, and write or check."""
    check = "--check" in arguments
    given = [one for one in arguments if one != "--check"]
    default = os.environ.get("GLIDEWRIGHT_REFERENCE", str(Path(__file__).parents[2] / "shared/reference"))
    data = measured(Path(given[0] if given else default))
    sizes = [fit_size(key, rows) for key, rows in data.items()]
    report(sizes)
    scatter = specimen_scatter(data[TWICE])
    print(
        f"two specimens of {TWICE[0]} 9x5: thrust {scatter[0]:.4f}, power {scatter[1]:.4f} of static, "
        f"zero-thrust advance ratio {scatter[2]:.4f}"
    )
    files = {"propeller_sizes": sizes_file(sizes, scatter)}
    for folding, name in ((True, "propeller_folding"), (False, "propeller_fixed")):
        mine = [s for s in sizes if (s.key[0] in FOLDING) == folding]
        files[name] = family_file([shape_of(s) for s in mine], mine, folding)
    wrong = 0
    for name, new in files.items():
        path = DATA / f"{name}.toml"
        if check:
            count = differences(path.read_text(encoding="utf-8"), new)
            print(f"{path.name}: {count} values differ")
            wrong += count
        else:
            path.write_text(new, encoding="utf-8")
            print(f"wrote {path.name}")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
