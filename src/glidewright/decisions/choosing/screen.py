"""The screen: very many builds at the middle of every input, each flown once and then through one charge.

Rows of the kernels are put together from the columns that each choice brings (axes), flown in one
batch, and held against every limit that can be judged so. A build that breaks a limit at the middle keeps
it in about half of the draws at best, so it cannot keep it with any chance above that.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glidewright.base.wording import exact_text
from glidewright.decisions.balancing.places import MOST_BALLAST_KG
from glidewright.decisions.choosing.flight import Flight, flown_limits
from glidewright.decisions.choosing.frame import Frame
from glidewright.decisions.choosing.goals import Need
from glidewright.decisions.choosing.loads import LOADS, least_margin, used_shares
from glidewright.domain.class_limits import ClassLimits, Limit
from glidewright.domain.model import Model
from glidewright.forecast.flights import FEWEST_FLOWN, MOST_FLOWN
from glidewright.models.launch import layout as ll
from glidewright.models.launch.flights import repeated_launches
from glidewright.models.launch.series import last_useful_launch
from glidewright.models.power import layout as pl
from glidewright.rules.drive import DRIVE_TITLE
from glidewright.rules.measures import MEASURES
from glidewright.rules.words import bounds_words

Array = NDArray[np.float64]
Rows = NDArray[np.intp]

HEATS = ("motor_temperature", "pack_temperature")
_ROUNDING = 1e-9
_STEP = 2  # launches of one charge are flown in whole numbers of these
_BATCH = 1024  # rows flown at once: their polars alone take 3 kB each
_FAR = 9.0  # how much too much ballast counts as, where none would do


@dataclass(frozen=True)
class FlownTest:
    """A limit that only balance and launch settle: its name, title and words."""

    name: str
    title: str
    limit: str


@dataclass(frozen=True)
class Unit:
    """Some builds of one frame: their numbers, and their options by axis."""

    frame: Frame
    flat: Rows
    rows: tuple[Rows, ...]


@dataclass(frozen=True)
class Screened:
    """What the screen of some builds found.

    flat: their numbers; broke: place of the first test that each breaks, -1 for none; missed: by how much
    they miss all tests together, relative. The rest is of those that break none, in their order: values by
    column of the goals.
    """

    flat: Rows
    broke: Rows
    missed: Array
    motor_place: Rows
    pack_place: Rows
    nose_kg: Array
    tail_kg: Array
    values: Mapping[str, Array]


def flown_tests(rule: ClassLimits | None, model: Model, needs: tuple[Need, ...]) -> tuple[FlownTest, ...]:
    """All tests that the screen makes, in their order: balance, drive, loads, class, field, heat, needs."""
    heats = [load for load in LOADS if load.name in HEATS]
    return (
        FlownTest(
            "balance",
            "Centre of gravity reachable",
            f"with at most {exact_text(MOST_BALLAST_KG, 'g')} of ballast at an end",
        ),
        FlownTest("drive", DRIVE_TITLE, "above half of its free speed"),
        *(FlownTest(load.name, load.title, "as the seller states") for load in LOADS),
        *(
            FlownTest(limit.measure, MEASURES[limit.measure].title, _words(limit))
            for limit in flown_limits(rule)
        ),
        *_ceiling_test(model),
        *(FlownTest(load.name, load.title, "as the seller states") for load in heats),
        *(FlownTest(f"need {need.words}", f"Need: {need.words}", need.words) for need in needs),
    )


def _words(limit: Limit) -> str:
    shown = MEASURES[limit.measure].shown
    return bounds_words(limit.at_least, limit.at_most, shown, limit.tolerance)


def _ceiling_test(model: Model) -> Iterator[FlownTest]:
    ceiling = model.field.ceiling_m
    if ceiling is not None:
        words = f"at most {exact_text(ceiling.value, 'm')}"
        yield FlownTest("height_ceiling", "Height ceiling over ground", words)


def screen(unit: Unit) -> Screened:
    """Balance, fly and judge some builds at the middle of every input."""
    return _joined([_screen(unit, first, first + _BATCH) for first in range(0, unit.flat.size, _BATCH)])


def _joined(parts: list[Screened]) -> Screened:
    def one(name: str) -> Array:
        joined: Array = np.concatenate([getattr(part, name) for part in parts])
        return joined

    names = parts[0].values
    return Screened(
        flat=one("flat").astype(np.intp),
        broke=one("broke").astype(np.intp),
        missed=one("missed"),
        motor_place=one("motor_place").astype(np.intp),
        pack_place=one("pack_place").astype(np.intp),
        nose_kg=one("nose_kg"),
        tail_kg=one("tail_kg"),
        values={name: np.concatenate([part.values[name] for part in parts]) for name in names},
    )


class _Judge:
    """Which test each of some builds breaks first, and by how much it misses all of them together."""

    def __init__(self, count: int) -> None:
        self.broke = np.full(count, -1)
        self.missed = np.zeros(count)
        self.misses: list[dict[int, float]] = [{} for _ in range(count)] if count == 1 else []
        self._test = 0

    @property
    def alive(self) -> Rows:
        """What has broken nothing yet."""
        return np.flatnonzero(self.broke < 0)

    def note(self, rows: Rows, excess: Array) -> None:
        """One more test, of some builds: above zero is broken, not a number is not judged."""
        bad = excess > 0.0
        broken = rows[bad]
        first = broken[self.broke[broken] < 0]
        self.broke[first] = self._test
        self.missed[broken] += excess[bad]
        if self.misses and broken.size:
            self.misses[0][self._test] = float(excess[bad][0])
        self._test += 1


def _screen(unit: Unit, first: int, last: int, judge: _Judge | None = None) -> Screened:
    frame = unit.frame
    flat, rows = unit.flat[first:last], tuple(axis[first:last] for axis in unit.rows)
    judge = judge or _Judge(flat.size)
    mass, moment = (column[:, 0] for column in frame.mass_and_moment(rows))
    balanced = frame.places.balanced(rows, mass, moment)
    reached = balanced.is_reached
    over = np.minimum(balanced.missing_kg / MOST_BALLAST_KG - 1.0, _FAR)
    judge.note(np.arange(flat.size), np.where(reached, 0.0, over))
    mass = mass + np.where(reached, balanced.nose_kg + balanced.tail_kg, 0.0)
    flown = judge.alive
    flight = Flight(frame, tuple(row[flown] for row in rows), mass[flown, None])
    for excess in flight.tests():
        judge.note(flown, excess)
    left = np.flatnonzero(judge.broke[flown] < 0)
    values, excesses = _whole_charge(flight, left)
    for excess in excesses:
        judge.note(flown[left], excess)
    kept = judge.alive
    picked = np.searchsorted(flown[left], kept)
    return Screened(
        flat=flat,
        broke=judge.broke,
        missed=judge.missed,
        motor_place=balanced.motor[kept],
        pack_place=balanced.pack[kept],
        nose_kg=balanced.nose_kg[kept],
        tail_kg=balanced.tail_kg[kept],
        values={name: column[picked] for name, column in values.items()},
    )


def misses_of(unit: Unit) -> dict[int, float]:
    """Every test that one build breaks, by its place, with the excess."""
    judge = _Judge(1)
    _screen(unit, 0, 1, judge)
    return judge.misses[0]


def _whole_charge(flight: Flight, left: Rows) -> tuple[dict[str, Array], Iterator[Array]]:
    """Goals of the builds that are left, and the excess of heat over all launches and of every need."""
    frame = flight.frame
    rows = tuple(row[left] for row in flight.rows)
    values = {name: column[left] for name, column in flight.values.items()}
    values |= _many(frame, _picked(flight.inputs, left), values["charge_per_launch_As"])
    limits = {name: column[left] for name, column in flight.limits.items()}
    used = used_shares(values, limits, flight.hold_s[left], flight.air_K[left])
    margins = np.stack([np.where(np.isfinite(share), share, -np.inf) for share in used.values()])
    goals = {
        "height_m": values["height_true_m"],
        "launches": values["launches"],
        "mass_kg": values["mass_kg"],
        "margin": least_margin(used),
        "margin_by": margins.argmax(axis=0).astype(np.float64),
        "climb_speed_m_s": flight.speed_m_s[left],
        **frame.terms(rows),
    }

    def excesses() -> Iterator[Array]:
        for name in HEATS:
            yield used[name] - 1.0 - _ROUNDING
        for need in frame.needs:
            yield need.excess(goals[need.goal.column]) - _ROUNDING

    return goals, excesses()


def _picked(inputs: ll.LaunchInputs, rows: Rows) -> ll.LaunchInputs:
    power, curves, tables, polar, launch, start = inputs
    return ll.LaunchInputs(power[rows], curves, tables, polar[rows], launch[rows], start[rows])


def _many(frame: Frame, inputs: ll.LaunchInputs, charge_As: Array) -> dict[str, Array]:
    """Useful launches of one charge, and the highest temperatures over them, by the names of a prediction.

    Each build flies one launch more than its charge is reckoned to give, but no more than a few at first;
    one that is still useful then flies twice as many, as often as needed.
    """
    plan = frame.model.launch
    capacity = inputs.power[:, pl.PACK_CAPACITY_AS]
    each = charge_As + inputs.power[:, pl.SERVO_CURRENT_A] * plan.rest_s.value
    usable = (1.0 - plan.reserve.value) * capacity - inputs.start[:, 0]
    reckoned = np.where(each > 0.0, usable / np.where(each > 0.0, each, 1.0), 0.0)
    flown = _STEP * np.ceil((np.clip(reckoned, 0.0, FEWEST_FLOWN) + 1.0) / _STEP)
    flown = np.minimum(flown, FEWEST_FLOWN).astype(np.intp)
    found = {name: np.zeros(capacity.size) for name in ("launches", *_LAST)}
    left = np.arange(capacity.size)
    while left.size:
        for count in np.unique(flown[left]):
            own = left[flown[left] == count]
            outputs = repeated_launches(_picked(inputs, own), int(count))
            useful = last_useful_launch(
                outputs,
                capacity[own],
                reserve=plan.reserve.value,
                climb_share=plan.sluggish.value,
                cell_voltage_V=plan.lowest_cell_V.value,
            ).launches
            found["launches"][own] = useful
            upto = np.arange(count)[None, :] <= np.maximum(useful - 1, 0)[:, None]
            for name, place in _LAST.items():
                found[name][own] = np.nanmax(np.where(upto, outputs[:, :, place], -np.inf), axis=1)
        left = left[(found["launches"][left] >= flown[left]) & (flown[left] < MOST_FLOWN)]
        flown[left] = np.minimum(2 * flown[left], MOST_FLOWN)
    return found


_LAST = {
    "motor_temperature_last_K": ll.HIGHEST_MOTOR_TEMPERATURE,
    "pack_temperature_last_K": ll.HIGHEST_PACK_TEMPERATURE,
}
