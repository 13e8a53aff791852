"""Sections of docs/validation.md from what studies kept in docs/studies/, and what of it misses a wish.

A study that takes minutes does not run when the page is made: it keeps what it found with its command, date,
seed, commit and a digest of the code that it ran (studies/stored.py).
"""

import re
import sys
from typing import Any

import numpy as np
from scipy.stats import binom

from marked import DOCS, ROOT, table

sys.path.append(str(ROOT / "studies"))

from stored import FOLDER, kept, stale

LEVELS_HELD = 80
_SURE = 0.99
# share wished for, and below which a record is listed: of 500 flights 80 % may come out as 75
_WISHED = {
    "stop_within": ("motor stop within 0.5 s", 0.95, 0.95),
    "height_within": ("launch height within 0.5 m", 0.95, 0.95),
    "band_holds": ("height band holds the truth", 0.80, 0.75),
}
_PROPELLERS = """### Propellers, each size by itself

The same sizes one by one, errors with their sign against the 80 % band that a forecast takes for them,
without the widening that the program adds outside of the sizes that were fitted. {made}

{families}
![error of every size that was left out, in the band of its family](images/propeller_each.svg)

The band of a folding make that nobody measured is wider by construction (above), so it holds more
than 80 %. Sizes that were measured are held against their own rows; their band allows for another
specimen than the one in the tunnel, so it is wider than the rows need: it holds {thrust} of the rows of
thrust and {power} of those of power. Bars are bands, lines hold 80 % of the rows, dots are means.

![rows of the tunnel against the curve and the band of their size](images/propeller_bands.svg)
"""
_MOTORS = """### Motor sets

Kv and resistance (winding, leads and controller together) found from volts, amps and revolutions of
published bench sets, against what is printed on the motor; published is the label, and one resistance:
183 mΩ of the set of 780 rpm/V. A label is no measurement, so nothing is asked of it
here; what is asked is that a set which cannot tell Kv from resistance, or a label that is another motor's,
is warned of. {made}

{sets}
![fitted Kv over the label, and fitted resistance](images/motor_sets.svg)

Lines are 80 % ranges. Warned of:

{warnings}
"""
_PACKS = """### Packs

The curve of open-circuit volts, its band, the cell that it was drawn through, and another published cell.
Each reading left out in turn is met within {worst} mV from 10 to 95 % charge; the other cell lies {apart}
mV from the curve (rms), which over the root of two gives the spread of {sigma} mV that a forecast takes.
{made}

![open-circuit volts of two published cells and the packaged curve](images/pack_cells.svg)
"""
_LAUNCH = """### Launch against another solver

{cases} launches drawn over light electric gliders, each by the kernel at several step errors and by
`scipy.integrate.solve_ivp` on the same equations in plain Python. The differences shrink with the step
over four powers of ten, so what is left at the usual step is that of the step; the tolerances of [the
worked cases](#launch-by-another-solver) come from its column. {made}

{kinds}
![difference from the solver by the error of a step](images/launch_steps.svg)
"""
_LOGS = """### Reading flight logs

Flights of the launch model, recorded as an instrument would, cut up again and held against what was flown
([flight_logs.md](flight_logs.md)). A launch that was not read counts as missed. {made}

{records}
![shares of flights that are read well, marks: what is wished](images/log_records.svg)

Sink pooled over flights that are all of one model:

{pooled}"""
_COVERAGE = """### Calibrated by flights

{truths} made-up models fly three logged flights of the launch model and teach them; a fourth flight is
predicted before its log is read. How much of the truth lies in ranges of any width: on the diagonal is
right, above it too wide, below too narrow, inside of the grey band within what so many truths may show by
chance (99 %). {made}

{levels}
![share of truths held by predicted ranges, by their width](images/coverage_levels.svg)

The range of the mean current is too wide. Its middle is nearly as good as it can be: it is off by
{error} % (rms), and what is new in every launch makes {alone} % of spread alone; the draws spread by
{spread} %.
Resistance of the winding and apparent resistance of leads and commutation can stand in for each other,
and only their sum is seen. What is learned is kept as one joint normal law in the scores of both; the
values that give one sum lie along a bent valley in it, and a normal law round a bent valley is too wide
across it. Leaving the curvature out of the learning changes little (97 %), taking it as information makes
the ranges of heights and inputs too narrow ([decisions.md](decisions.md)). The way out is a law that
bends with the valley; it would change what `corrections.toml` keeps, and it is not done.

{flights}
![error of the launch height by the number of flights learned from](images/coverage_flights.svg)
"""
_FAULTS = """### Faults and bad input

What happens when files are spoiled, programs killed, disks full, clocks odd and files old: {sum}. The
tables and what was mended stand in [faults.md](faults.md); they are written by `python
studies/faults.py`.
"""


def studies_text() -> str:
    """The sections."""
    parts = (
        _propellers(),
        _motors(),
        _packs(),
        _launch(),
        _logs(),
        _coverage(),
        _FAULTS.format(sum=_faults()),
    )
    return "\n".join(parts)


def found_by(name: str) -> Any:
    """What a study found when it ran last."""
    return kept(name)["found"]


def made(name: str) -> str:
    """When and how a study ran."""
    whole = kept(name)
    seed = "" if whole["seed"] is None else f", seed {whole['seed']}"
    return f"Measured on {whole['date']} by `{whole['command']}`{seed}, at commit `{whole['commit']}`."


def stale_studies() -> list[str]:
    """A sentence for every study whose code does other things since it ran."""
    said = []
    for path in sorted(FOLDER.glob("*.json")):
        changed = stale(path.stem)
        if changed:
            names = ", ".join(changed[:3]) + (" and others" if len(changed) > 3 else "")
            whole = kept(path.stem)
            said.append(
                f"{path.stem}: measured on {whole['date']} with other code than today's, {len(changed)} of "
                f"{len(whole['code'])} files changed ({names}); run {whole['command']}"
            )
    return said


def coverage_misses() -> list[str]:
    """What calibrated ranges hold more or less often than chance allows, each as a sentence."""
    found = found_by("calibration_coverage")
    place = found["levels"].index(LEVELS_HELD)
    low, high = level_band(LEVELS_HELD, found["truths"])
    return [
        f"after calibration the {LEVELS_HELD} % range of {title[0].lower() + title[1:]} holds "
        f"{_percent(shares[place])}, and {low:.0f} to {high:.0f} % were to be expected"
        for title, shares in found["held"].items()
        if not low <= 100.0 * shares[place] <= high
    ]


def log_misses() -> list[str]:
    """Records whose motor stop, height or range is read less well than asked for, each as a sentence."""
    return [
        f"log of {record}: {what} in {_percent(own[key])}, wished for {_percent(wished, 0)}"
        for record, own in found_by("segmentation")["cases"].items()
        for key, (what, wished, listed) in _WISHED.items()
        if own[key] < listed
    ]


def level_band(level: float, count: int) -> tuple[float, float]:
    """Between which per cents the share held of so many truths lies by chance, when a range is right."""
    ends = binom.ppf([(1.0 - _SURE) / 2.0, (1.0 + _SURE) / 2.0], count, level / 100.0)
    low, high = (100.0 * float(end) / count for end in ends)
    return low, high


def _percent(share: float, digits: int = 1) -> str:
    return f"{100.0 * share:.{digits}f} %"


def _propellers() -> str:
    found = found_by("propellers_left_out")
    rows = []
    for name, own in found["families"].items():
        for kind, band, held in zip(own["kinds"], own["band"], own["held"], strict=True):
            rows.append((name, kind, len(own["sizes"]), f"± {_percent(band)}", _percent(held)))
    weights = [one["rows"] for one in found["sizes"]]
    thrust, power = (
        _percent(float(np.average([one[what]["held"] for one in found["sizes"]], weights=weights)))
        for what in ("thrust", "power")
    )
    families = table(("Blades", "Error of", "Sizes", "80 % band", "Sizes that it holds"), rows)
    return _PROPELLERS.format(made=made("propellers_left_out"), families=families, thrust=thrust, power=power)


def _motors() -> str:
    sets = found_by("motors")["sets"]
    rows, warnings = [], []
    for number, one in enumerate(sets, start=1):
        sigma, ohm = one["kv_sigma_rpm_V"], one["resistance_sigma_mohm"]
        rows.append(
            (
                number, one["source"], one["readings"], f"{one['label_rpm_V']:.0f}",
                f"{one['kv_rpm_V']:.0f}{'' if sigma is None else f' ± {sigma:.0f}'}",
                f"{one['resistance_mohm']:.0f}{'' if ohm is None else f' ± {ohm:.0f}'}",
                f"{one['rms_percent']:.2f} %", "yes" if one["warnings"] else "",
            )
        )  # fmt: skip
        warnings += [f"- set {number}: {sentence}" for sentence in one["warnings"]]
    head = (
        "Set", "Source", "Readings", "Label, rpm/V", "Kv found, ± sigma", "Resistance found, mΩ, ± sigma",
        "rms of revolutions", "Warned of",
    )  # fmt: skip
    return _MOTORS.format(made=made("motors"), sets=table(head, rows), warnings="\n".join(warnings))


def _packs() -> str:
    found = found_by("packs")
    numbers = {"worst": "worst_left_out_mV", "apart": "second_cell_rms_mV", "sigma": "sigma_mV"}
    return _PACKS.format(made=made("packs"), **{name: f"{found[key]:.0f}" for name, key in numbers.items()})


def _launch() -> str:
    found = found_by("launch_steps")
    steps = found["tolerances_m"]
    rows = [
        (f"{kind}, {which}", *(f"{off:.2g}" for off in own[which]))
        for kind, own in found["by_kind"].items()
        for which in ("worst", "median")
    ]
    usual = found["usual_m"]
    head = ("Difference", *(f"{one:g} m{', usual' if one == usual else ''}" for one in steps))
    return _LAUNCH.format(cases=found["cases"], made=made("launch_steps"), kinds=table(head, rows, head[1:]))


def _logs() -> str:
    found = found_by("segmentation")
    rows = [
        (
            record, _percent(own["stop_within"]), f"{own['stop_95_s']:.2f} s", _percent(own["height_within"]),
            f"{own['height_95_m']:.2f} m", _percent(own["band_holds"]),
            f"{own['lifts_found']:.0f} of {own['lifts']:.0f}",
        )
        for record, own in found["cases"].items()
    ]  # fmt: skip
    head = (
        f"Record of {found['flights']} flights", "Motor stop within 0.5 s", "95 % of stops within",
        "Launch height within 0.5 m", "95 % of heights within", "Height band holds the truth", "Lift found",
    )  # fmt: skip
    pools = [
        (one["flights"], f"{one['80_percent_within_m_s']:.3f} m/s", _percent(one["band_holds"], 0))
        for one in found["pooled_sink"]
    ]
    pooled = table(("Flights", "80 % of sinks within", "Band holds the truth"), pools)
    return _LOGS.format(made=made("segmentation"), records=table(head, rows, head[1:]), pooled=pooled)


def _coverage() -> str:
    found = found_by("calibration_coverage")
    levels, held = found["levels"], found["held"]
    low, high = zip(*(level_band(level, found["truths"]) for level in levels), strict=True)
    head = ("Predicted range", *(f"{level} %" for level in levels))
    rows = [(title, *(f"{100.0 * share:.0f}" for share in shares)) for title, shares in held.items()]
    rows.append(("*right, by chance*", *(f"{a:.0f} to {b:.0f}" for a, b in zip(low, high, strict=True))))
    flights = [
        (
            f"{row['flights']} of {own['truths']} truths", f"{row['error_m'][1]:.1f} m",
            f"{row['error_m'][0]:.1f} to {row['error_m'][2]:.1f} m", f"{row['width_m']:.0f} m",
            _percent(row["held"]),
        )
        for own in (found, found["long"])
        for row in own["by_flights"]
    ]  # fmt: skip
    by_flights = table(
        ("Flights learned from", "Median error of the next height", "Half of the errors",
         "Width of the 80 % range", "It holds"),
        flights,
    )  # fmt: skip
    current = found["current_percent"]
    return _COVERAGE.format(
        truths=found["truths"],
        made=made("calibration_coverage"),
        levels=table(head, rows, head[1:]),
        flights=by_flights,
        error=current["error"],
        spread=current["spread"],
        alone=current["spread_at_the_middle"],
    )


def _faults() -> str:
    """The counts of docs/faults.md in a sentence."""
    page = (DOCS / "faults.md").read_text(encoding="utf-8")
    doors, kills, clocks = (_rows(page, name) for name in ("doors", "kills", "clocks"))
    said = [
        f"{_sum(doors, 1)} spoiled files and requests, {_sum(doors, 4)} faults",
        f"{_sum(kills, 1)} kills, {_sum(kills, 3)} in the middle of a write, {_sum(kills, 4)} lost or broken",
        f"{_sum(clocks, 1)} logs with odd clocks, {_sum(clocks, 8)} launches read otherwise than of a sound "
        f"clock and {_sum(clocks, 9)} faults",
    ]
    return "; ".join(said)


def _rows(page: str, name: str) -> list[list[str]]:
    found = re.search(rf"<!-- {name}: made by .*?-->\n(.*?)<!-- end -->", page, re.DOTALL)
    lines = found[1].splitlines()[2:] if found else []
    return [line.strip("| ").split(" | ") for line in lines if line.startswith("|")]


def _sum(rows: list[list[str]], column: int) -> int:
    return sum(int(row[column]) for row in rows)
