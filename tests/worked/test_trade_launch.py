"""The launch of a common model against what the trade reports.

Common practice, no single source; check values only: a two-metre model of about 0.59 kg with a 1020 rpm/V
outrunner of the 28 mm class, 11x6 folding blades and a two-cell pack stays under 25 A; its best climb over a
30 s run is about 3.8 m/s to about 120 m; a two-cell 550 mAh pack gives about five full runs with one or two
in reserve, the last one sluggish. Only ``typical`` and ``quoted`` grades enter, so the bands are wide.
"""

import numpy as np
import pytest
from outside import covers, held, within

from glidewright.domain.model import Model
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import prepare
from glidewright.models.launch.layout import MEAN_CLIMB

TRADE = "common practice, no single source"


@pytest.fixture(scope="module")
def launched(demo: Model) -> Forecast:
    no_wind = demo.field.headwind_m_s.model_copy(update={"value": 0.0})
    calm = demo.field.model_copy(update={"headwind_m_s": no_wind})
    items = tuple(
        item.model_copy(update={"part": item.part.model_copy(update={"stops_motor": False})})
        if item.part.kind == "altimeter"
        else item
        for item in demo.items
    )
    model = demo.model_copy(update={"field": calm, "items": items})
    return forecast(prepare(model, None, 512), with_trace=False)


def band(found: Forecast, name: str) -> tuple[float, float]:
    low, high = np.quantile(found.prediction.values[name], (0.1, 0.9))
    return float(low), float(high)


def test_mass_is_that_of_the_check_model(launched: Forecast) -> None:
    held(
        "mass of the check model",
        np.median(launched.prediction.values["mass_kg"]),
        0.59,
        abs=0.015,
        unit="kg",
        source=TRADE,
        because="about 0.59 kg: a few grams of glue and paint either way",
    )


def test_current_stays_under_25_A(launched: Forecast) -> None:
    for name, what in (("static", "held on the ground"), ("launch", "in the launch")):
        high = band(launched, f"{name}_pack_current_A")[1]
        trade = {"source": TRADE, "because": "the model stays under 25 A", "unit": "A"}
        within(f"current {what}, 90 % point", high, 0.0, 25.0, **trade)


@pytest.mark.parametrize(
    ("name", "what", "unit", "reported"),
    [
        ("mean_climb_m_s", "best climb over 30 s", "m/s", 3.8),
        ("height_true_m", "height after 30 s", "m", 120.0),
        ("launches", "full runs of a pack", "", 5.0),
    ],
)
def test_the_band_holds_what_the_trade_reports(
    launched: Forecast, name: str, what: str, unit: str, reported: float
) -> None:
    low, high = band(launched, name)
    because = "10 % to 90 % of the draws, parts as quoted and typical"
    covers(what, low, high, reported, unit=unit, source=TRADE, because=because)


def test_the_last_launch_is_sluggish(launched: Forecast) -> None:
    many = launched.many
    assert many is not None
    climb = np.nanmedian(many.outputs[:, :, MEAN_CLIMB], axis=0)
    last = int(np.median(many.useful)) - 1
    assert climb[last] < climb[0]
    assert np.all(np.diff(climb[: last + 1]) < 0)
