"""Inputs of the airframe, the field and the launch: what was stated, and typical values where it was not."""

from dataclasses import replace

from glidewright.base.fields import quantities
from glidewright.base.figure import Given
from glidewright.data import coefficients
from glidewright.domain.airframe import Airframe
from glidewright.domain.field import Field
from glidewright.domain.launch_plan import LaunchPlan
from glidewright.domain.model import Model
from glidewright.domain.parts import Altimeter
from glidewright.forecast.aero_inputs import STATED_DRAG, aero_inputs, ceiling_is_computed, drag_is_computed
from glidewright.forecast.air import air_of
from glidewright.forecast.missing import MissingValue
from glidewright.forecast.spread import Input, Kind, from_band, from_field, from_given
from glidewright.forecast.usual import usual

_POLAR: dict[str, tuple[str, Kind]] = {
    "drag_zero": ("drag of the airframe", "factor"),
    "span_efficiency": ("span efficiency", "factor"),
    "lift_least_drag": ("lift of least drag", "offset"),
    "lift_ceiling": ("highest lift coefficient", "offset"),
}
_GLIDES = "time a few straight glides in still air"
_SAMPLE_TIMER_S = Given(value=0.0, grade="typical", because="finger on a stick timer")
_LAUNCH = coefficients("launch")
_SAMPLE_DEVICE_S = usual("launch", "stop_by_device", "the device stops the motor itself")
_HEIGHT_ERROR_M: float = _LAUNCH["height_error"]["value"]
_BEST_SPEED = Given(value=1.0, grade="typical", because="the best speed, held by eye")


def typical(name: str) -> Given:
    """The packaged stand-in for an airframe value, grade ``typical``."""
    because = f"typical of light two-metre models: {coefficients('airframe_typical')[name]['valid']}"
    return usual("airframe_typical", name, because)


def airframe_inputs(airframe: Airframe, day: Field) -> tuple[list[Input], list[MissingValue]]:
    """Wing measures and polar; what is neither stated nor computed is typical and named as missing."""
    found = [
        from_field(airframe, "span_m", "airframe.span", "span", "measure the span"),
        from_field(airframe, "wing_area_m2", "airframe.wing_area", "wing area", "measure the chords"),
    ]
    if airframe.geometry is not None and airframe.geometry.spoiler is not None:
        name, title = "airframe.spoiler_setback", "setback of the spoiler"
        found.append(from_field(airframe.geometry.spoiler, "setback_m", name, title, "measure the setback"))
    found += aero_inputs(airframe, day)
    computed = set(STATED_DRAG) if drag_is_computed(airframe, day) else set()
    if ceiling_is_computed(airframe, day):
        computed.add("lift_ceiling")
    missing = []
    for field, (title, kind) in _POLAR.items():
        if field in computed:
            continue
        name = f"airframe.{field}"
        if getattr(airframe, field) is not None:
            found.append(from_field(airframe, field, name, title, _GLIDES))
            continue
        found.append(from_band(name, title, typical(field), kind, _GLIDES))
        missing.append(MissingValue("airframe", title, field, found[-1], "", _GLIDES))
    for row, title in (
        ("installation", "thrust left in front of the body"),
        ("folded_drag_area_m2", "drag of the folded blades"),
    ):
        name = f"airframe.{row.removesuffix('_m2')}"
        found.append(from_band(name, title, typical(row), "factor", _GLIDES))
    return found, missing


def field_inputs(field: Field) -> tuple[list[Input], list[MissingValue]]:
    """Wind and temperature of the day; pressure follows from elevation unless it is stated.

    A temperature that is not stated is guessed as that of the standard atmosphere, and named as missing.
    """
    found = [
        from_field(field, "headwind_m_s", "field.headwind", "head wind", "read the wind at the launch"),
        from_band("field.wind_exponent", "growth of wind with height", typical("wind_exponent"), "factor"),
    ]
    name, title, reading = "field.temperature", "air temperature", "read a thermometer"
    if field.temperature_K is not None:
        return [*found, from_field(field, "temperature_K", name, title, reading)], []
    meta = quantities(Field)["temperature_K"]
    because = "not stated, standard atmosphere at the elevation assumed"
    guess = Given(value=air_of(field).temperature_K, grade="guessed", because=because)
    entry = from_given(name, title, guess, meta.spread, reading)
    return [*found, entry], [MissingValue("field", title, meta.key, entry, meta.shown.symbol, reading)]


def launch_inputs(model: Model, *, limiter: Altimeter | None) -> list[Input]:
    """Throw, the hand that holds the speed, the timer, and the error of the height reading."""
    plan: LaunchPlan = model.launch
    timer = _SAMPLE_DEVICE_S if limiter is not None else _SAMPLE_TIMER_S
    found = [
        from_field(plan, "throw_speed_m_s", "launch.throw_speed", "throw"),
        _held(plan, "climb_speed_m_s", "launch.climb_speed", "climb airspeed held"),
        _held(plan, "glide_speed_m_s", "launch.glide_speed", "glide airspeed held"),
        from_given("launch.motor_run", "stop of the motor run", timer, "timer"),
        from_band("launch.speed_time", "pilot's hold on the airspeed", typical("speed_time_s"), "factor"),
        from_band("launch.path_time", "pilot's hold on the path", typical("path_time_s"), "factor"),
    ]
    return [*found, _altimeter_error(model)]


def _held(plan: LaunchPlan, field: str, name: str, title: str) -> Input:
    """How well a stated or best speed is held, as a factor on it."""
    stated: Given | None = getattr(plan, field)
    if stated is None:
        return from_given(name, title, _BEST_SPEED, quantities(LaunchPlan)[field].spread, "log airspeed")
    entry = from_field(plan, field, name, title, "log airspeed")
    return replace(entry, value=1.0, low=entry.low / entry.value, high=entry.high / entry.value)


def _altimeter_error(model: Model) -> Input:
    """Error of the device that reads the height: the fitted one, or the organiser's when there is none."""
    altimeter = model.first(Altimeter)
    stated = altimeter.height_error_m if altimeter is not None else None
    half = stated.value if stated is not None else _HEIGHT_ERROR_M
    because = "as the device states" if stated is not None else "no error stated; from memory 1 to 2 m"
    given = Given(
        value=0.0, low=-half, high=half, grade=stated.grade if stated else "typical", because=because
    )
    return from_band("altimeter.error", "height error of the altimeter", given, "offset")
