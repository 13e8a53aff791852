"""Field: the air, the wind and the ceiling over the ground that the law or the site sets."""

from typing import ClassVar

from glidewright.base.fields import Noun, plain, quantity
from glidewright.base.figure import Given


class Field(Noun):
    """The flying field on the day. What is left out is the standard atmosphere at the stated elevation."""

    table: ClassVar[str] = "field"

    name: str = plain("Name", help="of the field", default="")
    elevation_m: Given = quantity(
        "Elevation",
        key="elevation_m",
        shown="m",
        help="above sea level",
        spread="exact",
        at_least=-430,
        at_most=5000,
        default=Given(value=0.0, grade="guessed", because="not stated, sea level assumed"),
    )
    temperature_K: Given | None = quantity(
        "Air temperature",
        key="temperature_C",
        shown="°C",
        help="at the ground; standard atmosphere when left out",
        spread="air_temperature",
        at_least=-40,
        at_most=55,
        usual=(-5, 38),
    )
    pressure_Pa: Given | None = quantity(
        "Air pressure",
        key="pressure_hPa",
        shown="hPa",
        help="at the field itself, not reduced to sea level",
        spread="exact",
        at_least=500,
        at_most=1100,
    )
    headwind_m_s: Given = quantity(
        "Head wind",
        key="headwind_m_per_s",
        shown="m/s",
        help="mean at the reference height, launched into",
        spread="wind",
        at_least=0,
        at_most=25,
        usual=(0, 10),
        default=Given(value=0.0, grade="guessed", because="not stated, calm assumed"),
    )
    wind_height_m: Given = quantity(
        "Height of the wind reading",
        key="wind_height_m",
        shown="m",
        help="where the wind was read",
        spread="exact",
        above=0,
        at_most=100,
        default=Given(value=2.0, grade="typical", because="hand-held reading"),
    )
    ceiling_m: Given | None = quantity(
        "Height ceiling",
        key="ceiling_m",
        shown="m",
        help="highest legal height over ground at this field",
        spread="exact",
        above=0,
        at_most=3000,
    )
    ceiling_source: str = plain("Source of the ceiling", help="law, site permit or club rule", default="")
