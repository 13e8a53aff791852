"""Errands for a worker of the crew: one that takes long, and the ways in which one can end."""

import os
import time
from collections.abc import Callable

from glidewright.base.errors import InputError

Tell = Callable[[float | None, str], None]


def slow(tell: Tell) -> int:
    for step in range(400):
        tell(step / 400, f"step {step}")
        time.sleep(0.05)
    return 1


def patient(tell: Tell) -> str:
    step = 0
    try:
        for step in range(400):
            tell(step / 400, f"step {step}")
            time.sleep(0.05)
    except KeyboardInterrupt:
        return f"so far {step}"
    return "whole"


def deaf(tell: Tell) -> int:
    tell(0.5, "deaf")
    time.sleep(60.0)
    return 1


def wrong(tell: Tell) -> None:
    del tell
    raise InputError.at("span_m", "must be shorter; long came; cut it")


def mistaken(tell: Tell) -> None:
    del tell
    raise ZeroDivisionError("of ours")


def gone(tell: Tell) -> None:
    del tell
    os._exit(3)


def number(value: int, tell: Tell) -> int:
    tell(0.5, "half")
    return 2 * value
