"""The first launch, its trace, and all launches of one charge."""

from collections import Counter

import numpy as np
from numpy.typing import NDArray

from glidewright.base.wording import chance_text, exact_text, plain_text
from glidewright.decisions.nouns import LaunchAnswer, LaunchRow, NamedFigure, Series
from glidewright.forecast.flights import HEIGHT_COLUMN, ManyLaunches, cells_of
from glidewright.forecast.kernel_rows import air
from glidewright.forecast.predict import Forecast
from glidewright.models.launch import layout as ll
from glidewright.models.launch.series import CRITERIA

Array = NDArray[np.float64]

_FIGURES = (
    ("height_true_m", "Launch height over ground, as the class counts it", "m"),
    ("height_counted_m", "The same as the altimeter reads it", "m"),
    ("height_at_cut_m", "Height at motor stop", "m"),
    ("zoom_m", "Gained after motor stop", "m"),
    ("motor_run_s", "Motor run", "s"),
    ("motor_run_lost_s", "Motor run that the limiter takes away", "s"),
    ("height_without_limiter_m", "Height read if nothing stopped the motor by height", "m"),
    ("mean_climb_m_s", "Mean climb", "m/s"),
    ("best_climb_m_s", "Best climb over 5 s", "m/s"),
    ("highest_airspeed_m_s", "Highest airspeed", "m/s"),
    ("launch_pack_current_A", "Highest pack current", "A"),
    ("launch_motor_current_A", "Highest motor current", "A"),
    ("charge_per_launch_As", "Charge of one launch", "mAh"),
    ("energy_J", "Energy of one launch", "Wh"),
    ("lowest_cell_V", "Lowest cell voltage", "V"),
    ("motor_temperature_K", "Motor after the first launch", "°C"),
    ("motor_temperature_last_K", "Motor after the last useful launch", "°C"),
    ("pack_temperature_K", "Pack after the first launch", "°C"),
)
_TRACE = (
    ("height_m", "Height", "m"),
    ("airspeed_m_s", "Airspeed", "m/s"),
    ("pack_current_A", "Pack current", "A"),
    ("pack_voltage_V", "Volts at the pack", "V"),
    ("motor_temperature_K", "Motor temperature", "°C"),
)
_ROW_COLUMNS = {
    "climb": (ll.MEAN_CLIMB, "m/s"),
    "motor_run": (ll.MOTOR_RUN, "s"),
    "charge_used": (ll.CHARGE_USED, "mAh"),
    "motor_temperature": (ll.HIGHEST_MOTOR_TEMPERATURE, "°C"),
    "pack_temperature": (ll.HIGHEST_PACK_TEMPERATURE, "°C"),
}
_COUNT_WORDS = {
    "highest": "the highest point from motor start to {window:g} s after motor stop",
    "at_cut": "the height at motor stop",
    "at_window_end": "the height {window:g} s after motor stop",
}


def launch_answer(forecast: Forecast) -> LaunchAnswer | None:
    """Launch figures with spread, or nothing while mass or power train are unknown."""
    orders, trace, many = forecast.orders, forecast.trace, forecast.many
    if orders is None or trace is None or many is None:
        return None
    prediction = forecast.prediction
    count = forecast.setup.rule.height.count if forecast.setup.rule else "highest"
    flown = trace[:, np.isfinite(trace[:, :, 1]).any(axis=0)]  # until the last draw is on the ground
    times = np.nanmin(flown[:, :, 0], axis=0)
    return LaunchAnswer(
        counted=_COUNT_WORDS[count].format(window=orders.window_s),
        stop=_stop_words(forecast),
        climb_speed=forecast.figure(forecast.climb_speed_draws_m_s(), "m/s"),
        figures=tuple(
            NamedFigure(name=name, title=title, figure=prediction.figure(name, shown))
            for name, title, shown in _FIGURES
        ),
        times_s=tuple(float(t) for t in times),
        trace=tuple(
            Series.of_draws(name, title, shown, flown[:, :, list(ll.TRACE_FIELDS).index(name)])
            for name, title, shown in _TRACE
        ),
        rows=_rows(forecast, many),
        useful_launches=prediction.figure("launches", ""),
        last_bound_by=_bound_words(many),
        air=_air_words(forecast),
    )


def _stop_words(forecast: Forecast) -> str:
    """What stops the motor, with the share of the draws."""
    orders, first = forecast.orders, forecast.first
    assert orders is not None and first is not None  # the caller has seen to it
    reasons = first[:, ll.CUT_REASON]
    shares = Counter(int(reason) for reason in reasons)
    names = {
        ll.CUT_BY_TIME: f"after {exact_text(orders.motor_run_s, 's')} by {orders.run_by}",
        ll.CUT_BY_HEIGHT: f"at {exact_text(orders.cut_height_m or 0.0, 'm')} by {orders.height_by}",
        ll.CUT_BY_LOW_VOLTAGE: "by the low-voltage cut of the controller",
        ll.CUT_BY_EMPTY_PACK: "because the pack is empty",
        ll.CUT_BY_GROUND: "because the model comes to the ground",
        ll.CUT_BY_LONGEST_FLIGHT: "after the longest time that is computed",
    }
    words = [f"{names[reason]} ({chance_text(n / reasons.size)})" for reason, n in shares.most_common()]
    return "the motor stops " + ", ".join(words)


def _bound_words(many: ManyLaunches) -> str:
    shares = Counter(int(place) for place in many.bound_by)
    return ", ".join(
        f"{CRITERIA[place]} ({chance_text(n / many.bound_by.size)})" for place, n in shares.most_common(3)
    )


def _air_words(forecast: Forecast) -> str:
    density, temperature = air(forecast.setup)
    wind = forecast.setup["field.headwind"]
    dense, warm, blown = (
        plain_text(float(np.median(draws)), shown)
        for draws, shown in ((density, "kg/m³"), (temperature, "°C"), (wind, "m/s"))
    )
    return f"air of {dense} at {warm}, head wind {blown}"


def _rows(forecast: Forecast, many: ManyLaunches) -> tuple[LaunchRow, ...]:
    """Every launch up to one beyond the last that is useful in one draw of ten."""
    cells = cells_of(forecast.setup)
    capacity = forecast.setup["pack.capacity"][: many.useful.size]
    count = forecast.setup.rule.height.count if forecast.setup.rule else "highest"
    last = min(int(np.quantile(many.useful, 0.9)) + 1, many.outputs.shape[1])
    found = []
    for place in range(last):
        row = many.outputs[:, place]
        figures = {
            name: forecast.figure(row[:, column], shown) for name, (column, shown) in _ROW_COLUMNS.items()
        }
        found.append(
            LaunchRow(
                number=place + 1,
                height=forecast.figure(row[:, HEIGHT_COLUMN[count]], "m"),
                lowest_cell=forecast.figure(row[:, ll.LOWEST_PACK_VOLTAGE] / cells, "V"),
                charge_left=forecast.figure(np.maximum(1.0 - row[:, ll.END_CHARGE] / capacity, 0.0), "%"),
                useful_chance=float(np.mean(many.useful > place)),
                **figures,
            )
        )
    return tuple(found)
