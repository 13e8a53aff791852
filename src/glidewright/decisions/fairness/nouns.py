"""What ``fair`` is asked and what it answers."""

from typing import Any, Literal

from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.domain.rule_options import CheckLogger, RuleOption, RuleOptions

DRAWS = 64
Role = Literal["best", "typical", "competitive", "on_hand", "motor"]


class FairRequest(Noun):
    """Airframes with their drawers, a class, options of its rules, and what counts as competitive."""

    models: tuple[Model, ...]
    rule: ClassLimits
    options: tuple[RuleOption, ...] = plain(
        "Options", help="beside the class as it is; those derived from the class when empty", default=()
    )
    logger: CheckLogger = CheckLogger()
    within: float = plain(
        "Within", help="share of the best height from which an entry is competitive", default=0.95
    )
    wrong: float = plain("Wrong verdicts", help="share that is accepted, above 0 and below 0.5", default=0.05)
    draws: int = DRAWS
    seed: int = plain("Seed", help="of the noise of the loggers", default=1)
    invented: bool = plain("Invented", help="true when the options are made up", default=False)

    @classmethod
    def under(cls, stated: RuleOptions, **more: Any) -> "FairRequest":
        """The request with all that a file of rule options states; more: the other fields."""
        return cls(options=stated.options, logger=stated.logger, invented=stated.invented, **more)


class EntryRow(Noun):
    """One entry of the field under one option, set up as its owner would; its parts by their ids."""

    role: Role
    airframe: str
    motor: str
    controller: str
    pack: str
    propeller: str
    height: Figure
    climb: Figure
    climb_speed_m_s: float
    throttle: float
    run_s: float
    ballast_kg: float
    binds: str = plain("Binds", help="what ends its launch and what holds it back, in words")
    cost_new: Figure = plain("New", help="price and postage of the power train, nothing on hand")
    cost_to_buy: Figure = plain("To buy", help="the same of what is not on hand")


class FieldSpread(Noun):
    """One result over all entries of the field, each by the middle of its launches."""

    best: Figure
    high: Figure
    typical: Figure
    low: Figure
    worst: Figure


class CountRow(Noun):
    """So many entries or builds of so many, and what is counted."""

    name: str
    title: str
    count: int
    of: int = plain("Of", help="how many there are")
    remark: str = ""


class RemovedRow(Noun):
    """A limit that takes builds out: how many it takes, how many it alone, and the nearest miss."""

    name: str
    title: str
    of_class: bool = plain("Of the class", help="false for a limit of a part or of the field")
    builds: int = plain("Builds", help="that break it")
    alone: int = plain("Alone", help="builds that break this limit only")
    nearest: str = plain("Nearest", help="the build that misses it by least, in words")


class PartWorth(Noun):
    """A part on hand under one option: what it still reaches, or that no legal build has it."""

    airframe: str
    part: str
    name: str
    kind: str
    legal: bool = plain("Legal", help="whether some legal build has it")
    height_share: Figure = plain("Worth", help="best height with it over the best height of all")
    price: Figure
    remark: str


class SensitivityRow(Noun):
    """What one change does to the launch height of two entries."""

    name: str
    title: str
    best: Figure
    typical: Figure


class VerdictRow(Noun):
    """One allowance over the height limit: how often a check by another logger is wrong."""

    allowance_m: float
    legal_found_over: Figure = plain("Legal found over", help="of models stopped as they must be")
    excess_found: Figure = plain("Found from", help="least excess that is found but for the rate")


class HeightCheck(Noun):
    """What a check of the launch height by another logger can tell under one option.

    legal_over: at which error of the check the middle legal launch is just found over, and the lowest tenth.
    """

    limit_m: float
    tolerance_m: float
    stop_keeps: bool = plain("A stop keeps it", help="true where a stop by the limiter counts as keeping it")
    counted: str = plain("Counted", help="which height, in words")
    step_m: float = plain("Step", help="of the device")
    allowance: Figure = plain("Allowance", help="least one that keeps the rate, of all that differs")
    allowance_of_device: Figure = plain("Of the device", help="the same if every limiter were perfect")
    legal_over: Figure
    rows: tuple[VerdictRow, ...]
    true_cold: Figure = plain("True, cold", help="height at which the limiter cuts on the coldest day")
    true_warm: Figure = plain("True, warm", help="the same on the warmest day")
    because: str


class ClimbCheck(Noun):
    """What a check of the climb by a logger can tell: how far its reading lies off, by window."""

    window_s: float
    allowance: Figure
    single_window: Figure = plain("One window", help="spread of one reading, closed form without steps")


class OptionResult(Noun):
    """Everything that is found for one option."""

    name: str
    note: str
    says: tuple[str, ...] = plain("Says", help="what it changes, or what the class has, in words")
    arithmetic: tuple[str, ...] = plain("Arithmetic", help="how run, height and climb agree, by hand")
    entries: int
    builds: int = plain("Builds", help="that were looked at, legal or not")
    height: FieldSpread
    climb: FieldSpread
    gap: Figure = plain("Gap", help="metres that the best entry launches higher than the typical one")
    gap_by_parts: Figure = plain("The same", help="over all that is not sure of the parts too")
    competitive: int = plain("Competitive", help="entries within the share of the best height")
    cost: Figure = plain("Cost", help="of the cheapest competitive entry, all new")
    cost_to_buy: Figure = plain("To buy", help="the same of what is not on hand")
    freedom: Figure = plain("Freedom", help="share of the sound builds that may start")
    stops: tuple[CountRow, ...] = plain("Stops", help="what stopped the motor, over all launches")
    limiter_stops: Figure = plain("Limiter stops", help="share of the launches that the limiter ends")
    binds: tuple[CountRow, ...] = plain("Binds", help="what holds entries back")
    removed: tuple[RemovedRow, ...] = plain("Removed", help="limits that take builds out")
    on_hand: Figure = plain("On hand", help="best height with parts on hand over the best of all")
    parts: tuple[PartWorth, ...] = plain("Parts", help="on hand, and what they still reach")
    illegal_cost: Figure = plain("Made illegal", help="price of the parts on hand that no legal build has")
    rows: tuple[EntryRow, ...] = plain("Entries", help="each as its owner would set it up")
    sensitivity: tuple[SensitivityRow, ...] = plain(
        "Sensitivity", help="what single changes do to two entries"
    )
    check: HeightCheck | None = plain("Check", help="of the launch height by another logger")
    unbeaten: bool = plain("Unbeaten", help="whether no other option is better in all")
    beaten_by: tuple[str, ...] = plain("Beaten by", help="names of options that are")


class NamedPart(Noun):
    """What an id stands for."""

    id: str
    name: str


class FairResult(Noun):
    """The field under every option, and the options that no other beats."""

    class_id: str
    class_title: str
    class_edition: str
    class_note: str
    class_open_points: tuple[str, ...]
    invented: bool
    airframes: tuple[str, ...]
    parts: tuple[NamedPart, ...] = plain("Parts", help="of the power trains in all drawers")
    builds: int = plain("Builds", help="that were looked at in all drawers")
    currency: str
    draws: int
    within: float = plain("Within", help="share of the best height from which an entry is competitive")
    wrong: float = plain("Wrong verdicts", help="share that is accepted")
    options: tuple[OptionResult, ...] = plain("Options", help="the class as it is first")
    climb_checks: tuple[ClimbCheck, ...] = plain("Climb checks", help="by window")
    climb_check_m_s: float | None = plain("Climb checked", help="limit of the climb that is checked")
    unbeaten: tuple[str, ...] = plain("Unbeaten", help="names of the options that no other beats")
    remarks: tuple[str, ...]
    sources: tuple[str, ...]
