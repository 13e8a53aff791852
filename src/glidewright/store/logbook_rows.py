"""Flights and charges as rows of the logbook's tables, and flights from their rows."""

from collections.abc import Mapping, Sequence
from typing import Any

from glidewright.base.figure import Figure
from glidewright.domain.flight_reading import LaunchReading, not_recorded
from glidewright.domain.logbook import Flight, PackCharge, SetUp, Weather

_FLIGHT_FIGURES = ("scale", "still_sink", "glide_airspeed")
_FLIGHT_TIME = "flight_time"
_GIVEN = {"mass": "mass_kg", "air_temperature": "temperature_K", "headwind": "headwind_m_s"}
_LAUNCH_FIGURES = tuple(
    name for name, info in LaunchReading.model_fields.items() if info.annotation is Figure
)
_LAUNCH_PLAIN = ("number", "motor_sign", "is_restart")
_PARTS = ("motor", "controller", "pack", "propeller")
_PLAIN = (
    "source_sha256", "part", "source_name", "format", "date", "start_utc", "invented", "is_charged", "count",
    "window_s", "landing_m",
)  # fmt: skip


def flight_row(flight: Flight) -> dict[str, Any]:
    """A flight as a row of ``FLIGHTS``, without model and note."""
    row = {name: getattr(flight, name) for name in _PLAIN}
    return row | {part: getattr(flight.set_up, part) for part in _PARTS}


def launch_row(launch: LaunchReading) -> dict[str, Any]:
    """A launch as a row of ``LAUNCHES``, without its flight."""
    return {name: getattr(launch, name) for name in _LAUNCH_PLAIN}


def figure_rows(flight_id: int, flight: Flight) -> list[dict[str, Any]]:
    """The figures of a flight as a whole, and what was given for it, as rows of ``FIGURES``."""
    rows = [_figure_row(flight_id, None, name, getattr(flight, name)) for name in _FLIGHT_FIGURES]
    for name, field in _GIVEN.items():
        given = getattr(flight.set_up if name == "mass" else flight.weather, field)
        if given is not None:
            stated = {"flight_id": flight_id, "launch_id": None, "name": name, "unit": "", "shown": ""}
            rows.append(stated | given.model_dump())
    return rows


def launch_figure_rows(
    flight_id: int, launch_id: int, launch: LaunchReading, flight_time: Figure
) -> list[dict[str, Any]]:
    """The figures of a launch, with the flight time behind it, as rows of ``FIGURES``."""
    rows = [_figure_row(flight_id, launch_id, name, getattr(launch, name)) for name in _LAUNCH_FIGURES]
    return [*rows, _figure_row(flight_id, launch_id, _FLIGHT_TIME, flight_time)]


def _figure_row(flight_id: int, launch_id: int | None, name: str, figure: Figure) -> dict[str, Any]:
    return {"flight_id": flight_id, "launch_id": launch_id, "name": name, **figure.model_dump()}


def charge_row(model: str, number: int, charge: PackCharge) -> dict[str, Any]:
    """A charge as a row of ``CHARGES``."""
    fields = ("put_back_As", "resting_before_V", "resting_after_V", "resistance_ohm", "temperature_K")
    row: dict[str, Any] = {"model": model, "number": number, "note": charge.note}
    row |= {"pack": charge.pack, "date": charge.date}
    for name in fields:
        given = getattr(charge, name)
        row[name] = None if given is None else given.value
    return row


def flight_of(
    row: Mapping[str, Any], launches: Sequence[Mapping[str, Any]], figures: Sequence[Mapping[str, Any]]
) -> Flight:
    """A flight from its row and, among those of all flights, the rows of its launches and figures.

    Raises ValidationError, LookupError or TypeError for rows that hold no flight.
    """
    number = row["id"]
    own = [one for one in figures if one["flight_id"] == number]
    of_flight = {one["name"]: one for one in own if one["launch_id"] is None}
    made, times = [], []
    for launch in sorted((one for one in launches if one["flight_id"] == number), key=lambda o: o["number"]):
        known = {one["name"]: _figure_of(one) for one in own if one["launch_id"] == launch["id"]}
        times.append(known.pop(_FLIGHT_TIME, not_recorded("s", "s")))
        plain = {name: launch[name] for name in _LAUNCH_PLAIN}
        made.append(LaunchReading.model_validate(plain | known))
    given = {field: _given_of(of_flight[name]) for name, field in _GIVEN.items() if name in of_flight}
    mass = given.pop("mass_kg", None)
    return Flight.model_validate(
        {name: row[name] for name in _PLAIN}
        | {name: _figure_of(of_flight[name]) for name in _FLIGHT_FIGURES if name in of_flight}
        | {
            "set_up": SetUp.model_validate({part: row[part] for part in _PARTS} | {"mass_kg": mass}),
            "weather": Weather.model_validate(given),
            "launches": tuple(made),
            "flight_times": tuple(times),
        }
    )


def _figure_of(row: Mapping[str, Any]) -> Figure:
    return Figure.model_validate({name: row[name] for name in Figure.model_fields})


def _given_of(row: Mapping[str, Any]) -> dict[str, Any]:
    return {name: row[name] for name in ("value", "low", "high", "grade", "because")}
