"""What the logbook of a model keeps: flights with what flew and in which weather, and charges of packs."""

from typing import ClassVar

from pydantic import Field

from glidewright.base.fields import Noun, plain, quantity
from glidewright.base.figure import Figure, Given

from .class_limits import HeightCount
from .day import Day
from .flight_reading import LaunchReading, not_recorded


class Weather(Noun):
    """The air of one flight, as somebody read it; what is left out is that of the model's field."""

    table: ClassVar[str] = "weather"

    temperature_K: Given | None = quantity(
        "Air temperature",
        key="temperature_C",
        shown="°C",
        help="at the ground",
        spread="air_temperature",
        at_least=-40,
        at_most=55,
    )
    headwind_m_s: Given | None = quantity(
        "Head wind",
        key="headwind_m_per_s",
        shown="m/s",
        help="mean, at the reference height of the field",
        spread="wind",
        at_least=0,
        at_most=25,
    )


class SetUp(Noun):
    """What flew: ids of the drive parts, and the mass where somebody weighed the model for this flight."""

    table: ClassVar[str] = "set_up"

    motor: str = plain("Motor", help="id in the drawer", default="")
    controller: str = plain("Controller", help="id in the drawer", default="")
    pack: str = plain("Pack", help="id in the drawer", default="")
    propeller: str = plain("Propeller", help="id in the drawer", default="")
    mass_kg: Given | None = quantity(
        "Mass ready to fly",
        key="mass_g",
        shown="g",
        help="as weighed for this flight; the forecast of the folder when left out",
        spread="mass",
        above=0,
        at_most=20000,
    )


class Flight(Noun):
    """One flight in the logbook: the reading without its curves, and what the instrument cannot know.

    Its log is known by hash and part; figures are SI, those of the launches in indicated metres.
    """

    source_sha256: str = plain("Hash", help="SHA-256 of the log")
    part: int = plain("Part", help="number of the flight in the log", default=1)
    source_name: str = plain("File", help="name of the log in flights/")
    format: str = plain("Format", help="reader that read it", default="")
    date: str = plain("Date", help="year-month-day; empty when nobody knows", default="")
    start_utc: str = plain("Start", help="time of the first sample, UTC; empty when not stated", default="")
    invented: bool = plain("Invented", help="true for a made-up log", default=False)
    set_up: SetUp = plain("What flew", help="parts and mass", default=SetUp())
    weather: Weather = plain("Weather", help="of this flight", default=Weather())
    is_charged: bool | None = plain(
        "Charged",
        help="whether the pack was freshly charged before it; none when nobody said",
        default=None,
    )
    count: HeightCount = plain("Counted height", help="rule by which it was counted", default="highest")
    window_s: float = Field(title="Window", description="of that rule", default=10.0)
    landing_m: float | None = Field(
        title="Landing", description="distance from the spot; none when not measured", default=None
    )
    scale: Figure = plain("Scale", help="true metres for an indicated metre")
    still_sink: Figure = plain(
        "Sink in still-looking air",
        help="m/s, indicated",
        default=not_recorded("m/s", "m/s"),
    )
    glide_airspeed: Figure = plain("Airspeed of that glide", help="m/s", default=not_recorded("m/s", "m/s"))
    launches: tuple[LaunchReading, ...] = plain("Launches", help="motor runs", default=())
    flight_times: tuple[Figure, ...] = plain(
        "Flight times", help="s, one for each launch: from motor start to the touch behind it", default=()
    )

    def flight_time(self, place: int) -> Figure:
        """From the motor start of a launch, counted from 0, to the touch behind it."""
        if place < len(self.flight_times):
            return self.flight_times[place]
        return not_recorded("s", "s")

    @property
    def name(self) -> str:
        """How sentences name it: date and file, with the part when the log holds several flights."""
        part = f", flight {self.part}" if self.part > 1 else ""
        return f"{self.date or 'undated'} {self.source_name}{part}"


class PackCharge(Noun):
    """One charge of a pack, as the charger and a voltmeter showed it."""

    table: ClassVar[str] = "charge"

    pack: str = plain("Pack", help="id in the drawer")
    date: Day = plain("Date", help="year-month-day")
    put_back_As: Given | None = quantity(
        "Charge put back",
        key="put_back_mAh",
        shown="mAh",
        help="as the charger counted it",
        spread="charger",
        above=0,
        at_most=50000,
    )
    resting_before_V: Given | None = quantity(
        "Resting volts before",
        key="resting_before_V",
        shown="V",
        help="of the whole pack, half an hour after the last launch",
        spread="voltmeter_fine",
        above=0,
        at_most=100,
    )
    resting_after_V: Given | None = quantity(
        "Resting volts after",
        key="resting_after_V",
        shown="V",
        help="of the whole pack, half an hour after charging",
        spread="voltmeter_fine",
        above=0,
        at_most=100,
    )
    resistance_ohm: Given | None = quantity(
        "Resistance",
        key="resistance_mohm",
        shown="mΩ",
        help="of the whole pack, as the charger or a meter showed it",
        spread="pack_resistance",
        above=0,
        at_most=2000,
    )
    temperature_K: Given | None = quantity(
        "Temperature",
        key="temperature_C",
        shown="°C",
        help="of the pack when the resistance was read; 22 when left out",
        spread="exact",
        at_least=-20,
        at_most=60,
    )
    note: str = plain("Note", help="charger, place", default="")
