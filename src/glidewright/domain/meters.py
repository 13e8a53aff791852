"""What scales and meters show: the same quantity, in the same range, wherever somebody writes it down."""

from typing import Any

from glidewright.base.fields import quantity


def scale_mass(help: str) -> Any:
    """A mass that a scale read."""
    return quantity("Mass", key="mass_g", shown="g", help=help, spread="scale", above=0, at_most=20000)


def balance_point(help: str) -> Any:
    """Where a model balanced, from the datum."""
    return quantity(
        "Balance point x",
        key="x_mm",
        shown="mm",
        help=help,
        spread="balance_reading",
        at_least=-3000,
        at_most=3000,
    )


def pack_amps() -> Any:
    """The current out of the pack."""
    return quantity(
        "Amps", key="current_A", shown="A", help="from the pack", spread="ammeter", above=0, at_most=500
    )


def loaded_volts(help: str) -> Any:
    """Volts under load."""
    return quantity("Volts", key="voltage_V", shown="V", help=help, spread="voltmeter", above=0, at_most=100)


def propeller_speed(title: str, help: str) -> Any:
    """Revolutions of the propeller."""
    return quantity(
        title, key="speed_rpm", shown="rpm", help=help, spread="tachometer", above=0, at_most=60000
    )
