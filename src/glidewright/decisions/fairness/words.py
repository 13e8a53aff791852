"""Rules in words: what an option says, and what a class has."""

from collections.abc import Iterator

from glidewright.base.wording import exact_text
from glidewright.decisions.fairness.legal import OF_LAUNCH
from glidewright.decisions.fairness.options import AS_IT_IS, CUT, HEIGHT, RUN
from glidewright.domain.class_limits import ClassLimits, Limit
from glidewright.domain.rule_options import RuleOption
from glidewright.rules.measures import MEASURES
from glidewright.rules.words import bounds_words

_NOT_OF_THE_DRIVE = (RUN, HEIGHT, "span", "controls", "control_kinds", "structure")
_COUNTS = {
    "highest": "the highest point up to {window:g} s after the stop counts",
    "at_cut": "the height at the stop counts",
    "at_window_end": "the height {window:g} s after the stop counts",
}


def says_of(rule: ClassLimits, option: RuleOption) -> tuple[str, ...]:
    """What an option changes; for the class as it is, what the class says of launch and power train.

    rule: the class under the option.
    """
    return tuple(_as_it_is(rule) if option.name == AS_IT_IS else _changes(rule, option))


def _as_it_is(rule: ClassLimits) -> Iterator[str]:
    if rule.motor_run_s is not None:
        yield f"motor run {exact_text(rule.motor_run_s, 's')}"
    if rule.cut_height_m is not None:
        yield f"cut at {exact_text(rule.cut_height_m, 'm')}"
    shown = [limit for limit in rule.limits if limit.measure not in _NOT_OF_THE_DRIVE]
    for limit in sorted(shown, key=lambda one: one.measure not in OF_LAUNCH):
        yield limit_words(limit)
    yield _COUNTS[rule.height.count].format(window=rule.height.window_s)


def _changes(rule: ClassLimits, option: RuleOption) -> Iterator[str]:
    own = {change.limit.measure for change in option.changes}
    if option.motor_run_s is not None:
        yield f"motor run {exact_text(option.motor_run_s, 's')}"
    if option.cut_height_m is not None:
        yield f"cut at {exact_text(option.cut_height_m, 'm')}"
    for limit in rule.limits:
        if limit.measure in own:
            yield limit_words(limit)
    names = {CUT: "cut by height", HEIGHT: "launch height", RUN: "motor run"}
    for name in option.lift:
        if not (name == CUT and HEIGHT in option.lift):
            yield f"no limit on {names.get(name) or MEASURES[name].title.lower()}"
    if option.height_count is not None or option.height_window_s is not None:
        yield _COUNTS[rule.height.count].format(window=rule.height.window_s)


def limit_words(limit: Limit) -> str:
    """A limit in words: what is limited, and its bounds.

    >>> limit_words(Limit(measure="climb_rate", at_most=5.0, unit="m/s", shown="m/s", window_s=5.0))
    'climb rate at most 5 m/s over 5 s'
    """
    title = MEASURES[limit.measure].title.lower()
    if limit.allowed:
        return f"{title}: {', '.join(limit.allowed)}"
    words = (
        f"{title} {bounds_words(limit.at_least, limit.at_most, limit.shown or MEASURES[limit.measure].shown)}"
    )
    return words + (f" over {exact_text(limit.window_s, 's')}" if limit.window_s is not None else "")
