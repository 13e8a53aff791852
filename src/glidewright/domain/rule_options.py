"""Rule options that a committee weighs: a class with some limits changed, and the logger that checks."""

from typing import ClassVar

from pydantic import Field

from glidewright.base.fields import Noun, plain, quantity
from glidewright.base.figure import Given

from .class_limits import HeightCount, Limit


class LimitChange(Noun):
    """One limit of an option; ``stated`` names the fields that it states, others stay as the class has."""

    limit: Limit
    stated: tuple[str, ...]


class RuleOption(Noun):
    """One way to write the rules: what it changes in a class; what it leaves out stays as it is."""

    name: str = Field(title="Name", description="as the committee calls it", min_length=1, max_length=32)
    note: str = plain("Note", help="anything worth knowing", default="")
    motor_run_s: float | None = Field(
        title="Motor run",
        description="longest motor run instead of that of the class",
        gt=0,
        strict=True,
        allow_inf_nan=False,
        default=None,
    )
    cut_height_m: float | None = Field(
        title="Cut height",
        description="indicated height at which the limiter stops the motor, instead of that of the class",
        gt=0,
        strict=True,
        allow_inf_nan=False,
        default=None,
    )
    height_count: HeightCount | None = plain(
        "Counted", help="which height counts, instead of that of the class", default=None
    )
    height_window_s: float | None = Field(
        title="Window",
        description="seconds after motor stop that still count, instead of those of the class",
        ge=0,
        strict=True,
        allow_inf_nan=False,
        default=None,
    )
    lift: tuple[str, ...] = plain(
        "Lifted", help="limits of the class that fall: names of measures, or cut_height", default=()
    )
    changes: tuple[LimitChange, ...] = plain("Limits", help="limits that are changed or added", default=())


class CheckLogger(Noun):
    """The logger that checks a launch: how far and how often it reads wrong; what is left out is typical."""

    table: ClassVar[str] = "logger"

    height_error_m: Given | None = quantity(
        "Height error",
        key="height_error_m",
        shown="m",
        help="half width within which 8 of 10 devices read the same height",
        above=0,
        at_most=50,
    )
    scale_error: Given | None = quantity(
        "Scale error",
        key="scale_error_percent",
        shown="%",
        help="half width within which the scales of 8 of 10 devices lie",
        at_least=0,
        at_most=20,
    )
    noise_m: Given | None = quantity(
        "Noise",
        key="noise_m",
        shown="m",
        help="half width within which 8 of 10 readings of one device at one height lie",
        at_least=0,
        at_most=20,
    )
    step_m: Given | None = quantity(
        "Step", key="step_m", shown="m", help="readings are whole steps of this", at_least=0, at_most=10
    )
    sample_time_s: Given | None = quantity(
        "Time between samples",
        key="sample_time_s",
        shown="s",
        help="from one reading to the next",
        above=0,
        at_most=5,
    )
    coldest_K: Given | None = quantity(
        "Coldest day", key="coldest_C", shown="°C", help="that is flown on", at_least=-30, at_most=50
    )
    warmest_K: Given | None = quantity(
        "Warmest day", key="warmest_C", shown="°C", help="that is flown on", at_least=-30, at_most=50
    )


class RuleOptions(Noun):
    """A file of options: for which class they are meant, and the logger that checks."""

    class_id: str = plain("Class", help="file name of the class; empty when they fit any", default="")
    note: str = plain("Note", help="anything worth knowing", default="")
    invented: bool = plain("Invented", help="true for the demo", default=False)
    options: tuple[RuleOption, ...] = ()
    logger: CheckLogger = CheckLogger()
