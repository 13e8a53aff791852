"""Made-up truths and their readings, from the studies."""

import sys
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from glidewright.domain.logbook import Flight
from glidewright.domain.model import Model

STUDIES = str(Path(__file__).parents[3] / "studies")


@pytest.fixture(scope="session")
def studies() -> Iterator[None]:
    sys.path.insert(0, STUDIES)
    yield
    sys.path.remove(STUDIES)


@pytest.fixture(scope="session")
def truths(studies: None) -> ModuleType:  # noqa: ARG001 - it makes the import possible
    return import_module("truths")


@pytest.fixture(scope="session")
def coverage(studies: None) -> ModuleType:  # noqa: ARG001 - it makes the import possible
    return import_module("calibration_coverage")


@pytest.fixture(scope="session")
def three_flights(demo: Model, truths: ModuleType) -> list[Flight]:
    """Three days, four launches, from one truth."""
    outings = [truths.Outing("2025-05-03"), truths.Outing("2025-05-10", 2), truths.Outing("2025-06-07")]
    _, flights = truths.fly(demo, None, outings, np.random.Generator(np.random.PCG64(4)))
    return list(flights)
