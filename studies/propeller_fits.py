"""The fits behind ``studies/propellers.py``: one measured size, and a family of them."""

import csv
import math
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glidewright.models.power.propeller import interpolate
from glidewright.models.power.propeller_family import INCH_M, Fitted

Floats = NDArray[np.float64]
Key = tuple[str, float, float]

NODES = 33
PAST_ZERO = 1.05  # the grid ends this far past zero thrust
SMOOTH_BASE, SMOOTH_SLOPE = (
    1.0,
    3.0,
)  # chosen by rows left out: 1 and 1 to 10 are equally good, 10 and 100 worse
USEFUL = 0.8  # useful range: up to 80 % of the zero-thrust advance ratio, just past the best efficiency
REVS_REF_PER_S = 5000 / 60
FOLDING = ("ancf",)
TWICE = ("gwsdd", 9.0, 5.0)  # the only size of which two specimens were measured, in volumes 1 and 2
RIDGE, FAMILY_SHRINK = 1e-4, 1.0
CENTRE = (0.65, 0.29)  # pitch/diameter and diameter (m) where the family terms vanish
ZERO_TERMS = ("1", "p")
CANDIDATES = [
    ("1", "p"),
    ("1", "p", "pp"),
    ("1", "p", "pp", "ppp"),
    ("1", "p", "pp", "u"),
    ("1", "p", "pp", "ppp", "u"),
    ("1", "p", "pp", "u", "pu"),
    ("1", "p", "pp", "ppp", "u", "pu"),
]
TABLES = ("thrust_base", "thrust_slope", "power_base", "power_slope")
GRID = np.linspace(0.0, PAST_ZERO, NODES)
X_STEP = PAST_ZERO / (NODES - 1)


@dataclass(frozen=True)
class Size:
    """One measured size: its tables on the advance-ratio grid and how well they fit (relative residuals)."""

    key: Key
    step: float
    low: float
    high: float
    ref: float
    zero: float
    reach: float
    rows: int
    dropped: tuple[int, int]
    tables: dict[str, Floats]
    rms: tuple[float, float]  # of all rows, dropped ones too, relative to the static coefficient
    useful_rms: tuple[float, float]  # relative to the row itself, useful range, rows kept
    useful_rms_all: tuple[float, float]  # the same with the rows dropped
    useful_worst: tuple[float, float]


@dataclass(frozen=True)
class Shape:
    """One size as the family model sees it: tables at the common reference revs on the grid of J / J0."""

    family: str
    ratio: float
    diameter_m: float
    zero: float
    thrust: Floats  # base, slope: (2 NODES,)
    power: Floats


def measured(folder: Path) -> dict[Key, Floats]:
    """Rows of every size: rpm, advance ratio, thrust coefficient, power coefficient, volume."""
    names = ("rpm", "advance_ratio", "thrust_coefficient", "power_coefficient", "volume")
    sizes: dict[Key, list[list[float]]] = defaultdict(list)
    with (folder / "propellers/uiuc_measured.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            key = (row["family"], float(row["diameter_in"]), float(row["pitch_in"]))
            sizes[key].append([float(row[name]) for name in names])
    return {key: np.array(rows) for key, rows in sorted(sizes.items())}


def rough_zero(tunnel: Floats) -> float:
    """Zero-thrust advance ratio from a line through the rows of little thrust, good to a few hundredths."""
    rows = tunnel[tunnel[:, 2] < 0.3 * np.quantile(tunnel[:, 2], 0.95)]
    terms = np.column_stack([np.ones(len(rows)), rows[:, 2], rows[:, 2] ** 2, np.log(rows[:, 0] / 5000)])
    found = np.linalg.lstsq(terms, rows[:, 1], rcond=None)[0]
    return float(found[0] + found[3] * math.log(min(5000.0, tunnel[:, 0].max()) / 5000))


def smooth(place: Floats, logs: Floats, values: Floats) -> tuple[Floats, Floats, Floats, NDArray[np.bool_]]:
    """Base and slope nodes by penalised least squares with Tukey's weights; also residuals and rows kept."""
    basis = interpolate(np.eye(NODES), 1.0, place).T
    rows = np.hstack([basis, basis * logs[:, None]])
    third, second = np.diff(np.eye(NODES), 3, axis=0), np.diff(np.eye(NODES), 2, axis=0)
    penalty = np.zeros((2 * NODES, 2 * NODES))
    penalty[:NODES, :NODES] = SMOOTH_BASE * third.T @ third
    penalty[NODES:, NODES:] = SMOOTH_SLOPE * second.T @ second + 1e-3 * np.eye(NODES)
    weight = np.ones(len(values))
    scale = float(values[place == 0].mean())
    for _ in range(30):
        found = np.linalg.solve(rows.T @ (weight[:, None] * rows) + penalty, rows.T @ (weight * values))
        rest = values - rows @ found
        spread = max(1.4826 * float(np.median(np.abs(rest))), 0.008 * scale)
        weight = np.where(np.abs(rest) < 5 * spread, (1 - (rest / (5 * spread)) ** 2) ** 2, 0.0)
    nodes: Floats = np.asarray(found, dtype=np.float64)
    return nodes[:NODES], nodes[NODES:], rest, weight > 0


def zero_of(base: Floats, step: float) -> float:
    """Where the thrust table passes zero."""
    place = np.linspace(0.5, 1.0, 20001) * step * (NODES - 1)
    return float(np.interp(0.0, -interpolate(base, step, place), place))


def fit_size(key: Key, rows: Floats) -> Size:
    """Fit one size."""
    tunnel = rows[rows[:, 1] > 0]
    low, high = float(tunnel[:, 0].min()) / 60, float(tunnel[:, 0].max()) / 60
    ref = REVS_REF_PER_S if low < REVS_REF_PER_S < high else math.sqrt(low * high)
    step = round(PAST_ZERO * rough_zero(tunnel) / (NODES - 1), 6)
    used = rows[(rows[:, 0] / 60 >= 0.98 * low) & (rows[:, 1] <= step * (NODES - 1))]
    logs = np.log(np.clip(used[:, 0] / 60, low, high) / ref)
    tables: dict[str, Floats] = {}
    dropped, rms, useful_rms, useful_all, useful_worst = [], [], [], [], []
    for column, name in ((2, "thrust"), (3, "power")):
        base, slope, rest, kept = smooth(used[:, 1] / step, logs, used[:, column])
        tables |= {f"{name}_base": base, f"{name}_slope": slope}
        zero = zero_of(tables["thrust_base"], step)
        useful = kept & (used[:, 1] <= USEFUL * zero)
        relative = rest[useful] / used[useful, column]
        everything = (rest / used[:, column])[used[:, 1] <= USEFUL * zero]
        dropped.append(int((~kept).sum()))
        rms.append(float(np.sqrt(np.mean(rest**2)) / used[used[:, 1] == 0, column].mean()))
        useful_rms.append(float(np.sqrt(np.mean(relative**2))))
        useful_all.append(float(np.sqrt(np.mean(everything**2))))
        useful_worst.append(float(np.abs(relative).max()))
    return Size(
        key, step, low, high, ref, zero, float(used[:, 1].max()), len(used), (dropped[0], dropped[1]), tables,
        (rms[0], rms[1]), (useful_rms[0], useful_rms[1]), (useful_all[0], useful_all[1]),
        (useful_worst[0], useful_worst[1]),
    )  # fmt: skip


def specimen_scatter(rows: Floats) -> tuple[float, float, float]:
    """Standard deviation between specimens: thrust and power (useful range, of static) and zero-thrust J.

    From one pair, so it is itself known to about half of its value.
    """
    one, two = (fit_size(TWICE, rows[rows[:, 4] == volume]) for volume in (1, 2))
    place = np.linspace(0.0, USEFUL * one.zero, 60)
    found = []
    for name in ("thrust_base", "power_base"):
        first, second = (interpolate(s.tables[name], s.step, place) for s in (one, two))
        found.append(float(np.sqrt(np.mean((first - second) ** 2) / 2) / first[0]))
    return found[0], found[1], abs(one.zero - two.zero) / math.sqrt(2.0)


def shape_of(size: Size) -> Shape:
    """The size at the common reference revs (or the nearest measured) against J / J0."""
    logs = math.log(min(max(REVS_REF_PER_S, size.low), size.high) / size.ref)
    zero = zero_of(size.tables["thrust_base"] + logs * size.tables["thrust_slope"], size.step)
    curves = []
    for name in ("thrust", "power"):
        base = size.tables[f"{name}_base"] + logs * size.tables[f"{name}_slope"]
        curves.append(
            [interpolate(nodes, size.step, GRID * zero) for nodes in (base, size.tables[f"{name}_slope"])]
        )
    family, diameter, pitch = size.key
    thrust, power = (np.concatenate(curve) for curve in curves)
    return Shape(family, pitch / diameter, diameter * INCH_M, zero, thrust, power)


class Family:
    """The family model fitted to some shapes."""

    def __init__(self, shapes: list[Shape], terms: tuple[str, ...]) -> None:
        self.terms = terms
        self.effects = {shape.family: np.zeros(3) for shape in shapes}
        alone = len(self.effects) == 1
        ratios, diameters = [s.ratio for s in shapes], [s.diameter_m for s in shapes]
        self.fitted = Fitted((min(ratios), max(ratios)), (min(diameters), max(diameters)))
        rows = np.array([self.fitted.terms(terms, s.ratio, s.diameter_m, CENTRE) for s in shapes])
        zero_rows = np.array([self.fitted.terms(ZERO_TERMS, s.ratio, s.diameter_m, CENTRE) for s in shapes])
        curves = [np.array([s.thrust for s in shapes]), np.array([s.power for s in shapes])]
        zeros = np.array([s.zero for s in shapes])
        useful = slice(0, int(USEFUL / X_STEP) + 1)
        for _ in range(1 if alone else 8):
            effect = np.array([self.effects[s.family] for s in shapes])
            self.curves = [_ridge(rows, curves[i] / np.exp(effect[:, i : i + 1])) for i in (0, 1)]
            self.zero = _ridge(zero_rows, zeros - effect[:, 2])
            rest = [
                np.log(curves[i][:, useful].mean(axis=1) / (rows @ self.curves[i])[:, useful].mean(axis=1))
                for i in (0, 1)
            ]
            rest.append(zeros - zero_rows @ self.zero)
            for key in self.effects if not alone else ():
                mine = np.array([s.family == key for s in shapes])
                self.effects[key] = np.array([r[mine].sum() for r in rest]) / (mine.sum() + FAMILY_SHRINK)

    def predict(self, shape: Shape) -> Shape:
        """The same size by the model."""
        effect = self.effects.get(shape.family, np.zeros(3))
        row = self.fitted.terms(self.terms, shape.ratio, shape.diameter_m, CENTRE)
        zero = self.fitted.terms(ZERO_TERMS, shape.ratio, shape.diameter_m, CENTRE) @ self.zero + effect[2]
        thrust, power = (math.exp(effect[i]) * (row @ self.curves[i]) for i in (0, 1))
        return Shape(shape.family, shape.ratio, shape.diameter_m, float(zero), thrust, power)


def _ridge(rows: Floats, values: Floats) -> Floats:
    ridge = RIDGE * len(rows) * np.eye(rows.shape[1])
    ridge[0, 0] = 0.0
    return np.asarray(np.linalg.solve(rows.T @ rows + ridge, rows.T @ values))


def errors(truth: Shape, model: Shape) -> Floats:
    """Static thrust, static power, zero-thrust J, thrust and power over the useful range, pitch/diameter."""
    place = np.linspace(0.0, USEFUL * truth.zero, 40)
    found = [
        model.thrust[0] / truth.thrust[0] - 1,
        model.power[0] / truth.power[0] - 1,
        model.zero - truth.zero,
    ]
    for ours, theirs in ((model.thrust, truth.thrust), (model.power, truth.power)):
        gap = interpolate(ours[:NODES], X_STEP * model.zero, place) - interpolate(
            theirs[:NODES], X_STEP * truth.zero, place
        )
        found.append(float(np.sqrt(np.mean(gap**2)) / theirs[0]))
    return np.array([*found, truth.ratio])


def left_out(shapes: list[Shape], terms: tuple[str, ...], whole_family: bool) -> Floats:
    """Errors of every size by the model of the others (of the other families)."""
    return np.array(
        [
            errors(
                one,
                Family(
                    [s for s in shapes if (s.family != one.family if whole_family else s is not one)], terms
                ).predict(one),
            )
            for one in shapes
        ]
    )


def outside_growth(shapes: list[Shape], terms: tuple[str, ...]) -> list[tuple[str, float, float]]:
    """Sizes beyond an end of a fit without them: mean distance in fitted widths, rms error of both curves."""
    found = []
    for name, place in (
        ("pitch/diameter", np.array([s.ratio for s in shapes])),
        ("diameter", np.array([s.diameter_m for s in shapes])),
    ):
        for end, inside in (
            ("low", place >= np.quantile(place, 0.3)),
            ("high", place <= np.quantile(place, 0.7)),
        ):
            model = Family([s for s, here in zip(shapes, inside, strict=True) if here], terms)
            beyond = [s for s, here in zip(shapes, inside, strict=True) if not here]
            far = float(np.mean([model.fitted.outside(s.ratio, s.diameter_m) for s in beyond]))
            gaps = np.array([errors(s, model.predict(s))[3:5] for s in beyond])
            found.append((f"{name} {end}", far, float(np.sqrt(np.mean(gaps**2)))))
    return found
