"""Sections of docs/validation.md from the packaged coefficient tables: the errors of what is fitted."""

from collections.abc import Iterator
from typing import Any

from glidewright.data import coefficients, packaged
from marked import table

_ERRORS = (
    ("left_out_static_thrust", "thrust_sigma", "thrust at rest", "share"),
    ("left_out_static_power", "power_sigma", "power at rest", "share"),
    ("left_out_useful_thrust", "thrust_sigma", "thrust in the useful range", "share"),
    ("left_out_useful_power", "power_sigma", "power in the useful range", "share"),
    ("left_out_zero_thrust", "zero_thrust_sigma", "advance ratio without thrust", "1"),
)
_BIASES = (
    ("drag_factor", "drag", "measured over computed"),
    ("highest_lift_factor", "highest lift", "measured over computed"),
    ("slope_over_thin", "lift slope", "measured over 2 pi a radian"),
    ("zero_lift_shift", "angle of zero lift", "measured less computed, degrees"),
)

_TEXT = """## What the studies found

Errors of what is fitted, as the packaged tables in `src/glidewright/data/coefficients/` state them. The data
that the studies read is not carried; each study says where it is published, and writes its table again from
it.

### Propellers, each size left out in turn

A family model must give a size that it has not seen. Every size is left out of the fit once and compared with
what the tunnel found ([studies/propellers.py](../studies/propellers.py)); the errors of a make that is not
named are those of whole makes left out, for folding blades, of which one make was measured, wider by a root
of two on the spread alone.

{propellers}
![rms and worst error of the sizes that were left out](images/propeller_left_out.svg)

Sizes that were measured have their own curves. How far these are from the rows of the tunnel:

![rms of thrust of the measured sizes over pitch by diameter](images/propeller_sizes.svg)

{sizes}

### Sections in tunnels

Drag, lift slope and angle of zero lift of computed sections against wind tunnels
([studies/section_bias.py](../studies/section_bias.py)). The factors are applied; low and high are the 10 %
and 90 % points, and become the spread.

{sections}
Each dot is the mean of three readings of one run over the computation with its factor, as the table of the
runs above has it. The band is the stated spread.

![measured over computed drag of each run](images/section_drag.svg)

Polars of every run: readings of the tunnel, the computed polar with its drag factor, and the stated spread.

![drag over lift of each run, readings and computed](images/section_polars.svg)

Lift over the angle of attack, of the two runs whose lift sweeps are published:

![lift over angle of attack of the SD7037, readings and computed](images/section_lift.svg)
"""
_OTHERS = """### Every other coefficient

Every other coefficient that a study found, with what it was found from.

{others}"""


def fitted_text() -> str:
    """What is fitted to propellers and sections."""
    return _TEXT.format(
        propellers=table(
            ("Blades", "Error of", "Unit", "rms", "Worst size", "Spread used, one sigma"), left_out_rows()
        ),
        sizes=_sizes_sentence(),
        sections=table(
            ("What", "Is", "Reynolds number", "Value", "Low", "High", "Runs", "Readings"), _sections()
        ),
    )


def others_text() -> str:
    """What is fitted to anything else."""
    head = ("Table", "Value", "Low", "High", "Unit", "From", "Method", "Source")
    return _OTHERS.format(others=table(head, _others()))


def left_out_rows() -> Iterator[tuple[str, ...]]:
    """Blades, error, unit, rms, worst size and spread used, of every packaged family."""
    for blades in ("folding", "fixed"):
        count = len({size["key"] for size in sizes() if size["folding"] == (blades == "folding")})
        for band, make in (("known_family", "make known"), ("unknown_family", "make unknown")):
            found = coefficients(f"propeller_{blades}")["band"][band]
            for key, spread, what, unit in _ERRORS:
                sigma = found[spread]
                error = found[key]
                name = f"{blades}, {make}, {count} sizes"
                yield name, what, unit, f"{error['rms']:.3f}", f"{error['worst']:.3f}", f"{sigma:.3f}"


def sizes() -> list[dict[str, Any]]:
    """The packaged propellers that were measured."""
    found: list[dict[str, Any]] = coefficients("propeller_sizes")["size"]
    return found


def _sizes_sentence() -> str:
    thrust, power = ([size["useful_rms"][side] for size in sizes()] for side in (0, 1))
    beyond = sorted(size["key"] for size in sizes() if size["useful_rms"][0] > 0.02)
    dropped, rows = (
        sum(size["rows_dropped"][0] for size in sizes()),
        sum(size["rows"] for size in sizes()),
    )
    middle = (sorted(one)[len(one) // 2] for one in (thrust, power))
    medians = " and ".join(f"{100.0 * one:.1f} %" for one in middle)
    return (
        f"{len(thrust)} sizes, {rows} rows, of which {dropped} were set aside as far off the rest. "
        f"Median rms of thrust and power {medians}; {len(beyond)} sizes miss 2 % of thrust: "
        f"{', '.join(beyond)}."
    )


def _sections() -> Iterator[tuple[object, ...]]:
    table = coefficients("section_bias")
    for key, what, kind in _BIASES:
        for row in table[key]:
            reynolds = f"{row['reynolds']:,.0f}".replace(",", " ") if len(table[key]) > 1 else "all"
            numbers = (f"{row[name]:.3f}" for name in ("value", "low", "high"))
            yield what, kind, reynolds, *numbers, row["runs"], row["points"]


def _others() -> Iterator[tuple[object, ...]]:
    for entry in sorted(packaged("coefficients").iterdir(), key=lambda entry: entry.name):
        name = entry.name.removesuffix(".toml")
        if name.startswith(("propeller", "section")):
            continue
        for key, row in coefficients(name).items():
            if not (isinstance(row, dict) and row.get("study")):
                continue
            source = f"{row['source']}; [{row['study']}](../{row['study']})"
            numbers = [_short(row.get(side)) for side in ("value", "low", "high")]
            yield (
                f"`{name}` {key}",
                *numbers,
                row["unit"],
                row["where"],
                row["method"],
                source,
            )


def _short(value: object) -> str:
    if isinstance(value, list):
        return f"{len(value)} nodes"
    return "-" if value is None else f"{value:.4g}"
