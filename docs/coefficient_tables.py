"""Tables for those files of coefficients that hold curves or rows of their own, not one number a name."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from statistics import median
from typing import Any

from marked import table

Parsed = Mapping[str, Any]


def _family(parsed: Parsed) -> str:
    """A family model of propellers: where it was fitted, its terms, its spread, the factors of makes."""
    model, fitted = parsed["model"], parsed["fitted"]
    facts = [
        ("fitted pitch over diameter", "1", _ends(fitted["pitch_ratio"])),
        ("fitted diameter", "m", _ends(fitted["diameter_m"])),
        ("centre, pitch over diameter", "1", f"{parsed['centre']['pitch_ratio']:g}"),
        ("centre, diameter", "m", f"{parsed['centre']['diameter_m']:g}"),
        ("nodes of x = J / J0, and their step", "1", f"{parsed['nodes']}, {model['x_step']:g}"),
        ("reference revolutions", "1/s", f"{model['revs_ref_per_s']:.4g}"),
        (
            "revolutions of the coefficients",
            "1/s",
            _ends([model["revs_low_per_s"], model["revs_high_per_s"]]),
        ),
        ("least power at zero thrust, share of the greatest", "1", f"{model['least_power_share']:g}"),
        ("growth of the spread for each width outside", "1", f"{model['outside_widening']:g}"),
        (
            "terms of J0; p: pitch over diameter from the centre",
            "1",
            ", ".join(model["zero_thrust_terms"]),
        ),
        ("values of these", "1", ", ".join(f"{one:g}" for one in model["zero_thrust"])),
        (
            "terms of each node; u: ln(diameter / centre)",
            "1",
            ", ".join(model["shape_terms"]),
        ),
    ]
    for band, words in (("known_family", "make known"), ("unknown_family", "make unknown")):
        row = parsed["band"][band]
        sigmas = (f"{row[name]:.3f}" for name in ("thrust_sigma", "power_sigma", "zero_thrust_sigma"))
        facts.append((f"sigma of thrust, power (shares) and J0, {words}", "1", ", ".join(sigmas)))
    makes = [
        (f"`{one['key']}`", *(f"{one[name]:.3f}" for name in ("thrust_factor", "power_factor")),
         f"{one['zero_thrust_shift']:+.3f}")
        for one in parsed["family"]
    ]  # fmt: skip
    numbers = ("Thrust factor", "Power factor", "Shift of J0")
    return "\n".join(
        (
            f"{_origin(parsed)}\n",
            table(("What", "Unit", "Value"), facts),
            table(("Make", *numbers), makes),
        )
    )


def _sizes(parsed: Parsed) -> str:
    """Measured propellers, one row a make."""
    of_make: dict[str, list[Parsed]] = defaultdict(list)
    for size in parsed["size"]:
        of_make[size["family"]].append(size)
    rows = [_make_row(make, sizes) for make, sizes in sorted(of_make.items())]
    head = ["Make", "Blades", "Sizes", "Diameter, cm", "Pitch over diameter", "Revolutions a minute", "Rows"]
    head += ["rms of thrust, median and worst, %", "rms of power, median and worst, %", "sigma of thrust, %"]
    refused = parsed["refused_outside"]
    return "\n".join(
        (
            f"{_origin(parsed)}\n",
            table(head, rows),
            f"Refused outside of {_ends(refused['diameter_m'])} m and a pitch over diameter of "
            f"{_ends(refused['pitch_ratio'])}: common practice, nobody flies such a one on a light model.",
        )
    )


def _make_row(make: str, sizes: Sequence[Parsed]) -> tuple[object, ...]:
    errors = ([100.0 * size["useful_rms"][side] for size in sizes] for side in (0, 1))
    revs = [60.0 * size[side] for size in sizes for side in ("revs_low_per_s", "revs_high_per_s")]
    return (
        f"`{make}`",
        "folding" if sizes[0]["folding"] else "fixed",
        len(sizes),
        _ends([100.0 * size["diameter_m"] for size in sizes], ".3g"),
        _ends([size["pitch_m"] / size["diameter_m"] for size in sizes], ".2f"),
        _ends(revs, ".0f"),
        sum(size["rows"] for size in sizes),
        *(f"{median(error):.1f}, {max(error):.1f}" for error in errors),
        _ends([100.0 * size["thrust_sigma"] for size in sizes], ".1f"),
    )


def _grades(parsed: Parsed) -> str:
    """The default spreads stand in docs/files.md."""
    count = sum(isinstance(row, Mapping) for row in parsed.values())
    place = "../files.md#where-a-number-comes-from-the-grade"
    return f"{count} quantities; the table stands in [files.md]({place})."


def _ends(values: Iterable[float], form: str = ".4g") -> str:
    kept = list(values)
    low, high = format(min(kept), form), format(max(kept), form)
    return low if low == high else f"{low} to {high}"


def _origin(parsed: Parsed) -> str:
    source, study = parsed["source"], parsed["study"]
    cited = f"{source['authors']}, {source['title']}, {source['where']}; licence: {source['licence']}"
    return f"Source: {cited}. Method: {parsed['method']}; [{study}](../../{study})."


SPECIAL: Mapping[str, Callable[[Parsed], str]] = {
    "propeller_folding": _family,
    "propeller_fixed": _family,
    "propeller_sizes": _sizes,
    "grades": _grades,
}
