"""The short form of the glide: its main figures straight from a prediction."""

from glidewright.decisions.nouns import NamedFigure
from glidewright.forecast.prediction import Prediction

FLIGHT = (
    ("sink_least_m_s", "Least sink", "m/s"),
    ("speed_sink_least_m_s", "Airspeed of least sink", "m/s"),
    ("glide_ratio_best", "Best glide ratio", ""),
    ("speed_glide_best_m_s", "Airspeed of best glide", "m/s"),
    ("stall_speed_m_s", "Stalling speed", "m/s"),
    ("elevator_trim_rad", "Elevator at least sink, down positive", "°"),
)
BALANCE = (
    ("neutral_point_x_m", "Neutral point", "mm"),
    ("static_margin", "Static margin", "%"),
)


def glide_figures(prediction: Prediction) -> tuple[NamedFigure, ...]:
    """What is known of glide and balance in flight; unknown ones are left out."""
    return tuple(
        NamedFigure(name=name, title=title, figure=prediction.figure(name, shown))
        for name, title, shown in (*FLIGHT, *BALANCE)
        if name in prediction.values
    )
