"""A small synthetic prediction: chosen draws in place of models."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from glidewright.base.figure import Given
from glidewright.domain.airframe import Airframe
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.field import Field
from glidewright.domain.launch_plan import LaunchPlan
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Part
from glidewright.forecast.prediction import Prediction

Predict = Callable[..., Prediction]


@pytest.fixture
def predict() -> Predict:
    """Prediction from parts, a class and draws by name; a number stands for draws that are all alike."""

    def build(
        *parts: Part,
        rule: ClassLimits | None = None,
        field: Field | None = None,
        controls: tuple[str, ...] = ("rudder", "elevator", "spoiler"),
        structure: str = "wood",
        **values: Any,
    ) -> Prediction:
        airframe = Airframe(
            span_m=Given(value=2.0), wing_area_m2=Given(value=0.36), controls=controls, structure=structure
        )
        model = Model(
            name="test",
            airframe=airframe,
            field=field or Field(),
            launch=LaunchPlan(),
            items=tuple(Item(name=part.id, part=part) for part in parts),
        )
        arrays = {name: np.atleast_1d(np.asarray(value, dtype=float)) for name, value in values.items()}
        count = max((array.size for array in arrays.values()), default=1)
        draws = {name: np.broadcast_to(array, (count,)).copy() for name, array in arrays.items()}
        return Prediction(model=model, rule=rule, count=count, values=draws)

    return build
