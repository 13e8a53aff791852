"""Part findings: currents, volts, power, temperatures and speeds against what the sellers state.

A limit that no seller states is a finding too: what came out is said, and what to ask or measure.
"""

from collections.abc import Iterator

import numpy as np

from glidewright.base.wording import exact_text, percent_text, plain_text
from glidewright.data import coefficients
from glidewright.domain.parts import Controller, Motor, Pack, Propeller
from glidewright.forecast.prediction import Draws, Prediction

from .against import against, certain, not_stated, number
from .finding import Finding
from .limiter_setting import judge_limiter

_PRACTICE = coefficients("practice_limits")
_ASK = "ask the seller or measure"


def judge_parts(prediction: Prediction) -> list[Finding]:
    """Findings on every fitted part of the power train, its servo supply and the limiter."""
    model = prediction.model
    found: list[Finding] = []
    motor, controller = model.first(Motor), model.first(Controller)
    pack, propeller = model.first(Pack), model.first(Propeller)
    if motor is not None:
        found += _motor(prediction, motor)
    if controller is not None:
        found += _controller(prediction, controller, pack)
    if pack is not None:
        found += _pack(prediction, pack, controller)
    if propeller is not None:
        found.append(_propeller(prediction, propeller))
    found += judge_limiter(prediction)
    return found


def equal_heat_current_A(limit_A: float, limit_time_s: float | None, run_s: Draws) -> Draws:
    """Current in A that heats a winding in the run as the stated current does in its stated time.

    I**2 t is the same, nothing cools meanwhile: the adiabatic criterion of IEC 60364-4-43, 434.5.2. A run
    shorter than the stated time, or no stated time, leaves the stated current. run_s: shape (count,).

    >>> equal_heat_current_A(20.0, 15.0, np.array([10.0, 30.0])).round(2)
    array([20.  , 14.14])
    """
    if limit_time_s is None:
        return limit_A + 0.0 * run_s
    share: Draws = limit_time_s / run_s.clip(min=limit_time_s)
    return limit_A * share**0.5


def _motor(prediction: Prediction, motor: Motor) -> Iterator[Finding]:
    yield _motor_current(prediction, motor)
    power_W = number(motor.max_power_W)
    if power_W is None:
        what = f"the seller of {motor.name} states no power limit; {_ASK}"
        yield not_stated(prediction, "motor_power", "Motor power", "motor_power_W", "W", what)
    else:
        yield against(prediction, "motor_power", "Motor power", "motor_power_W", "W", at_most=power_W)
    volts_V = number(motor.max_voltage_V)
    if volts_V is None:
        what = f"the seller of {motor.name} states no voltage limit; {_ASK}"
        yield not_stated(prediction, "motor_voltage", "Motor voltage", "pack_volts_highest_V", "V", what)
    else:
        yield against(
            prediction, "motor_voltage", "Motor voltage", "pack_volts_highest_V", "V", at_most=volts_V
        )
    yield _motor_temperature(prediction, motor)


def _motor_current(prediction: Prediction, motor: Motor) -> Finding:
    """The highest current of a launch against the limit, made smaller when it holds for less than the run."""
    name, title, result = "motor_current", "Motor current", "launch_motor_current_A"
    limit_A, time_s = number(motor.max_current_A), number(motor.max_current_time_s)
    static = prediction.figure("static_motor_current_A", "A")
    also = f"at rest {plain_text(static.value, 'A')}" if static.value is not None else ""
    if limit_A is None:
        what = f"the seller of {motor.name} states no current limit; {_ASK}"
        return not_stated(prediction, name, title, result, "A", what, also=also)
    run_s, current_A = prediction.draws("motor_run_s"), prediction.draws(result)
    if time_s is None or run_s is None or current_A is None:
        untimed = "the seller does not say for how long the limit holds" if time_s is None else ""
        also = "; ".join(part for part in (untimed, also) if part)
        return against(prediction, name, title, result, "A", at_most=limit_A, also=also)
    held = f"the limit of {exact_text(limit_A, 'A')} holds for {exact_text(time_s, 's')}"
    # the error of a timer makes no longer run
    if float(np.quantile(run_s, 0.9)) > 1.01 * time_s:
        held += "; a longer run is judged by the current of equal heat"
    also = "; ".join(part for part in (held, also) if part)
    equal_A = current_A * (limit_A / equal_heat_current_A(limit_A, time_s, run_s))
    return against(prediction, name, title, result, "A", at_most=limit_A, counted=equal_A, also=also)


def _motor_temperature(prediction: Prediction, motor: Motor) -> Finding:
    name, title = "motor_temperature", "Motor case temperature"
    many = prediction.draws("motor_temperature_last_K") is not None
    result = "motor_temperature_last_K" if many else "motor_temperature_K"
    also = "highest over the useful launches" if many else "highest of the first launch"
    limit_K = number(motor.limit_temperature_K)
    if limit_K is None:
        practice = plain_text(_PRACTICE["motor_case_temperature"]["value"], "°C")
        what = (
            f"the seller of {motor.name} states no case temperature; {_ASK}; practice stays below {practice}"
        )
        return not_stated(prediction, name, title, result, "°C", what, also=also)
    return against(prediction, name, title, result, "°C", at_most=limit_K, also=also)


def _controller(prediction: Prediction, controller: Controller, pack: Pack | None) -> Iterator[Finding]:
    current = "launch_motor_current_A"
    limit_A = number(controller.max_current_A)
    if limit_A is None:
        what = f"the seller of {controller.name} states no continuous current; {_ASK}"
        yield not_stated(prediction, "controller_current", "Controller current", current, "A", what)
    else:
        static = prediction.figure("static_motor_current_A", "A").value
        margin = _PRACTICE["controller_margin"]
        also = ""
        if static is not None and limit_A < margin["low"] * static:
            also = f"practice rates it {margin['low']:g} to {margin['high']:g} times the current at rest"
        yield against(
            prediction,
            "controller_current",
            "Controller current",
            current,
            "A",
            at_most=limit_A,
            also=also,
        )
    burst_A = number(controller.burst_current_A)
    if burst_A is not None:
        title, result = "Controller current at rest", "static_motor_current_A"
        also = "for a few seconds only"
        yield against(prediction, "controller_burst", title, result, "A", at_most=burst_A, also=also)
    if pack is not None:
        yield _controller_cells(controller, pack)
    yield from _servo_supply(prediction, controller, pack)


def _controller_cells(controller: Controller, pack: Pack) -> Finding:
    least, most = controller.cells_least, controller.cells_most
    name, title = "controller_cells", "Cells at the controller"
    if least is None and most is None:
        what = f"the seller of {controller.name} states no cell count; {_ASK}"
        return certain(name, title, float(pack.cells), "", None, what)
    kept = (least is None or pack.cells >= least) and (most is None or pack.cells <= most)
    low, high = None if least is None else float(least), None if most is None else float(most)
    because = f"{pack.name} has {pack.cells} cells in series"
    return certain(name, title, float(pack.cells), "", kept, because, at_least=low, at_most=high)


def _servo_supply(prediction: Prediction, controller: Controller, pack: Pack | None) -> Iterator[Finding]:
    if controller.servo_supply == "none":
        return
    name, title, result = "servo_supply", "Servo supply current", "servo_supply_load_A"
    limit_A = number(controller.servo_supply_current_A)
    warm = controller.servo_supply == "linear" and pack is not None and pack.cells > 2
    also = (
        "a linear supply turns the volts above its own into heat: more than two cells cost current"
        if warm
        else ""
    )
    if limit_A is None:
        what = f"the seller of {controller.name} states no current of the servo supply; {_ASK}"
        yield not_stated(prediction, name, title, result, "A", what, also=also)
    else:
        yield against(prediction, name, title, result, "A", at_most=limit_A, also=also)


def _pack(prediction: Prediction, pack: Pack, controller: Controller | None) -> Iterator[Finding]:
    yield _pack_current(prediction, pack)
    limit_K = number(pack.limit_temperature_K)
    name, title = "pack_temperature", "Pack temperature"
    many = prediction.draws("pack_temperature_last_K") is not None
    result = "pack_temperature_last_K" if many else "pack_temperature_K"
    if limit_K is None:
        what = f"the seller of {pack.name} states no temperature limit; {_ASK}"
        yield not_stated(prediction, name, title, result, "°C", what)
    else:
        yield against(prediction, name, title, result, "°C", at_most=limit_K)
    cut_V = None if controller is None else number(controller.low_voltage_cut_V)
    name, title, result = "low_voltage", "Lowest cell voltage", "lowest_cell_V"
    if cut_V is None:
        what = "no low-voltage cut of a controller is stated; read its manual or program it"
        yield not_stated(prediction, name, title, result, "V", what)
    else:
        also = "below it the controller stops the motor"
        yield against(prediction, name, title, result, "V", at_least=cut_V, also=also)


def _pack_current(prediction: Prediction, pack: Pack) -> Finding:
    """Against the user's own limit, or the label with the remark that labels promise too much."""
    name, title, result = "pack_current", "Pack current", "launch_pack_current_A"
    limit_A = number(pack.max_current_A)
    if limit_A is not None:
        return against(prediction, name, title, result, "A", at_most=limit_A)
    if pack.c_rating is None:
        what = f"neither a current limit nor a C rating of {pack.name} is stated; {_ASK}"
        return not_stated(prediction, name, title, result, "A", what)
    label_A = pack.c_rating.value * pack.capacity_As.value / 3600.0
    share = _PRACTICE["pack_label_share"]
    current = prediction.figure(result, "A").value
    used = f"{percent_text(share['low'])} to {percent_text(share['high'])}"
    also = f"the limit is the label, and practice uses at most {used} of it"
    if current is not None:
        also += f"; this is {percent_text(current / label_A)}"
    return against(prediction, name, title, result, "A", at_most=label_A, also=also)


def _propeller(prediction: Prediction, propeller: Propeller) -> Finding:
    name, title, result = "propeller_speed", "Propeller speed", "propeller_revs_per_s"
    limit = number(propeller.max_revs_per_s)
    if limit is None:
        what = f"the maker of {propeller.name} states no speed limit; {_ASK}"
        return not_stated(prediction, name, title, result, "rpm", what)
    return against(prediction, name, title, result, "rpm", at_most=limit)
