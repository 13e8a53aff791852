"""Measure: one thing that a class may limit, and how a prediction answers it."""

from collections.abc import Callable
from dataclasses import dataclass

from glidewright.base.figure import Figure
from glidewright.domain.class_limits import Limit
from glidewright.domain.flight_reading import FlightTrace, LaunchReading
from glidewright.forecast.prediction import Draws, Prediction

WORDS = "words"

Predicted = Callable[[Prediction, Limit], Draws | str]
Stated = Callable[[Prediction], tuple[str, ...] | str]


@dataclass(frozen=True)
class LoggedLaunch:
    """One launch as its log shows it, with the curves of the flight where they are at hand."""

    launch: LaunchReading
    trace: FlightTrace | None = None


Logged = Callable[[LoggedLaunch, Limit], Figure]


@dataclass(frozen=True)
class Measure:
    """What a limit is on. A number has ``predicted``, a choice of words has ``stated``.

    name: in class files; unit: SI symbol, or ``words``; shown: unit for people; predicted: draws in SI,
    shape (count,), or the sentence why they are not known; stated: the words of the model, or why there
    are none; result: public name of the prediction it reads, whose cause of the spread is known by name;
    logged: the same from a flight log, None for what no log shows.
    """

    name: str
    title: str
    unit: str
    shown: str
    help: str
    predicted: Predicted | None = None
    stated: Stated | None = None
    result: str = ""
    logged: Logged | None = None

    def __post_init__(self) -> None:
        if (self.predicted is None) == (self.stated is None):
            raise TypeError(f"measure {self.name} must have either predicted or stated")
        if (self.unit == WORDS) != (self.stated is not None):
            raise TypeError(f"measure {self.name} must have the unit {WORDS} exactly when it is stated")


def read(result: str) -> Predicted:
    """The draws of one result of a prediction, or why they are not known."""

    def predicted(prediction: Prediction, _limit: Limit) -> Draws | str:
        draws = prediction.draws(result)
        return prediction.why_unknown(result) if draws is None else draws

    return predicted


def of_result(
    name: str, title: str, unit: str, shown: str, result: str, help: str, logged: Logged | None = None
) -> Measure:
    """A measure that is one result of a prediction as it stands."""
    return Measure(name, title, unit, shown, help, predicted=read(result), result=result, logged=logged)


def read_from(field: str) -> Logged:
    """One figure of a launch as it was read."""

    def logged(launch: LoggedLaunch, _limit: Limit) -> Figure:
        found: Figure = getattr(launch.launch, field)
        return found

    return logged


@dataclass(frozen=True)
class NeverKnown:
    """For what no model folder states: a person measures it at the model; ``why`` says how."""

    why: str

    def __call__(self, *_: object) -> str:
        """Why it is not known, whatever the prediction."""
        return self.why
