"""Fitted propeller curves against rows of the wind-tunnel data they were fitted to, and the errors said.

Source of every measured row: UIUC Propeller Data Site, volumes 1 and 3 (Brandt, Deters, Ananda, Dantsker,
Selig, University of Illinois at Urbana-Champaign). Each row: rpm, advance ratio, thrust and power
coefficient. The whole set is compared by ``python studies/propellers.py --check``.
"""

import json
from pathlib import Path

import numpy as np
import pytest
from outside import held, missed, within
from scipy.stats import binom, chi2

from glidewright.data import coefficients
from glidewright.forecast.spread import Z90
from glidewright.models.power.propeller import power_coefficient, propeller_curve, thrust_coefficient

INCH_M = 0.0254
STUDIES = Path(__file__).parents[2] / "docs/studies"
UIUC = "UIUC Propeller Data Site"

# How far one reading of such a tunnel is off, of thrust and of power, folding and fixed blades: rms of 262
# and 378 readings of the UIUC tables where two sweeps of one size at one speed overlap, their differences
# over the root of two (studies/propeller_repeats.py).
ERRORS = {True: {"thrust": 0.0063, "power": 0.0042}, False: {"thrust": 0.0074, "power": 0.0047}}
OVERLAP = "99 % of the rms of so many readings, by how two sweeps of one size differ where they overlap"


def most_rms(kind: str, folding: bool, count: int) -> float:
    """What the rms error of some readings stays below in 99 of 100 cases when the readings alone are off."""
    return float(ERRORS[folding][kind] * np.sqrt(chi2.ppf(0.99, count) / count))


# blade family, folding, diameter and pitch (in), rows of the useful range
ROWS = {
    "folding 11x6": (
        ("ancf", True, 11, 6),
        [
            (5966.667, 0.0, 0.11349, 0.040183),
            (5985.0, 0.190760, 0.101592, 0.042741),
            (5985.0, 0.212521, 0.098699, 0.042951),
            (6036.0, 0.409345, 0.068343, 0.039476),
            (5985.0, 0.389041, 0.072326, 0.040565),
            (4995.0, 0.205298, 0.095223, 0.042996),
            (5050.0, 0.439498, 0.061425, 0.038087),
            (4016.0, 0.191089, 0.090405, 0.042091),
        ],
    ),
    "folding 12x8": (
        ("ancf", True, 12, 8),
        [
            (5953.333, 0.0, 0.113094, 0.042222),
            (5974.0, 0.172130, 0.103524, 0.044575),
            (5974.0, 0.273090, 0.091492, 0.044213),
            (6021.0, 0.396093, 0.073840, 0.041930),
            (6021.0, 0.593997, 0.037275, 0.029656),
        ],
    ),
    "folding 9x5": (
        ("ancf", True, 9, 5),
        [
            (5960.0, 0.0, 0.110666, 0.040928),
            (6010.0, 0.182909, 0.093751, 0.043512),
            (6010.0, 0.421094, 0.061781, 0.038940),
            (6044.0, 0.554969, 0.036379, 0.030447),
        ],
    ),
    "folding 12x13, stalled at low advance ratio": (
        ("ancf", True, 12, 13),
        [
            (5960.0, 0.0, 0.102204, 0.089926),
            (5999.0, 0.112244, 0.102606, 0.082756),
            (5999.0, 0.253996, 0.101302, 0.076101),
            (6006.0, 0.534925, 0.099756, 0.077192),
            (5017.0, 0.759962, 0.074408, 0.074620),
            (4015.0, 0.976767, 0.044499, 0.060953),
        ],
    ),
    "fixed 10x7": (
        ("apce", False, 10, 7),
        [
            (5011.0, 0.0, 0.1071, 0.0529),
            (5018.0, 0.202, 0.1017, 0.0525),
            (5018.0, 0.320, 0.0922, 0.0528),
            (5018.0, 0.431, 0.0766, 0.0507),
            (5001.0, 0.514, 0.0583, 0.0441),
        ],
    ),
    # the two folding sizes that miss 2 % rms over all revs: not straight in ln(n), 2 to 3 % low at 4000 rpm
    "folding 16x6, the worst": (
        ("ancf", True, 16, 6),
        [
            (4946.667, 0.0, 0.066484, 0.017863),
            (4994.0, 0.121887, 0.057836, 0.018340),
            (4994.0, 0.226602, 0.045733, 0.017192),
            (5042.0, 0.315359, 0.032554, 0.014588),
            (5042.0, 0.369164, 0.024027, 0.012392),
        ],
    ),
    "folding 15x6, the next worst": (
        ("ancf", True, 15, 6),
        [
            (4946.667, 0.0, 0.066894, 0.018579),
            (5003.0, 0.124888, 0.058977, 0.019100),
            (5003.0, 0.242504, 0.044762, 0.017562),
            (5003.0, 0.335736, 0.030743, 0.014577),
            (5040.0, 0.375976, 0.023373, 0.012609),
        ],
    ),
}
# sizes whose fit misses 2 % rms of the measured thrust over the useful range; gwsdd 9x5 mixes two specimens
MISSES = {"ancf 15x6", "ancf 16x6", "gwsdd 9x5"}
# the same with the rows that the fit set aside as far off the rest: bad runs (9x4.5), but also blades that
# stall earlier at 3000 rpm than the logarithm allows (10x12: 10 % under the fit at 3035 rpm and J 0.56)
MISSES_WITH_ROWS_SET_ASIDE = MISSES | {
    "ancf 10x12",
    "ancf 11x12",
    "ancf 12x5",
    "ancf 13x5",
    "ancf 14x6",
    "ancf 15x10",
    "apce 9x4.5",
    "apce 11x5.5",
    "apce 11x8",
    "apce 11x8.5",
}


def errors_of(name: str) -> dict[str, np.ndarray]:
    """Relative errors of thrust and power at the rows of a measured size."""
    (family, folding, diameter_in, pitch_in), rows = ROWS[name]
    curve = propeller_curve(diameter_in * INCH_M, pitch_in * INCH_M, folding, family)
    assert curve.origin == "measured size"
    rpm, advance_ratio, thrust, power = np.array(rows).T
    return {
        "thrust": thrust_coefficient(curve, advance_ratio, rpm / 60) / thrust - 1,
        "power": power_coefficient(curve, advance_ratio, rpm / 60) / power - 1,
    }


FAR = {
    ("folding 16x6, the worst", "thrust"),
    ("folding 16x6, the worst", "power"),
    ("folding 15x6, the next worst", "thrust"),
}
EVERY = {(name, kind) for name in ROWS for kind in ("thrust", "power")}


@pytest.mark.parametrize(("name", "kind"), sorted(EVERY - FAR))
def test_a_measured_size_gives_its_own_rows(name: str, kind: str) -> None:
    error, folding = errors_of(name)[kind], ROWS[name][0][1]
    most = most_rms(kind, folding, error.size)
    what = f"{kind}, rms of measured rows, {name}"
    within(what, np.sqrt(np.mean(error**2)), 0.0, most, source=UIUC, because=OVERLAP)


@pytest.mark.xfail(reason="not straight in ln(n), low at 4000 rpm")
@pytest.mark.parametrize(("name", "kind"), sorted(FAR))
def test_two_sizes_fit_their_rows_less_well_than_these_repeat(name: str, kind: str) -> None:
    error, folding = errors_of(name)[kind], ROWS[name][0][1]
    missed(
        f"{kind}, rms of measured rows, {name}",
        np.sqrt(np.mean(error**2)),
        0.0,
        abs=most_rms(kind, folding, error.size),
        source=UIUC,
        because=OVERLAP,
        why="the fit is straight in ln(n), these two are not: low at 4000 rpm",
    )


def test_folding_11x6_at_rest_pulls_8_38_N_for_82_5_W() -> None:
    # 0.11349 rho n^2 D^4 and 0.040183 rho n^3 D^5 at 5966.667 rpm, rho 1.225 kg/m3: 8.379 N and 82.45 W
    curve = propeller_curve(0.2794, 0.1524, folding=True, blade_family="ancf")
    revs_per_s = 5966.667 / 60
    thrust_N = float(thrust_coefficient(curve, 0.0, revs_per_s)) * 1.225 * revs_per_s**2 * 0.2794**4
    power_W = float(power_coefficient(curve, 0.0, revs_per_s)) * 1.225 * revs_per_s**3 * 0.2794**5
    one = "99 % of one reading, by how two sweeps of one size differ where they overlap"
    aim = {"source": UIUC, "because": one}
    most = {kind: most_rms(kind, True, 1) for kind in ("thrust", "power")}
    held("thrust at rest, folding 11x6 at 5967 rpm", thrust_N, 8.38, rel=most["thrust"], unit="N", **aim)
    held("power at rest, folding 11x6 at 5967 rpm", power_W, 82.5, rel=most["power"], unit="W", **aim)


def test_zero_thrust_lies_between_the_measured_rows_around_it() -> None:
    # 11x6 at 5050 rpm: C_T 0.000448 at J 0.727284, -0.005764 at 0.74996, so zero near 0.7289
    curve = propeller_curve(0.2794, 0.1524, folding=True, blade_family="ancf")
    held(
        "advance ratio without thrust, folding 11x6",
        curve.zero_thrust_advance_ratio,
        0.7289,
        abs=0.008,
        source=f"{UIUC}, between two rows",
        because="a third of the way between the two rows",
    )


def test_81_sizes_are_packaged_and_only_the_named_ones_miss_2_percent() -> None:
    sizes = coefficients("propeller_sizes")["size"]
    assert len(sizes) == 81
    assert sum(size["folding"] for size in sizes) == 34
    assert {size["key"] for size in sizes if size["useful_rms"][0] > 0.02} == MISSES
    assert not {size["key"] for size in sizes if size["useful_rms"][1] > 0.02}
    assert {size["key"] for size in sizes if size["useful_rms_all"][0] > 0.02} == MISSES_WITH_ROWS_SET_ASIDE
    assert {size["key"] for size in sizes if size["useful_rms_all"][1] > 0.02} == {
        "ancf 12x5",
        "ancf 12x6",
        "ancf 14x6",
    }
    assert max(size["useful_rms"][0] for size in sizes) < 0.0225


def family(folding: bool, band: str) -> dict[str, dict[str, float]]:
    return coefficients("propeller_folding" if folding else "propeller_fixed")["band"][band]


AIMS = {
    "source": f"{UIUC}, one size left out in turn",
    "because": "what was wished for before the fit, no tolerance: the band is counted below",
}


@pytest.mark.xfail(reason="three measured sizes miss 2 % rms of thrust")
@pytest.mark.parametrize("key", sorted(MISSES))
def test_every_measured_size_within_2_percent(key: str) -> None:
    size = next(size for size in coefficients("propeller_sizes")["size"] if size["key"] == key)
    missed(
        f"thrust over the useful range, rms of measured rows, {key}",
        size["useful_rms"][0],
        0.0,
        abs=0.02,
        source=UIUC,
        because="what was wished for before the fit, no tolerance",
        why="two specimens of one size"
        if key.startswith("gwsdd")
        else "not straight in ln(n), low at 4000 rpm",
    )


@pytest.mark.xfail(reason="fixed blades left out of the fit miss the aims")
@pytest.mark.parametrize(
    ("what", "band", "error", "aim"),
    [
        ("thrust of a known make", "known_family", "left_out_static_thrust", 0.10),
        ("thrust of an unknown make", "unknown_family", "left_out_static_thrust", 0.10),
        ("power of an unknown make", "unknown_family", "left_out_static_power", 0.15),
    ],
)
def test_fixed_blades_within_the_aims(what: str, band: str, error: str, aim: float) -> None:
    missed(
        f"static {what}, fixed blades left out, rms",
        family(folding=False, band=band)[error]["rms"],
        0.0,
        abs=aim,
        why="makes differ at the same diameter and pitch; the band says so",
        **AIMS,
    )


def test_sizes_left_out_of_the_folding_family_come_back_within_the_aims() -> None:
    # aims: static thrust 10 %, static power 15 %, zero-thrust J 0.05 and 0.08 above pitch/diameter 0.8 (rms)
    band = coefficients("propeller_folding")["band"]["known_family"]
    zero = "left_out_zero_thrust"
    for what, error, aim in (
        ("static thrust", "left_out_static_thrust", 0.10),
        ("static power", "left_out_static_power", 0.15),
        ("advance ratio without thrust, pitch up to 0.8 D", f"{zero}_up_to_pitch_ratio_0_8", 0.05),
        ("advance ratio without thrust, pitch above 0.8 D", f"{zero}_above_pitch_ratio_0_8", 0.08),
    ):
        within(f"{what}, folding blades left out, rms", band[error]["rms"], 0.0, aim, **AIMS)
    # the worst single size is about two and a half times as far off
    assert 0.20 < band["left_out_static_thrust"]["worst"] < 0.22
    assert 0.28 < band["left_out_static_power"]["worst"] < 0.30


@pytest.mark.parametrize(("blades", "make"), [("folding", "known"), ("fixed", "known"), ("fixed", "unknown")])
@pytest.mark.parametrize("kind", ["thrust at rest", "power at rest", "thrust in use", "power in use"])
def test_the_band_of_a_family_holds_eight_of_ten_unseen_sizes(blades: str, make: str, kind: str) -> None:
    # what studies/propellers_left_out.py kept; an unmeasured folding make has a wider band on purpose
    study = json.loads((STUDIES / "propellers_left_out.json").read_text(encoding="utf-8"))
    found = study["found"]["families"][f"{blades}, make {make}"]
    errors = np.array([size["errors"] for size in found["sizes"]])[:, found["kinds"].index(kind)]
    band = found["band"][found["kinds"].index(kind)]
    packaged = coefficients(f"propeller_{blades}")["band"][f"{make}_family"]
    assert band == pytest.approx(Z90 * packaged[f"{kind.partition(' ')[0]}_sigma"], abs=1e-4)
    low, high = binom.ppf([0.005, 0.995], errors.size, 0.8) / errors.size
    within(
        f"share of sizes left out that the 80 % band holds, {blades}, make {make}, {kind}",
        float(np.mean(np.abs(errors) <= band)),
        float(low),
        float(high),
        source=f"{UIUC}, left out in turn, studies/propellers_left_out.py",
        because=f"80 % expected; 99 % of the shares of {errors.size} sizes",
    )


def test_fixed_blades_of_unknown_make_miss_the_aims_and_the_band_says_so() -> None:
    band = coefficients("propeller_fixed")["band"]
    known, unknown = band["known_family"], band["unknown_family"]
    assert 0.10 < known["left_out_static_thrust"]["rms"] < 0.105  # misses 10 % narrowly
    for what, error, aim in (
        ("static power", "left_out_static_power", 0.15),
        ("advance ratio without thrust", "left_out_zero_thrust", 0.05),
    ):
        within(f"{what}, fixed blades of a known make left out, rms", known[error]["rms"], 0.0, aim, **AIMS)
    assert 0.20 < unknown["left_out_static_thrust"]["rms"] <= unknown["thrust_sigma"]
    assert 0.22 < unknown["left_out_static_power"]["rms"] <= unknown["power_sigma"]
