"""What a way into the range does to everything else: limits kept now, and the height of a launch."""

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import OutsideModelError
from glidewright.base.figure import Given
from glidewright.decisions.balancing.search import Found
from glidewright.decisions.balancing.slots import Placed
from glidewright.decisions.changed_model import with_added, with_part, without_taught
from glidewright.decisions.judgement import judge
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.correction import Correction
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Ballast, Part
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import prepare
from glidewright.forecast.spread import Input
from glidewright.rules.finding import Finding

DRAWS, SCREEN_DRAWS = 64, 32
HEIGHT_KEPT = 0.95  # of a launch: dead weight is not saved by giving the launch away


@dataclass(frozen=True)
class Outcome:
    """Findings by kind and name, and the median height of a launch where it is known, m."""

    findings: dict[tuple[str, str], Finding]
    height_m: float | None


@dataclass
class Judge:
    """Computes changed models on the same draws and at the same climb airspeed as the model as it is."""

    model: Model
    rule: ClassLimits | None
    correction: Correction
    climb_speed_m_s: float | None
    memo: dict[tuple[int, tuple[str, ...]], dict[Input, NDArray[np.float64]]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.now = self.outcome(self.model, (), DRAWS)
        self._screened = self.outcome(self.model, (), SCREEN_DRAWS)

    def outcome(self, model: Model, swapped: Iterable[type[Part]], draws: int) -> Outcome | None:
        """Findings and height of a model; nothing when no model covers a part of it."""
        correction = self.correction
        for kind in swapped:
            correction = without_taught(correction, kind)
        memo = self.memo.setdefault((draws, correction.names), {})
        try:
            setup = prepare(model, self.rule, draws, correction, memo)
        except OutsideModelError:
            return None
        found = forecast(
            setup,
            with_trace=False,
            with_many=False,
            with_causes=False,
            with_power_curves=False,
            climb_speed_m_s=self.climb_speed_m_s,
        )
        return Outcome({(one.kind, one.name): one for one in judge(found)}, _height(found))

    def of_swap(self, item: Item, part: Part) -> str:
        """Why another part is not offered in the place of a fitted one; empty when it may be."""
        placed = part.model_copy(update={axis: getattr(item.part, axis) for axis in ("x_m", "y_m", "z_m")})
        own = next(one for one in self.model.items if one.name == item.name)
        after = self.outcome(with_part(self.model, own, placed), (type(part),), SCREEN_DRAWS)
        return _against(self._screened, after)

    def of_found(self, found: Found) -> tuple[str, Outcome | None]:
        """Why a whole way is not offered, empty when it may be, and its outcome."""
        model, swapped = self.model, []
        for placed, x_m in found.placed:
            if not (placed.is_new or placed.is_moved):
                continue
            own = next(one for one in model.items if one.name == placed.item.name)
            if placed.part is None:
                model = _without(model, own)
                continue
            swapped += [type(placed.part)] if placed.is_new else []
            model = with_part(model, own, _at(placed, x_m))
        for place, mass_kg in found.ballast:
            part = Ballast(
                id="new-ballast", mass_kg=_exact(mass_kg), x_m=_exact(place.x_m), y_m=_exact(place.y_m)
            )
            model = with_added(model, place.name, part)
        outcome = self.outcome(model, swapped, DRAWS)
        return _against(self.now, outcome), outcome


def _against(before: Outcome | None, after: Outcome | None) -> str:
    """What is kept now and would not be; the balance itself is judged elsewhere."""
    if before is None:
        return ""
    if after is None:
        return "no model covers it"
    worse = next(filter(None, (_worse(key, was, after) for key, was in before.findings.items())), "")
    if worse:
        return worse
    for key, new in after.findings.items():
        if key not in before.findings and new.severity in ("doubtful", "broken"):
            return f"{new.title.lower()} would be {new.severity}"
    least = None if before.height_m is None else HEIGHT_KEPT * before.height_m
    if least is not None and (after.height_m is None or after.height_m < least):
        return f"a launch would lose more than {100.0 * (1.0 - HEIGHT_KEPT):.0f} % of its height"
    return ""


def _worse(key: tuple[str, str], was: Finding, after: Outcome) -> str:
    """Whether a limit that was kept is kept no more, in words; of the balance nothing is said here."""
    now = after.findings.get(key)
    # of a motor that turns its propeller in every draw no finding is made
    is_silent = key == ("part", "drive") and now is None
    if key == ("part", "balance") or was.severity != "kept" or is_silent:
        return ""
    if now is None or now.severity == "unknown":
        return f"{was.title.lower()} would not be known any more"
    return "" if now.severity == "kept" else f"{was.title.lower()} would be {now.severity}"


def _exact(value: float) -> Given:
    return Given(value=value, grade="measured", because="put so")


def _at(placed: Placed, x_m: float) -> Part:
    assert placed.part is not None  # what is taken out has no place
    axes = {axis: getattr(placed.item.part, axis) for axis in ("x_m", "y_m", "z_m")}
    moved = {"x_m": _exact(x_m)} if placed.is_moved else {}
    return placed.part.model_copy(update=axes | moved)


def _without(model: Model, item: Item) -> Model:
    """The model without one item, and without the weighings that it lay in."""
    items = tuple(own for own in model.items if own is not item)
    weighings = tuple(w for w in model.weighings if not {"all", item.name, item.group} & set(w.of))
    return model.model_copy(update={"items": items, "weighings": weighings})


def _height(found: Forecast) -> float | None:
    draws = found.prediction.draws("height_true_m")
    if draws is None or not np.isfinite(draws).any():
        return None
    return float(np.nanmedian(draws))
