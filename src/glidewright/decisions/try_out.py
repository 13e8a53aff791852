"""User job ``try out``: what another pack, another propeller or another day would do, in a blink.

The same models as everywhere, over fewer draws and without the causes of spreads, so that numbers can follow
a moving slider. Nothing is written; the model of the folder stays as it is.
"""

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import OutsideModelError
from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure, Given
from glidewright.base.units import unit
from glidewright.calibration.learned import correction_of
from glidewright.decisions.changed_model import with_part, without_taught
from glidewright.decisions.nouns import NamedFigure, Series
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.correction import Correction
from glidewright.domain.model import Model
from glidewright.domain.parts import Motor, Pack, Part, Propeller
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import Setup, prepare
from glidewright.models.launch import layout as ll
from glidewright.models.power import layout as pl

Array = NDArray[np.float64]

DRAWS = 64
_KINDS: dict[str, type[Part]] = {"motor": Motor, "pack": Pack, "propeller": Propeller}
_POINTS = (
    ("thrust_N", "Thrust", pl.THRUST_N, "N"),
    ("pack_current_A", "Pack current", pl.PACK_CURRENT_A, "A"),
    ("revs_per_s", "Speed of the propeller", pl.REVS_PER_S, "rpm"),
)
_TRACE = (("height_m", "Height", "m"), ("pack_current_A", "Pack current", "A"))
_LAUNCH = (
    ("height_true_m", "Launch height", "m"),
    ("mean_climb_m_s", "Mean climb", "m/s"),
    ("motor_run_s", "Motor run", "s"),
    ("launch_pack_current_A", "Highest pack current", "A"),
    ("lowest_cell_V", "Lowest cell voltage", "V"),
    ("charge_per_launch_As", "Charge of one launch", "mAh"),
)


class Trial(Noun):
    """A model with what shall be tried; parts by their id in the drawer, as fitted where nothing is said."""

    model: Model
    rule: ClassLimits | None = None
    motor: str = plain("Motor", help="of the drawer, in the place of the fitted one", default="")
    pack: str = plain("Pack", help="of the drawer, in the place of the fitted one", default="")
    propeller: str = plain("Propeller", help="of the drawer, in the place of the fitted one", default="")
    temperature_K: float | None = plain("Air temperature", help="at the ground", default=None)
    elevation_m: float | None = plain("Elevation", help="of the field above sea level", default=None)
    headwind_m_s: float | None = plain("Head wind", help="launched into", default=None)
    charge_at_start: float | None = plain("Charge at the start", help="of the pack, 0 to 1", default=None)
    draws: int = DRAWS


class PowerTrial(Noun):
    """Operating points over airspeed, and those at rest and in the climb."""

    airspeeds_m_s: tuple[float, ...]
    over_airspeed: tuple[Series, ...]
    at_rest: tuple[NamedFigure, ...]
    in_climb: tuple[NamedFigure, ...]


class LaunchTrial(Noun):
    """The course of one launch, and its figures."""

    times_s: tuple[float, ...]
    trace: tuple[Series, ...]
    figures: tuple[NamedFigure, ...]


def tried_model(trial: Trial) -> Model:
    """The model as it would be; raises OutsideModelError for a part that is not in the drawer."""
    model = trial.model
    for word, kind in _KINDS.items():
        model = _swapped(model, kind, getattr(trial, word), word)
    field = {
        name: _moved(getattr(model.field, name), value)
        for name in ("temperature_K", "elevation_m", "headwind_m_s")
        if (value := getattr(trial, name)) is not None
    }
    update: dict[str, object] = {"field": model.field.model_copy(update=field)}
    if trial.charge_at_start is not None:
        given = _moved(model.launch.charge_at_start, trial.charge_at_start)
        update["launch"] = model.launch.model_copy(update={"charge_at_start": given})
    return model.model_copy(update=update)


def try_power(trial: Trial) -> PowerTrial:
    """The power train as tried; raises OutsideModelError when it is incomplete or not covered."""
    found = forecast(_setup(trial), with_trace=False, with_many=False, with_glide=False)
    points = found.points
    assert points is not None  # the set-up has a power train
    return PowerTrial(
        airspeeds_m_s=tuple(float(speed) for speed in found.airspeeds_m_s),
        over_airspeed=tuple(
            Series.of_draws(name, title, shown, points[:, 2:, column])
            for name, title, column, shown in _POINTS
        ),
        at_rest=_point_figures(points[:, 0]),
        in_climb=_point_figures(points[:, 1]),
    )


def try_launch(trial: Trial) -> LaunchTrial:
    """One launch as tried; raises OutsideModelError when mass or power train are not known or not covered."""
    found = forecast(
        _setup(trial), with_many=False, with_causes=False, with_power_curves=False, with_glide=False
    )
    trace = found.trace
    if trace is None:
        why = found.prediction.why_unknown("height_counted_m")
        raise OutsideModelError.at("model.toml", f"must state what a launch needs; {why}; add it or weigh it")
    flown = trace[:, np.isfinite(trace[:, :, 1]).any(axis=0)]
    columns = list(ll.TRACE_FIELDS)
    return LaunchTrial(
        times_s=tuple(float(time) for time in np.nanmin(flown[:, :, 0], axis=0)),
        trace=tuple(
            Series.of_draws(name, title, shown, flown[:, :, columns.index(name)])
            for name, title, shown in _TRACE
        ),
        figures=tuple(
            NamedFigure(name=name, title=title, figure=_result(found, name, shown))
            for name, title, shown in _LAUNCH
        ),
    )


def _setup(trial: Trial) -> Setup:
    model = tried_model(trial)
    setup = prepare(model, trial.rule, trial.draws, _still_taught(trial))
    if isinstance(setup.power, str):
        message = (
            f"must have a motor, a controller, a pack and a propeller; {setup.power}; fit what is missing"
        )
        raise OutsideModelError.at("model.toml", message)
    return setup


def _still_taught(trial: Trial) -> Correction:
    """What the bench taught, without what it taught of parts that are replaced."""
    correction = correction_of(trial.model)
    for word, kind in _KINDS.items():
        fitted = trial.model.first(kind)
        if getattr(trial, word) and fitted is not None and fitted.id != getattr(trial, word):
            correction = without_taught(correction, kind)
    return correction


def _swapped(model: Model, kind: type[Part], part_id: str, word: str) -> Model:
    found = next(model.of_kind(kind), None)
    if not part_id or found is None or found[1].id == part_id:
        return model
    part = model.from_drawer(part_id)
    if not isinstance(part, kind):
        message = f"must be a {word} of the drawer; {part_id[:40]!r} came; choose one of the drawer"
        raise OutsideModelError.at(word, message)
    item, old = found
    place = {axis: getattr(old, axis) for axis in ("x_m", "y_m", "z_m")}
    return with_part(model, item, part.model_copy(update=place))


def _moved(given: Given | None, value: float) -> Given:
    """A number at another value; a band that was stated goes with it."""
    if given is None:
        return Given(value=value, grade="typical", because="tried out")
    if given.low is None or given.high is None:
        return Given(value=value, grade=given.grade, because="tried out")
    shift = value - given.value
    return Given(
        value=value, low=given.low + shift, high=given.high + shift, grade=given.grade, because="tried out"
    )


def _point_figures(point: Array) -> tuple[NamedFigure, ...]:
    return tuple(
        NamedFigure(name=name, title=title, figure=_figure(point[:, column], shown))
        for name, title, column, shown in _POINTS
    )


def _result(found: Forecast, name: str, shown: str) -> Figure:
    draws = found.prediction.draws(name)
    if draws is None:
        return Figure.unknown(unit(shown).si, shown, found.prediction.why_unknown(name))
    return _figure(draws, shown)


def _figure(draws: Array, shown: str) -> Figure:
    return Figure.of_draws(
        draws, unit(shown).si, shown, "typical", "tried out; the report says why it is so wide"
    )
