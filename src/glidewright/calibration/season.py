"""The flights of a model made ready: what each log shows, how sure, and the state of its pack."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure
from glidewright.data import coefficient, coefficients
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.flight_reading import LaunchReading
from glidewright.domain.logbook import Flight
from glidewright.domain.model import Model
from glidewright.forecast.spread import Z90, Input, from_field

from .craft import Craft, craft_of
from .flown import COLUMN, OBSERVABLES, Flown, after_launch, sigma_of, weather_inputs
from .pack_state import MOTOR, PACK, rested
from .scores import Basis, Score, of_input, part_kind

Array = NDArray[np.float64]

_LAUNCH_FIGURES = {
    "height_at_stop_m": "height_at_stop",
    "zoom_m": "zoom_gain",
    "mean_current_A": "mean_current",
    "mean_voltage_V": "mean_voltage",
    "lowest_voltage_V": "lowest_voltage",
    "resting_voltage_V": "resting_voltage",
    "motor_revs_per_s": "mean_motor_speed",
    "climb_airspeed_m_s": "mean_airspeed",
}
_LEAST_NOISE = 0.2  # share of a meter's lasting error that a single reading misses by at least
_NEW_DAY = "undated"
_REST_AT_LEAST_s = 1.0


def practice(name: str) -> float:
    """One number of the table of flying."""
    return coefficient("flying", name)


def meter_sigma(meter: str) -> float:
    """Lasting relative error of a meter in the model, one standard deviation."""
    return float(np.log1p(float(coefficients("grades")[meter]["measured"]))) / Z90


@dataclass(frozen=True)
class Season:
    """All launches and glides of some flights, in order of time.

    crafts: the model as it flew, once for each set-up; flown: launches and glides.
    """

    model: Model
    rule: ClassLimits | None
    crafts: tuple[Craft, ...]
    flown: tuple[Flown, ...]

    @property
    def flights(self) -> tuple[Flight, ...]:
        """The flights, each once, in order."""
        return tuple({id(one.flight): one.flight for one in self.flown}.values())

    def of_flight(self, flight: Flight) -> list[int]:
        """Places of what one flight holds."""
        return [place for place, one in enumerate(self.flown) if one.flight is flight]

    def inputs_of(self, one: Flown) -> dict[str, list[tuple[Score, float]]]:
        """The scores and weights of every input that one launch may depend on, and of its meters."""
        craft = self.crafts[one.craft]
        names = [n for n in craft.names if n not in one.inputs]
        names += [name for name, entry in one.inputs.items() if not entry.is_exact]
        found = {name: of_input(name, _part_of(craft, name), one.day, one.key) for name in names}
        shown = {OBSERVABLES[list(OBSERVABLES)[place]].meter for place in one.observed} - {""}
        return found | {f"meter.{meter}": [(Score(f"meter.{meter}"), 1.0)] for meter in sorted(shown)}

    def masses_of(self, one: Flown) -> dict[str, Score]:
        """The scores that the mass of one launch depends on."""
        craft = self.crafts[one.craft]
        when = one.flight.source_sha256 if craft.mass is not None else ""
        return {name: Score(name, "", when) for name in craft.mass_names}

    def basis(self, places: Sequence[int]) -> Basis:
        """Scores that last or hold for a day, of some launches."""
        found: list[Score] = []
        for place in places:
            one = self.flown[place]
            for parts in self.inputs_of(one).values():
                found += [score for score, _ in parts if score.when != one.key]
            found += self.masses_of(one).values()
        return Basis(sorted(set(found)))

    def at(self, centre: Mapping[Score, float]) -> "Season":
        """The same with airspeeds and states of the pack found anew for the most likely scores."""
        crafts = []
        for number, craft in enumerate(self.crafts):
            first = next(one for one in self.flown if one.craft == number)
            local = local_scores(self, first, centre)
            mass = float(craft.mass_kg(masses(self, first, centre), 1)[0])
            crafts.append(craft.with_orders_at({n: float(z[0]) for n, z in local.items()}, mass, self.rule))
        season = replace(self, crafts=tuple(crafts))
        return replace(season, flown=_with_states(season, centre))


def _part_of(craft: Craft, name: str) -> str:
    kind = part_kind(name)
    return craft.part_ids.get(kind.kind, "") if kind is not None else ""


def local_scores(season: Season, one: Flown, centre: Mapping[Score, float]) -> dict[str, Array]:
    """Scores of the inputs of one launch at the most likely lasting and daily ones, shape (1,)."""
    return {
        name: np.array([sum(weight * centre.get(score, 0.0) for score, weight in parts)])
        for name, parts in season.inputs_of(one).items()
    }


def masses(season: Season, one: Flown, centre: Mapping[Score, float]) -> dict[str, Array]:
    """Scores of the masses of one launch, shape (1,)."""
    return {name: np.array([centre.get(score, 0.0)]) for name, score in season.masses_of(one).items()}


def season_of(model: Model, rule: ClassLimits | None, flights: Sequence[Flight]) -> Season:
    """The flights in order of time, with the set-up of each and the state of its pack before every launch.

    Raises InputError for a part that the drawer does not hold or a mass that nobody knows.
    """
    crafts: list[Craft] = []
    known: dict[tuple[object, ...], int] = {}
    flown: list[Flown] = []
    for flight in sorted(flights, key=lambda one: (one.date or _NEW_DAY, one.start_utc, one.part)):
        mass = None
        if flight.set_up.mass_kg is not None:
            mass = from_field(flight.set_up, "mass_kg", "mass.stated", "mass as weighed for the flight")
        ids = (flight.set_up.motor, flight.set_up.controller, flight.set_up.pack, flight.set_up.propeller)
        key = (*ids, mass)
        if key not in known:
            known[key] = len(crafts)
            crafts.append(craft_of(model, flight, rule, mass))
        flown += _of_flight(model, flight, known[key])
    season = Season(model, rule, tuple(crafts), tuple(flown))
    return replace(season, flown=_with_states(season, {}))


def _of_flight(model: Model, flight: Flight, craft: int) -> list[Flown]:
    day = flight.date or flight.source_sha256
    inputs = weather_inputs(model, flight)
    found = []
    for launch in flight.launches or (None,):
        number = launch.number if launch is not None else 0
        last = launch is None or launch is flight.launches[-1]
        shown = [] if launch is None else _launch_observations(launch)
        if last:
            shown += _glide_observations(flight)
        if not shown:
            continue
        places, read, sigma = (np.array(column) for column in zip(*shown, strict=True))
        run = launch.motor_run.value if launch is not None else 0.0
        key = f"{flight.source_sha256}:{flight.part}:{number}"
        start = np.zeros(4)
        found.append(
            Flown(
                flight, launch, craft, day, key, inputs, run or 0.0, start,
                places.astype(np.int64), read.astype(np.float64), sigma.astype(np.float64),
            )
        )  # fmt: skip
    return found


def _launch_observations(launch: LaunchReading) -> list[tuple[int, float, float]]:
    run_s = launch.motor_run.value
    if run_s is None:
        return []
    found = []
    for name, field in _LAUNCH_FIGURES.items():
        figure: Figure = getattr(launch, field)
        if figure.value is None or (OBSERVABLES[name].is_log and figure.value <= 0.0):
            continue
        found.append((COLUMN[name], _read(name, figure), _launch_sigma(name, figure, run_s)))
    return found


def _read(name: str, figure: Figure) -> float:
    assert figure.value is not None  # the caller has seen to it
    return float(np.log(figure.value)) if OBSERVABLES[name].is_log else figure.value


def _launch_sigma(name: str, figure: Figure, run_s: float) -> float:
    sigma = sigma_of(figure, is_log=OBSERVABLES[name].is_log)
    if name == "height_at_stop_m":
        assert figure.value is not None  # the caller has seen to it
        return float(
            np.sqrt(
                sigma**2
                + (practice("air_in_climb") * run_s) ** 2
                + (practice("climb_model") * figure.value) ** 2
            )
        )
    if name == "zoom_m":
        return float(np.hypot(sigma, practice("zoom_model")))
    lasting = meter_sigma(OBSERVABLES[name].meter)
    noise = np.sqrt(max(sigma**2 - lasting**2, (_LEAST_NOISE * lasting) ** 2))
    return float(np.hypot(noise, practice("drive_model")))


def _glide_observations(flight: Flight) -> list[tuple[int, float, float]]:
    sink, scale = flight.still_sink, flight.scale
    if sink.value is None or scale.value is None or sink.value <= 0.0:
        return []
    true = sink.value * scale.value
    sigma = np.sqrt(
        (sigma_of(sink, is_log=False) * scale.value) ** 2
        + practice("air_in_glide") ** 2
        + (practice("glide_model") * true) ** 2
    )
    found = [(COLUMN["sink_m_s"], true, float(sigma))]
    speed = flight.glide_airspeed
    if speed.value is not None and speed.value > 0.0:
        name = "glide_airspeed_m_s"
        found.append((COLUMN[name], _read(name, speed), _launch_sigma(name, speed, 0.0)))
    return found


def _with_states(season: Season, centre: Mapping[Score, float]) -> tuple[Flown, ...]:
    """Every launch with the state of pack and motor before it, flown in order at the most likely scores.

    A pack is full on a new day and when somebody said that it was charged; else it goes on from the launch
    before. The charge that a log counted goes before the computed one.
    """
    found = []
    last: dict[str, tuple[Flown, Array, Array]] = {}
    for one in season.flown:
        craft = season.crafts[one.craft]
        local, mass = local_scores(season, one, centre), craft.mass_kg(masses(season, one, centre), 1)
        air = _air_K({**craft.setup.inputs, **one.inputs}, local)
        pack = craft.part_ids.get("pack", "")
        before = last.get(pack)
        if before is None or not _goes_on(before[0], one):
            capacity = craft.setup.inputs["pack.capacity"].draws(local.get("pack.capacity", np.zeros(1)))
            full = 1.0 - season.model.launch.charge_at_start.value
            start = np.array([float(capacity[0]) * full, 0.0, 0.0, 0.0])
        else:
            rest_s = _rest_s(season, before[0], one)
            start = rested(before[1], before[2], np.array([air]), np.array([rest_s]))[0]
            start[[MOTOR, PACK]] -= air
        one = replace(one, start=start)  # noqa: PLW2901 - the launch with its state
        found.append(one)
        if one.launch is None:
            continue
        inputs, ends = after_launch(craft, one, local, mass)
        used = _charge_used_As(one.launch)
        if used is not None:
            ends[0, 0] = start[0] + used
        if not np.all(np.isfinite(ends)):
            ends = inputs.start.copy()
        last[pack] = (one, inputs.power, ends)
    return tuple(found)


def with_next(season: Season, place: int, centre: Mapping[Score, float]) -> Flown:
    """A launch that is still to come after one, from the same charge and after the usual rest."""
    after = season.flown[place]
    none = np.zeros(0)
    blank = replace(
        after, launch=None, key=f"{after.key}:next", observed=none.astype(np.int64), read=none, sigma=none
    )
    return _with_states(replace(season, flown=(*season.flown[: place + 1], blank)), centre)[-1]


def _goes_on(before: Flown, one: Flown) -> bool:
    """Whether a launch uses the charge that the one before it left."""
    if before.flight is one.flight:
        return True
    if one.flight.is_charged is not None:
        return not one.flight.is_charged
    return before.day == one.day


def _rest_s(season: Season, before: Flown, one: Flown) -> float:
    if before.flight is one.flight and before.launch is not None and one.launch is not None:
        stop, start = before.launch.motor_stop.value, one.launch.motor_start.value
        if stop is not None and start is not None:
            return max(start - stop, _REST_AT_LEAST_s)
    return season.model.launch.rest_s.value


def _air_K(inputs: Mapping[str, Input], local: Mapping[str, Array]) -> float:
    score = local.get("field.temperature", np.zeros(1))
    return float(inputs["field.temperature"].draws(score)[0])


def _charge_used_As(launch: LaunchReading) -> float | None:
    """Charge of the motor run that the log counted, or nothing."""
    if launch.charge.value is not None:
        return launch.charge.value
    if launch.mean_current.value is not None and launch.motor_run.value is not None:
        return launch.mean_current.value * launch.motor_run.value
    return None
