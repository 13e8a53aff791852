"""What the first launch is told: the airspeed to hold, and whatever stops the motor first."""

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from glidewright.data import coefficient
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.domain.parts import Altimeter
from glidewright.forecast.kernel_rows import Orders, air, launch_rows, polar_rows
from glidewright.forecast.power_inputs import PowerInputs
from glidewright.forecast.setup import Setup, limiter_of
from glidewright.models.aero.glide import glide_speeds
from glidewright.models.air.atmosphere import GRAVITY_m_s2
from glidewright.models.launch.climb_speed import best_climb_speed_m_s

Array = NDArray[np.float64]

DEFAULT_RUN_S: float = coefficient("launch", "motor_run")  # assumed, and said so
DEFAULT_WINDOW_S: float = coefficient("launch", "window")


def launch_orders(
    setup: Setup,
    power: PowerInputs,
    mass_kg: Array,
    climb_speed_m_s: float | None = None,
    like: Orders | None = None,
) -> Orders:
    """How the first launch is flown, and whatever stops the motor first.

    The climb airspeed is the stated one, else `climb_speed_m_s`, else the best one. like: the orders of a
    model with like parts: their glide airspeed goes with a given climb airspeed, and the best climb
    airspeed is looked for around theirs.
    """
    model, rule = setup.model, setup.rule
    plan = model.launch
    runs = _run_limits(model, rule)
    heights = _height_limits(model, rule)
    run_by, run = min(runs, key=lambda pair: pair[1])
    height_by, height = min(heights, key=lambda pair: pair[1], default=("nothing", math.inf))
    orders = Orders(
        climb_speed_m_s=0.0,
        glide_speed_m_s=0.0,
        motor_run_s=run,
        run_by=run_by,
        cut_height_m=height if math.isfinite(height) else None,
        height_by=height_by,
        window_s=rule.height.window_s if rule else DEFAULT_WINDOW_S,
        run_from_release=bool(rule and rule.motor_run_from == "release"),
    )
    if climb_speed_m_s is not None and like is not None:
        climb = plan.climb_speed_m_s.value if plan.climb_speed_m_s else climb_speed_m_s
        glide_speed = plan.glide_speed_m_s.value if plan.glide_speed_m_s else like.glide_speed_m_s
        return replace(orders, climb_speed_m_s=climb, glide_speed_m_s=glide_speed)
    nominal = setup.nominal()
    density, _ = air(nominal)
    mass = np.array([float(np.median(mass_kg))])
    glide, _, _, _ = glide_speeds(
        polar_rows(nominal), mass, nominal["airframe.wing_area"], density, GRAVITY_m_s2
    )
    glide_speed = plan.glide_speed_m_s.value if plan.glide_speed_m_s else float(glide[0])
    if plan.climb_speed_m_s is not None:
        return replace(orders, glide_speed_m_s=glide_speed, climb_speed_m_s=plan.climb_speed_m_s.value)
    if climb_speed_m_s is not None:
        return replace(orders, glide_speed_m_s=glide_speed, climb_speed_m_s=climb_speed_m_s)
    orders = replace(orders, glide_speed_m_s=glide_speed, climb_speed_m_s=glide_speed)
    near = like.climb_speed_m_s if like is not None else None
    best = best_climb_speed_m_s(launch_rows(nominal, power, mass, orders), near)
    return replace(orders, climb_speed_m_s=best)


def _run_limits(model: Model, rule: ClassLimits | None) -> list[tuple[str, float]]:
    limiter: Altimeter | None = limiter_of(model)
    found = []
    if model.launch.motor_run_s is not None:
        found.append(("the pilot's timer", model.launch.motor_run_s.value))
    if rule is not None and rule.motor_run_s is not None:
        found.append(("the class", rule.motor_run_s))
    if limiter is not None and limiter.cut_time_s is not None:
        found.append(("the limiter", limiter.cut_time_s.value))
    return found or [("an assumed timer", DEFAULT_RUN_S)]


def _height_limits(model: Model, rule: ClassLimits | None) -> list[tuple[str, float]]:
    limiter = limiter_of(model)
    found = []
    if model.launch.cut_height_m is not None:
        found.append(("the pilot's own switch", model.launch.cut_height_m.value))
    if limiter is not None:
        if limiter.cut_height_m is not None:
            found.append(("the limiter", limiter.cut_height_m.value))
        elif rule is not None and rule.cut_height_m is not None:
            found.append(("the limiter, set by the class", rule.cut_height_m))
    return found
