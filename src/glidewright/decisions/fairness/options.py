"""Rule options applied to a class, and the ones that are looked at when a committee states none."""

import math
from collections.abc import Iterator, Sequence

from glidewright.base.errors import InputError, Problem, nearest
from glidewright.base.wording import exact_text
from glidewright.domain.class_limits import ClassLimits, Limit
from glidewright.domain.rule_options import LimitChange, RuleOption

AS_IT_IS = "As it is"
RUN, HEIGHT, CLIMB, ENERGY, CUT = "motor_run", "launch_height", "climb_rate", "energy", "cut_height"
# What a committee may ask first: a third off the run, a quarter off the height. Our choice, no rule text.
_RUN_SHARE, _HEIGHT_SHARE, _CLIMB_SHARE = 2.0 / 3.0, 0.75, 0.8
_HEIGHT_STEP_M, _CLIMB_STEP_M_S = 5.0, 0.5
_CLIMB_OVER_NEEDED = 1.25  # a new climb limit leaves so much over what the pair of height and run needs
_CLIMB_WINDOW_S = 5.0


def with_as_it_is(rule: ClassLimits, options: Sequence[RuleOption]) -> tuple[RuleOption, ...]:
    """The class as it stands first, then the options, or those derived from the class when there are none."""
    return (RuleOption(name=AS_IT_IS), *(options or derived_options(rule)))


def limit_on(rule: ClassLimits, measure: str) -> Limit | None:
    """The limit of a class on one measure, or nothing."""
    return next((limit for limit in rule.limits if limit.measure == measure), None)


def bound_of(limit: Limit | None) -> float | None:
    """The highest value in SI that a check lets pass: bound with tolerance; nothing without one."""
    return None if limit is None or limit.at_most is None else limit.at_most + limit.tolerance


def applied(rule: ClassLimits, option: RuleOption) -> ClassLimits:
    """The class under an option.

    Motor run and cut height of the device go with the limits on motor run and launch height and the other
    way round, so that an option states one of them. Raises InputError when the option lifts what the class
    does not have, or when its bounds exclude each other.
    """
    problems = list(_unknown_lifts(rule, option))
    limits = [limit for limit in rule.limits if limit.measure not in option.lift]
    for change in option.changes:
        limits = _changed(limits, change, option, problems)
    run_s, cut_m = _device(rule, option)
    update: dict[str, object] = {"motor_run_s": run_s, "cut_height_m": cut_m}
    own = {change.limit.measure for change in option.changes}
    if option.motor_run_s is not None and RUN not in own:
        limits = [_at_most(limit, option.motor_run_s) if limit.measure == RUN else limit for limit in limits]
    if option.cut_height_m is not None and HEIGHT not in own:
        limits = [_moved_height(rule, option.cut_height_m, limit) for limit in limits]
    if option.height_count is not None or option.height_window_s is not None:
        count = option.height_count or rule.height.count
        window = rule.height.window_s if option.height_window_s is None else option.height_window_s
        update["height"] = rule.height.model_copy(update={"count": count, "window_s": window})
    if problems:
        raise InputError(problems)
    return rule.model_copy(update={**update, "limits": tuple(limits)})


def _unknown_lifts(rule: ClassLimits, option: RuleOption) -> Iterator[Problem]:
    known = [limit.measure for limit in rule.limits]
    known += [RUN] if rule.motor_run_s is not None and RUN not in known else []
    known += [CUT] if rule.cut_height_m is not None else []
    for name in option.lift:
        if name not in known:
            yield Problem(
                f"option {option.name}: lift",
                f"must name limits that {rule.title} has; {name!r} came; correct it; {nearest(name, known)}",
            )


def _changed(
    limits: list[Limit], change: LimitChange, option: RuleOption, problems: list[Problem]
) -> list[Limit]:
    """The limits with one of them changed in what the option states, or added."""
    new = change.limit
    place = next((i for i, limit in enumerate(limits) if limit.measure == new.measure), None)
    if place is None:
        definition = new.definition or "as the option states"
        return [*limits, new.model_copy(update={"definition": definition, "source": "rule option"})]
    stated = {name: getattr(new, name) for name in change.stated if name != "measure"}
    merged = limits[place].model_copy(update={**stated, "shown": new.shown or limits[place].shown})
    low, high = merged.at_least, merged.at_most
    if low is not None and high is not None and low > high:
        low_text, high_text = exact_text(low, merged.shown), exact_text(high, merged.shown)
        problems.append(
            Problem(
                f"option {option.name}: limit {new.measure}",
                f"must leave something allowed; at least {low_text} and at most {high_text} came, one of "
                "them from the class; change the other bound too",
            )
        )
    return [*limits[:place], merged, *limits[place + 1 :]]


def _device(rule: ClassLimits, option: RuleOption) -> tuple[float | None, float | None]:
    """Motor run in s and height in m at which the device stops the motor under an option."""
    stated = {change.limit.measure: change.limit.at_most for change in option.changes}
    run_s = None if RUN in option.lift else rule.motor_run_s
    run_s = option.motor_run_s or stated.get(RUN) or run_s
    if option.cut_height_m is not None:
        return run_s, option.cut_height_m
    if {CUT, HEIGHT} & set(option.lift) or rule.cut_height_m is None:
        return run_s, None
    new, old = stated.get(HEIGHT), limit_on(rule, HEIGHT)
    if new is None:
        return run_s, rule.cut_height_m
    before = old.at_most if old is not None and old.at_most is not None else rule.cut_height_m
    return run_s, max(rule.cut_height_m + new - before, 1.0)


def _at_most(limit: Limit, bound: float) -> Limit:
    return limit.model_copy(update={"at_most": bound})


def _moved_height(rule: ClassLimits, cut_m: float, limit: Limit) -> Limit:
    """The limit on launch height, as far above or below the cut as the class has it."""
    if limit.measure != HEIGHT or limit.at_most is None:
        return limit
    before = rule.cut_height_m if rule.cut_height_m is not None else limit.at_most
    return _at_most(limit, limit.at_most + cut_m - before)


def derived_options(rule: ClassLimits) -> tuple[RuleOption, ...]:
    """Options that follow from the numbers of a class: a shorter run, a lower cut, no cut, climb, cells."""
    return tuple(_derived(rule))


def _derived(rule: ClassLimits) -> Iterator[RuleOption]:
    run_s, cut_m = rule.motor_run_s, rule.cut_height_m
    if run_s is not None:
        shorter = max(math.floor(_RUN_SHARE * run_s + 0.5), 1)
        yield RuleOption(name=f"Motor run {shorter} s", motor_run_s=float(shorter))
    if cut_m is not None:
        lower = max(_stepped(_HEIGHT_SHARE * cut_m, _HEIGHT_STEP_M), _HEIGHT_STEP_M)
        yield RuleOption(name=f"Cut at {lower:g} m", cut_height_m=lower)
        if run_s is not None:
            lifted = [CUT] + ([HEIGHT] if limit_on(rule, HEIGHT) is not None else [])
            yield RuleOption(name="No cut, time alone", lift=tuple(lifted))
    yield from _climb_options(rule)
    cells = limit_on(rule, "cells")
    if cells is not None and cells.at_most is not None:
        more = cells.at_most + 1.0
        yield RuleOption(name="One cell more", changes=(_change("cells", more, "", cells.unit),))
    else:
        yield RuleOption(name="Two cells at most", changes=(_change("cells", 2.0, "", "1"),))


def _climb_options(rule: ClassLimits) -> Iterator[RuleOption]:
    limit, run_s, cut_m = limit_on(rule, CLIMB), rule.motor_run_s, rule.cut_height_m
    if limit is not None and limit.at_most is not None:
        slower = max(_stepped(_CLIMB_SHARE * limit.at_most, _CLIMB_STEP_M_S), _CLIMB_STEP_M_S)
        change = _change(CLIMB, slower, "m/s", "m/s", limit.window_s)
        yield RuleOption(name=f"Climb at most {slower:g} m/s", changes=(change,))
        yield RuleOption(name="No climb limit", lift=(CLIMB,))
    elif run_s is not None and cut_m is not None:
        most = max(_stepped(_CLIMB_OVER_NEEDED * cut_m / run_s, _CLIMB_STEP_M_S), _CLIMB_STEP_M_S)
        change = _change(CLIMB, most, "m/s", "m/s", _CLIMB_WINDOW_S)
        yield RuleOption(name=f"Climb at most {most:g} m/s", changes=(change,))


def _change(
    measure: str, at_most: float, shown: str, unit: str, window_s: float | None = None
) -> LimitChange:
    limit = Limit(measure=measure, at_most=at_most, shown=shown, unit=unit, window_s=window_s)
    return LimitChange(limit=limit, stated=("at_most", *(("window_s",) if window_s is not None else ())))


def _stepped(value: float, step: float) -> float:
    return step * math.floor(value / step + 0.5)
