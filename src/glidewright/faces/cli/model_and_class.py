"""A model folder and the class that it names, as every computing command reads them."""

from pathlib import Path

from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.rules.measures import MEASURE_UNITS
from glidewright.store.class_files import read_class
from glidewright.store.reading import read_model


def model_and_class(folder: Path) -> tuple[Model, ClassLimits | None]:
    """The model and its class, None when it names none; raises InputError with every problem."""
    model = read_model(folder)
    rule = read_class(folder, model.class_id, MEASURE_UNITS) if model.class_id else None
    return model, rule
