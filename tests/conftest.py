"""What several tests stand on: the demo model and its class."""

import os
from pathlib import Path

import pytest
from hypothesis import settings

import glidewright
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.rules.measures import MEASURE_UNITS
from glidewright.store.class_files import read_class
from glidewright.store.reading import read_model

# No time limit: speed is measured in benchmarks/. The same examples on every run of continuous integration.
settings.register_profile("house", deadline=None, derandomize=bool(os.environ.get("CI")))
settings.load_profile("house")

DEMO = Path(glidewright.__file__).parent / "data/demo/hill-demo"


@pytest.fixture(scope="session")
def demo_folder() -> Path:
    return DEMO


@pytest.fixture(scope="session")
def demo() -> Model:
    return read_model(DEMO)


@pytest.fixture(scope="session")
def hill_class() -> ClassLimits:
    return read_class(None, "hill-club-electric", MEASURE_UNITS)
