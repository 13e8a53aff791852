"""How well flights are read: 500 flights of the launch model, recorded with the noise of data sheets.

    python studies/segmentation.py [FLIGHTS]      measure, print, keep in docs/studies/, write the table of
                                                  docs/flight_logs.md

The flights and the instruments are those of ``synthetic_flights.py``; the truth is known. The same seeds give
the same table. The scatter of the motor stop from the height alone beyond its own noise is the coefficient
``kink_error`` of ``logs.toml``, and is printed at the end.
"""

import re
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

import stored
from glidewright.logs.pooled import pool_sink
from glidewright.logs.read_flight import read_flight
from synthetic_flights import Errors, Flight, errors_of, flights, instruments, recorded

PAPER = Path(__file__).resolve().parents[1] / "docs" / "flight_logs.md"
SEED = 20
WITHIN_s, WITHIN_m = 0.5, 0.5
_DRIVE = ("current_A", "voltage_V")
CASES: Mapping[str, Mapping[str, Any]] = {
    "10 Hz, with amps": {"channels": _DRIVE},
    "10 Hz, height alone": {},
    "5 Hz, height alone": {"samples_per_s": 5.0},
    "1 Hz, with amps": {"channels": _DRIVE, "samples_per_s": 1.0},
    "1 Hz, height alone": {"samples_per_s": 1.0},
    "10 Hz, readings in whole metres": {"channels": _DRIVE, "step_m": 1.0},
    "10 Hz, noise of 6.5 Pa": {"channels": _DRIVE, "noise_Pa": 6.5},
    "10 Hz, slipstream lifts the reading by 0.5 m": {"channels": _DRIVE, "slipstream_Pa": -6.0},
    "10 Hz, the same, height alone": {"slipstream_Pa": -6.0},
    "10 Hz, a tenth of the dynamic pressure in the bay": {"channels": _DRIVE, "speed_error": 0.1},
}
HEAD = (
    "Record",
    "Motor stop within 0.5 s",
    "95 % of stops within",
    "Launch height within 0.5 m",
    "95 % of heights within",
    "Height band holds the truth",
    "Lift found",
)


def measured(own: Sequence[Flight], case: Mapping[str, Any]) -> list[Errors]:
    """The errors of every flight in one case."""
    found = []
    for number, (flight, instrument) in enumerate(zip(own, instruments(len(own), SEED, **case), strict=True)):
        record = recorded(flight, instrument, number)
        reading = read_flight(
            record, temperature_K=flight.temperature_K, ground_pressure_Pa=flight.pressure_Pa
        )
        found.append(errors_of(flight, instrument, reading))
    return found


def figures(found: Sequence[Errors]) -> dict[str, float]:
    """The same row as numbers, shares and SI."""
    stop = np.array([abs(one.stop_s) for one in found])
    height = np.array([abs(one.height_m) for one in found])
    ends = [np.quantile(one[np.isfinite(one)], 0.95) for one in (stop, height)]
    numbers = {
        "stop_within": np.mean(stop <= WITHIN_s),
        "stop_95_s": ends[0],
        "height_within": np.mean(height <= WITHIN_m),
        "height_95_m": ends[1],
        "band_holds": np.mean([one.covered for one in found]),
        "lifts": sum(one.lifts for one in found),
        "lifts_found": sum(one.lifts_found for one in found),
    }
    return {name: round(float(value), 4) for name, value in numbers.items()}


def row(name: str, own: Mapping[str, float]) -> tuple[str, ...]:
    """A row of the table; a flight whose launch was not read counts as missed."""
    return (
        name,
        _share(own["stop_within"]),
        f"{own['stop_95_s']:.2f} s",
        _share(own["height_within"]),
        f"{own['height_95_m']:.2f} m",
        _share(own["band_holds"]),
        f"{own['lifts_found']:.0f} of {own['lifts']:.0f}",
    )


def _share(share: float) -> str:
    return f"{100.0 * share:.1f} %"


def other_figures(found: Sequence[Errors]) -> str:
    """Landing, sink, slipstream and motor start of one case, as text."""
    words = []
    for title, name, unit in (
        ("motor start", "start_s", "s"),
        ("touch", "landing_s", "s"),
        ("sink of one flight", "sink_m_s", "m/s"),
        ("slipstream step", "step_m", "m"),
    ):
        own = np.array([getattr(one, name) for one in found])
        own = own[np.isfinite(own)]
        if own.size:
            low, middle, high = np.quantile(own, (0.1, 0.5, 0.9))
            words.append(f"{title} {middle:+.2f} ({low:+.2f} to {high:+.2f}) {unit}")
    return "; ".join(words)


def pooled(own: Sequence[Flight], sizes: Sequence[int]) -> list[dict[str, float]]:
    """How far the sink of pools of flights is off; each flight scaled to the same model."""
    rng = np.random.default_rng(SEED)
    readings = []
    for number, (flight, instrument) in enumerate(zip(own, instruments(len(own), SEED), strict=True)):
        reading = read_flight(recorded(flight, instrument, number), temperature_K=flight.temperature_K)
        factor = 0.35 / flight.still_sink_m_s  # of flights of many models, as if all were of one
        glides = tuple(
            one.model_copy(update={"sink": one.sink.model_copy(update={"value": one.sink.value * factor})})
            for one in reading.glides
            if one.sink.value is not None
        )
        readings.append(reading.model_copy(update={"glides": glides}))
    found = []
    for size in sizes:
        pools = [
            pool_sink([readings[place] for place in rng.choice(len(readings), size)]) for _ in range(200)
        ]
        known = [one.sink for one in pools if one.sink.value is not None]
        off = np.array([one.value - 0.35 for one in known if one.value is not None])
        held = np.mean([(one.low or 0.0) <= 0.35 <= (one.high or 0.0) for one in known])
        within_m_s = round(float(np.quantile(np.abs(off), 0.8)), 4)
        found.append({"flights": size, "80_percent_within_m_s": within_m_s, "band_holds": float(held)})
    return found


def main() -> int:
    """Measure all cases, print them, write the table."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    own = flights(count, SEED)
    rows, numbers = [], {}
    for name, case in CASES.items():
        found = measured(own, case)
        numbers[name] = figures(found)
        rows.append(row(name, numbers[name]))
        print(" | ".join(rows[-1]))
        print("    ", other_figures(found))
        stops = np.array([one.stop_s for one in found])
        print(f"     stop {np.nanmean(stops):+.3f} s, standard deviation {np.nanstd(stops):.3f} s")
    pools = pooled(own[: min(count, 120)], (1, 3, 10, 30))
    print("sink of pooled flights:", *pools, sep="\n    ")
    found_whole = {"flights": count, "cases": numbers, "pooled_sink": pools}
    stored.keep("segmentation", "python studies/segmentation.py", found_whole, seed=SEED)
    lines = [HEAD, ("---",) * len(HEAD), *rows]
    table = "".join(f"| {' | '.join(line)} |\n" for line in lines)
    text = PAPER.read_text(encoding="utf-8")
    made = f"<!-- made: segmentation -->\n\n{count} flights.\n\n{table}\n<!-- end -->"
    PAPER.write_text(
        re.sub(r"<!-- made: segmentation -->.*?<!-- end -->", lambda _: made, text, flags=re.DOTALL),
        encoding="utf-8",
    )
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
