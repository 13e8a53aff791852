"""Inputs of the airframe, the field and the launch: what was stated, and typical values where it was not."""

from glidewright.base.figure import Given
from glidewright.data import coefficients
from glidewright.domain.airframe import Airframe
from glidewright.domain.field import Field
from glidewright.domain.launch_plan import LaunchPlan
from glidewright.domain.model import Model
from glidewright.domain.parts import Altimeter
from glidewright.forecast.missing import MissingValue
from glidewright.forecast.spread import Input, from_given

_POLAR_ROWS = {
    "drag_zero": ("drag of the airframe", "drag"),
    "span_efficiency": ("span efficiency", "span_efficiency"),
    "lift_least_drag": ("lift of least drag", "lift"),
    "lift_ceiling": ("highest lift coefficient", "lift"),
}
_GLIDES = "time a few straight glides in still air"
_SAMPLE_TIMER_S = Given(value=0.0, grade="typical", because="finger on a stick timer")
_SAMPLE_DEVICE_S = Given(
    value=0.0, low=-0.15, high=0.15, grade="typical", because="the device stops the motor itself"
)
_HEIGHT_ERROR_M = 1.5  # half width of the 10 to 90 % band where the device states none; from memory, 1 to 2 m
_HELD_SPEED = Given(value=1.0, low=0.88, high=1.12, grade="typical", because="a speed held by eye")


def typical(name: str) -> Given:
    """The packaged stand-in for an airframe value, grade ``typical``."""
    row = coefficients("airframe_typical")[name]
    because = f"typical of light two-metre models: {row['valid']}"
    return Given(value=row["value"], low=row["low"], high=row["high"], grade="typical", because=because)


def airframe_inputs(airframe: Airframe) -> tuple[list[Input], list[MissingValue]]:
    """Wing measures and polar; what is not stated stands in as typical and is named as missing."""
    found = [
        from_given("airframe.span", "span", airframe.span_m, "size", "measure the span"),
        from_given("airframe.wing_area", "wing area", airframe.wing_area_m2, "area", "measure the chords"),
    ]
    missing = []
    for name, (title, row) in _POLAR_ROWS.items():
        stated: Given | None = getattr(airframe, name)
        given = stated or typical(name)
        found.append(from_given(f"airframe.{name}", title, given, row, _GLIDES))
        if stated is None:
            missing.append(MissingValue("airframe", title, name, found[-1], "", _GLIDES))
    for name, title in (
        ("installation", "thrust left in front of the body"),
        ("folded_drag_area_m2", "drag of the folded blades"),
    ):
        key = f"airframe.{name.removesuffix('_m2')}"
        found.append(from_given(key, title, typical(name), "drag", _GLIDES))
    return found, missing


def field_inputs(field: Field) -> list[Input]:
    """Wind and temperature of the day; pressure follows from elevation unless it is stated."""
    found = [
        from_given("field.headwind", "head wind", field.headwind_m_s, "wind", "read the wind at the launch"),
        from_given("field.wind_exponent", "growth of wind with height", typical("wind_exponent"), "drag"),
    ]
    if field.temperature_K is not None:
        given = field.temperature_K
        found.append(
            from_given("field.temperature", "air temperature", given, "air_temperature", "read a thermometer")
        )
    return found


def launch_inputs(model: Model, *, limiter: Altimeter | None) -> list[Input]:
    """Throw, the hand that holds the speed, the timer, and the error of the height reading."""
    plan: LaunchPlan = model.launch
    timer = _SAMPLE_DEVICE_S if limiter is not None else _SAMPLE_TIMER_S
    found = [
        from_given("launch.throw_speed", "throw", plan.throw_speed_m_s, "throw"),
        from_given(
            "launch.climb_speed",
            "climb airspeed held",
            _held(plan.climb_speed_m_s),
            "climb_speed",
            "log airspeed",
        ),
        from_given("launch.glide_speed", "glide airspeed held", _held(plan.glide_speed_m_s), "climb_speed"),
        from_given("launch.motor_run", "stop of the motor run", timer, "timer"),
        from_given("launch.speed_time", "pilot's hold on the airspeed", typical("speed_time_s"), "drag"),
        from_given("launch.path_time", "pilot's hold on the path", typical("path_time_s"), "drag"),
    ]
    return [*found, _altimeter_error(model)]


def _held(stated: Given | None) -> Given:
    """How well a stated or best speed is held, as a factor on it."""
    if stated is None or stated.low is None or stated.high is None:
        return _HELD_SPEED
    return Given(
        value=1.0,
        low=stated.low / stated.value,
        high=stated.high / stated.value,
        grade=stated.grade,
        because=stated.because,
    )


def _altimeter_error(model: Model) -> Input:
    """Error of the device that reads the height: the fitted one, or the organiser's when there is none."""
    altimeter = model.first(Altimeter)
    stated = altimeter.height_error_m if altimeter is not None else None
    half = stated.value if stated is not None else _HEIGHT_ERROR_M
    because = "as the device states" if stated is not None else "no error stated; from memory 1 to 2 m"
    given = Given(
        value=0.0, low=-half, high=half, grade=stated.grade if stated else "typical", because=because
    )
    return from_given("altimeter.error", "height error of the altimeter", given, "station")
