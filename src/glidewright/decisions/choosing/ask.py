"""The question of a search, made ready: drawer, goals, axes, tests, and what they are flown like."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from glidewright.base.errors import InputError, Problem
from glidewright.decisions.choosing.axes import AXES, Axes, axes_of, drawn, is_additive
from glidewright.decisions.choosing.builds import roles_of, with_more_parts
from glidewright.decisions.choosing.fit import Test
from glidewright.decisions.choosing.frame import Frame, frame_of
from glidewright.decisions.choosing.goals import Goal, Need, goals_of, needs_of
from glidewright.decisions.choosing.labels import label_tests, price_tests, ready_tests
from glidewright.decisions.choosing.nouns import ChooseRequest
from glidewright.decisions.choosing.places import places_of
from glidewright.decisions.choosing.screen import flown_tests
from glidewright.decisions.choosing.settle import Settler
from glidewright.decisions.choosing.sieve import Sieve
from glidewright.decisions.choosing.simulate import Flyer
from glidewright.domain.correction import Correction
from glidewright.domain.model import Model
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import prepare

BALANCE_CHANCE = 0.9
DAY_S = 86400.0


@dataclass(frozen=True)
class Question:
    """Everything that a search stands on; base: the model as it is, over all draws."""

    request: ChooseRequest
    model: Model
    goals: tuple[Goal, ...]
    needs: tuple[Need, ...]
    base: Forecast
    sieve: Sieve
    settler: Settler

    @property
    def axes(self) -> Axes:
        """The options of every role."""
        return self.sieve.axes

    @classmethod
    def of(cls, request: ChooseRequest, correction: Correction) -> "Question":
        """The question of a request; raises InputError when it cannot be asked."""
        goals, needs = goals_of(request.goals), needs_of(request.needs)
        within_s = _within_s(request)
        model = with_more_parts(request.model, (*request.parts, *request.catalogue))
        _check_names(request)
        catalogue = frozenset(part.id for part in request.catalogue)
        _check_drawer(model)
        roles = roles_of(model)
        axes = axes_of(model, request.rule, correction, roles, catalogue)
        base = forecast(
            prepare(model, request.rule, request.draws, correction),
            with_trace=False,
            with_many=False,
            with_causes=False,
            with_power_curves=False,
        )
        orders = base.orders
        assert orders is not None  # every mass is known
        places = places_of(model, axes, base, BALANCE_CHANCE)
        frame = frame_of(model, request.rule, axes, places, orders, needs)
        labels = [*label_tests(model, request.rule, axes), *_term_tests(axes, goals, needs, within_s)]
        flown = flown_tests(request.rule, model, needs)
        sieve = Sieve(axes, tuple(labels), flown, frame, request.buy)
        flyer = Flyer(model, request.rule, correction, request.draws, request.chance, orders)

        def frame_of_draws() -> Frame | None:
            if not is_additive(model, correction):
                return None
            return frame_of(model, request.rule, drawn(axes, request.draws), places, orders)

        settler = Settler(axes, places, flyer, goals, request.simulated, frame_of_draws)
        return cls(request, model, goals, needs, base, sieve, settler)


def _within_s(request: ChooseRequest) -> float | None:
    """Time until everything must be there; nothing when no day is stated."""
    if request.by is None:
        return None
    if request.today is None:
        raise ValueError("a request with a date must state today")
    days = (request.by - request.today).days
    if days < 0:
        raise InputError.at(
            "by",
            f"must be today or later; {request.by.isoformat()} came and today is "
            f"{request.today.isoformat()}; correct the date",
        )
    return days * DAY_S


def _check_names(request: ChooseRequest) -> None:
    """Every part has a name of its own, over the drawer and all further parts."""
    count = Counter(part.id for part in (*request.model.drawer, *request.parts, *request.catalogue))
    problems = [
        Problem("parts", f"must have each name once; {name!r} names {number} parts; rename one of them")
        for name, number in count.items()
        if number > 1
    ]
    if problems:
        raise InputError(problems)


def _check_drawer(model: Model) -> None:
    """There must be something to choose from."""
    kinds = {kind for _, kind in AXES}
    if not any(type(part) in kinds for part in model.drawer):
        raise InputError.at(
            "parts",
            "must hold motors, controllers, packs, propellers or servos to choose from; the drawer has none; "
            "add them to a file in parts/ or give one with --parts",
        )


def _term_tests(
    axes: Axes, goals: Iterable[Goal], needs: Iterable[Need], within_s: float | None
) -> Iterable[Test]:
    """Date and prices, where they are asked for."""
    if within_s is not None:
        yield from ready_tests(axes, within_s)
    if any(goal.name == "cost" for goal in (*goals, *(need.goal for need in needs))):
        yield from price_tests(axes)
