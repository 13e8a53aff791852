"""Packaged numbers as inputs: what stands in where nothing is stated."""

from glidewright.base.figure import Given
from glidewright.data import coefficients


def usual(table: str, name: str, because: str = "") -> Given:
    """A row of a table of coefficients with its band, of grade ``typical``, in the unit of the row.

    because: its reason; the method of the row when left out.

    >>> supply = usual("controller", "servo_supply_voltage")
    >>> supply.value, supply.grade
    (5.0, 'typical')
    """
    row = coefficients(table)[name]
    known = {key: float(row[key]) for key in ("value", "low", "high")}
    return Given(**known, grade="typical", because=because or str(row["method"]))


def stand_in(table: str, name: str) -> Given:
    """The same with source and range of the row as its reason.

    >>> stand_in("controller", "servo_supply_voltage").because
    'common practice: supply of receiver and servos, where none is stated'
    """
    row = coefficients(table)[name]
    return usual(table, name, f"{row['source']}: {row['valid']}")
