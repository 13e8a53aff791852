"""Tables of a flight in the report of ``read``: launches, phases, lift."""

from collections.abc import Sequence

from glidewright.base.figure import Figure
from glidewright.domain.flight_reading import LaunchReading, LiftReading, Phase
from glidewright.faces.report.day import middle
from glidewright.faces.report.document import Cell, Column, Row, Rows, Table

PHASE_WORDS = {
    "ground": "on the ground",
    "motor": "motor run",
    "zoom": "zoom",
    "glide": "glide",
    "lift": "lift",
    "sink": "sinking air",
    "landing": "landing",
}
_LAUNCH_ROWS = (
    ("counted_height", "Height as the class counts it"),
    ("highest_raw", "Highest sample"),
    ("height_at_stop", "Height at motor stop"),
    ("height_at_window_end", "Height at the end of the window"),
    ("zoom_gain", "Gained after motor stop"),
    ("slipstream_step", "Step of the height at motor stop"),
    ("motor_run", "Motor run"),
    ("mean_climb", "Mean climb"),
    ("best_climb", "Best climb over 5 s"),
    ("charge", "Charge"),
    ("mean_current", "Mean current"),
    ("highest_current", "Highest current"),
    ("mean_power", "Mean power"),
    ("resting_voltage", "Resting volts before"),
    ("mean_voltage", "Mean volts"),
    ("lowest_voltage", "Lowest volts"),
    ("recovered_voltage", "Recovered volts after"),
    ("pack_resistance", "Pack resistance, leads included"),
    ("mean_motor_speed", "Mean motor speed"),
    ("mean_airspeed", "Mean airspeed"),
)


def launch_table(launches: Sequence[LaunchReading]) -> Table:
    """The launches side by side, middle values."""
    heads = ("Launch", "Height", "Run", "Climb", "Best 5 s", "Charge", "Lowest")
    rows: list[tuple[Cell, ...]] = [
        (
            launch.number,
            middle(launch.counted_height),
            middle(launch.motor_run),
            middle(launch.mean_climb),
            middle(launch.best_climb),
            middle(launch.charge),
            middle(launch.lowest_voltage),
        )
        for launch in launches
    ]
    note = "Heights and climbs as the altimeter indicates them; the ranges stand with each launch."
    return Table(tuple(map(Column, heads)), tuple(rows), "Launches", note)


def launch_rows(launch: LaunchReading) -> Rows:
    """Every figure of one launch that is known."""
    rows = []
    for name, title in _LAUNCH_ROWS:
        figure: Figure = getattr(launch, name)
        if figure.value is not None:
            rows.append(Row(title, figure))
    return Rows(tuple(rows), f"Launch {launch.number}, motor seen by {launch.motor_sign}")


def phase_table(phases: Sequence[Phase]) -> Table:
    """When each phase began and ended."""
    heads = (
        Column("Phase", is_number=False),
        Column("From", "s"),
        Column("To", "s"),
        Column("Circling", is_number=False),
    )
    circling = {True: "yes", False: "no", None: ""}
    rows: list[tuple[Cell, ...]] = [
        (PHASE_WORDS[phase.kind], phase.start, phase.end, circling[phase.circling]) for phase in phases
    ]
    return Table(heads, tuple(rows), "", "Seconds on the clock of the log; every end with its range.")


def lift_table(lifts: Sequence[LiftReading]) -> Table:
    """Each lift that was used."""
    heads = (
        Column("From", "s"),
        Column("For", "s"),
        Column("Gained", "m"),
        Column("Climb", "m/s"),
        Column("Air", "m/s"),
        Column("Turns"),
    )
    rows: list[tuple[Cell, ...]] = [
        (lift.start, lift.duration, lift.gain, lift.strength, lift.air_strength, lift.turns) for lift in lifts
    ]
    return Table(heads, tuple(rows))
