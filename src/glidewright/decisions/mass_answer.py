"""Mass, centre of gravity and inertia of a forecast, planned and weighed."""

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure, Given
from glidewright.base.wording import percent_text, plain_text
from glidewright.decisions.nouns import GroupMass, MassAnswer, NamedFigure
from glidewright.forecast.aero_results import usual_margins
from glidewright.forecast.items import ItemDraws
from glidewright.forecast.predict import Forecast

Array = NDArray[np.float64]

_CENTRE = (
    ("cg_x_m", "x, aft of the datum"),
    ("cg_y_m", "y, to the right wing"),
    ("cg_z_m", "z, above the datum"),
)
_INERTIA = (("roll", 0), ("pitch", 1), ("yaw", 2))
_WORTH_TELLING_M = 0.0005


def mass_answer(forecast: Forecast) -> MassAnswer | None:
    """The mass table, or nothing while a mass is unknown."""
    items = forecast.items
    if items is None:
        return None
    prediction = forecast.prediction
    total = prediction.figure("mass_kg", "g")
    front, rear, chance, source = balance_range(forecast)
    return MassAnswer(
        total=total,
        planned_total=forecast.figure(items.planned.mass_kg, "g"),
        groups=tuple(
            GroupMass(group=group, items=items.groups.count(group), figure=forecast.figure(draws, "g"))
            for group, draws in items.group_mass_kg().items()
        ),
        centre=tuple(
            NamedFigure(name=name, title=title, figure=prediction.figure(name, "mm"))
            for name, title in _CENTRE
        ),
        planned_centre_x=_planned_centre(forecast, items),
        balance_front=front,
        balance_rear=rear,
        balance_source=source,
        chance_inside=chance,
        position_on_chord=_on_chord(forecast),
        inertia=tuple(
            NamedFigure(
                name=f"inertia_{name}_kg_m2",
                title=name,
                figure=forecast.figure(items.now.inertia_kg_m2[:, axis, axis], "g·m²"),
            )
            for name, axis in _INERTIA
        ),
        moved=_moved(forecast, items),
        because=total.because,
    )


def balance_range(forecast: Forecast) -> tuple[Figure, Figure, float | None, str]:
    """Allowed range of the centre of gravity, the chance to lie inside, and who set it.

    Where the designer gives none, usual static margins about the computed neutral point stand in, and the
    chance counts the spread of the neutral point.
    """
    airframe = forecast.setup.model.airframe
    front, rear = airframe.balance_front_x_m, airframe.balance_rear_x_m
    if front is None or rear is None:
        usual = usual_range(forecast)
        if usual is not None:
            return usual
        unknown = Figure.unknown("m", "mm", "the airframe states no balance_front_x_mm and balance_rear_x_mm")
        return unknown, unknown, None, ""
    source = airframe.balance_source or "stated without a source"
    draws = forecast.prediction.draws("cg_x_m")
    chance = None
    if draws is not None:
        chance = float(np.mean((draws >= front.value) & (draws <= rear.value)))
    return _stated(front, source), _stated(rear, source), chance, source


def usual_range(forecast: Forecast) -> tuple[Figure, Figure, float | None, str] | None:
    """The same from usual static margins, or nothing where no neutral point is computed."""
    neutral = forecast.prediction.draws("neutral_point_x_m")
    found = usual_margins(forecast.setup.model.airframe, forecast.setup.model.field)
    if neutral is None or found is None:
        return None
    margin = forecast.prediction.draws("static_margin")
    chance = None
    if margin is not None:
        chance = float(np.mean((margin >= found.least_margin) & (margin <= found.greatest_margin)))
    because = f"a limit, set by {found.source}"
    front, rear = (
        Figure.exact(x_m, "m", "mm", "typical", because) for x_m in (found.front_x_m, found.rear_x_m)
    )
    return front, rear, chance, found.source


def _stated(given: Given, source: str) -> Figure:
    return Figure.exact(given.value, "m", "mm", given.grade, f"a limit, set by {source}")


def _planned_centre(forecast: Forecast, items: ItemDraws) -> Figure:
    if forecast.prediction.draws("cg_x_m") is None:
        return Figure.unknown("m", "mm", forecast.prediction.why_unknown("cg_x_m"))
    return forecast.figure(items.planned.centre_m[:, 0], "mm")


def _on_chord(forecast: Forecast) -> Figure:
    airframe = forecast.setup.model.airframe
    draws = forecast.prediction.draws("cg_x_m")
    if airframe.mean_chord_m is None or airframe.chord_front_x_m is None:
        return Figure.unknown("1", "%", "the airframe states no mean_chord_mm and chord_front_x_mm")
    if draws is None:
        return Figure.unknown("1", "%", forecast.prediction.why_unknown("cg_x_m"))
    share = (draws - airframe.chord_front_x_m.value) / airframe.mean_chord_m.value
    return forecast.figure(share, "%")


def _moved(forecast: Forecast, items: ItemDraws) -> tuple[str, ...]:
    """How far the weighings moved mass and centre of gravity, and how much they narrowed them."""
    if not forecast.setup.model.weighings:
        return ("nothing has been weighed yet: all masses are planned ones",)
    moved_kg = float(np.median(items.now.mass_kg) - np.median(items.planned.mass_kg))
    signed = f"{'+' if moved_kg >= 0.0 else ''}{plain_text(moved_kg, 'g')}"
    sentences = [
        f"weighings moved the mass by {signed}; {_narrowed(items.planned.mass_kg, items.now.mass_kg)}"
    ]
    if forecast.prediction.draws("cg_x_m") is not None:
        before, after = items.planned.centre_m[:, 0], items.now.centre_m[:, 0]
        shift = float(np.median(after) - np.median(before))
        way = "aft" if shift > 0 else "forward"
        words = (
            f"{plain_text(abs(shift), 'mm')} {way}"
            if abs(shift) >= _WORTH_TELLING_M
            else "by less than half a millimetre"
        )
        sentences.append(f"they moved the centre of gravity {words}; {_narrowed(before, after)}")
    return tuple(sentences)


def _narrowed(before: Array, after: Array) -> str:
    wide, narrow = np.ptp(np.quantile(before, (0.1, 0.9))), np.ptp(np.quantile(after, (0.1, 0.9)))
    if wide <= 0:
        return "its band has no width"
    return f"its band is {percent_text(narrow / wide)} as wide as before"
