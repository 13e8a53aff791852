import numpy as np
import pytest

from glidewright.models.launch import layout as ll
from glidewright.models.launch.example import example_inputs
from glidewright.models.launch.flights import repeated_launches
from glidewright.models.launch.series import CRITERIA, last_useful_launch

GENEROUS = {"reserve": 0.0, "climb_share": 0.0, "cell_voltage_V": 0.0}


@pytest.fixture(scope="module")
def flown() -> ll.Array:
    return repeated_launches(example_inputs(), 12)


@pytest.mark.parametrize(
    ("criterion", "stated"),
    [
        ("reserve", {"reserve": 0.3}),
        ("sluggish climb", {"climb_share": 0.85}),
        ("lowest cell voltage", {"cell_voltage_V": 3.3}),
    ],
)
def test_the_criterion_that_binds_is_named(flown: ll.Array, criterion: str, stated: dict[str, float]) -> None:
    found = last_useful_launch(flown, 1980.0, **(GENEROUS | stated))
    count = int(found.launches[0])
    assert CRITERIA[found.bound_by[0]] == criterion
    last, beyond = flown[0, count - 1], flown[0, count]
    measured = {
        "reserve": lambda row: 1.0 - row[ll.END_CHARGE] / 1980.0 >= 0.3,
        "sluggish climb": lambda row: row[ll.MEAN_CLIMB] >= 0.85 * flown[0, 0, ll.MEAN_CLIMB],
        "lowest cell voltage": lambda row: row[ll.LOWEST_CELL_VOLTAGE] >= 3.3,
    }[criterion]
    assert measured(last)
    assert not measured(beyond)


def test_launches_that_were_never_flown_are_not_counted() -> None:
    many = repeated_launches(example_inputs(controller_low_voltage_cut_V=0.0), 12)
    found = last_useful_launch(many, 1980.0, reserve=-9.0, climb_share=-9.0, cell_voltage_V=-9.0)
    assert CRITERIA[found.bound_by[0]] == "pack empty"
    assert found.launches[0] == np.sum(many[0, :, ll.MOTOR_RUN] > 0.0)


def test_when_nothing_binds_all_those_flown_count(flown: ll.Array) -> None:
    found = last_useful_launch(flown[:, :2], 1980.0, **GENEROUS)
    assert (int(found.launches[0]), CRITERIA[found.bound_by[0]]) == (2, "none of those flown")
