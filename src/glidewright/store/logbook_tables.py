"""Tables of the logbook and the way from each older schema to today's.

Schema 1, the first draft, had neither the landing nor a note beside a flight. Schema 2 has both.
"""

from collections.abc import Callable

import sqlalchemy as sa

SCHEMA = 2
METADATA = sa.MetaData()

HEAD = sa.Table(
    "logbook",
    METADATA,
    sa.Column("key", sa.String(40), primary_key=True),
    sa.Column("value", sa.String(200), nullable=False),
)
FLIGHTS = sa.Table(
    "flights",
    METADATA,
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column("model", sa.String(200), nullable=False),
    sa.Column("source_sha256", sa.String(64), nullable=False),
    sa.Column("part", sa.Integer, nullable=False),
    sa.Column("source_name", sa.String(300), nullable=False),
    sa.Column("format", sa.String(40), nullable=False),
    sa.Column("date", sa.String(10), nullable=False),
    sa.Column("start_utc", sa.String(40), nullable=False),
    sa.Column("invented", sa.Boolean, nullable=False),
    sa.Column("motor", sa.String(200), nullable=False),
    sa.Column("controller", sa.String(200), nullable=False),
    sa.Column("pack", sa.String(200), nullable=False),
    sa.Column("propeller", sa.String(200), nullable=False),
    sa.Column("is_charged", sa.Boolean, nullable=True),
    sa.Column("count", sa.String(20), nullable=False),
    sa.Column("window_s", sa.Float, nullable=False),
    sa.Column("landing_m", sa.Float, nullable=True),
    sa.Column("note", sa.Text, nullable=False, server_default=""),
    sa.UniqueConstraint("model", "source_sha256", "part", name="one_flight_once"),
)
LAUNCHES = sa.Table(
    "launches",
    METADATA,
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column("flight_id", sa.Integer, sa.ForeignKey("flights.id", ondelete="CASCADE"), nullable=False),
    sa.Column("number", sa.Integer, nullable=False),
    sa.Column("motor_sign", sa.String(20), nullable=False),
    sa.Column("is_restart", sa.Boolean, nullable=False),
    sa.UniqueConstraint("flight_id", "number", name="one_launch_once"),
)
FIGURES = sa.Table(
    "figures",
    METADATA,
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column(
        "flight_id", sa.Integer, sa.ForeignKey("flights.id", ondelete="CASCADE"), nullable=False, index=True
    ),
    sa.Column("launch_id", sa.Integer, sa.ForeignKey("launches.id", ondelete="CASCADE"), nullable=True),
    sa.Column("name", sa.String(60), nullable=False),
    sa.Column("value", sa.Float, nullable=True),
    sa.Column("low", sa.Float, nullable=True),
    sa.Column("high", sa.Float, nullable=True),
    sa.Column("unit", sa.String(20), nullable=False),
    sa.Column("shown", sa.String(20), nullable=False),
    sa.Column("grade", sa.String(20), nullable=False),
    sa.Column("because", sa.Text, nullable=False),
)
CHARGES = sa.Table(
    "charges",
    METADATA,
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column("model", sa.String(200), nullable=False, index=True),
    sa.Column("number", sa.Integer, nullable=False),
    sa.Column("pack", sa.String(200), nullable=False),
    sa.Column("date", sa.String(10), nullable=False),
    sa.Column("put_back_As", sa.Float, nullable=True),
    sa.Column("resting_before_V", sa.Float, nullable=True),
    sa.Column("resting_after_V", sa.Float, nullable=True),
    sa.Column("resistance_ohm", sa.Float, nullable=True),
    sa.Column("temperature_K", sa.Float, nullable=True),
    sa.Column("note", sa.Text, nullable=False),
)


def _from_1_to_2(connection: sa.Connection) -> None:
    """Add landing and note to the flights."""
    connection.execute(sa.text("ALTER TABLE flights ADD COLUMN landing_m FLOAT"))
    connection.execute(sa.text("ALTER TABLE flights ADD COLUMN note TEXT NOT NULL DEFAULT ''"))


STEPS: tuple[Callable[[sa.Connection], None], ...] = (_from_1_to_2,)
"""The first one leads from schema 1 to 2."""


def bring_up_to_date(connection: sa.Connection, found: int | None) -> None:
    """Make the tables of an empty logbook, or lead an older one to today's, in the caller's transaction."""
    if found is None:
        METADATA.create_all(connection)
        connection.execute(sa.insert(HEAD).values(key="schema", value=str(SCHEMA)))
        return
    for step in STEPS[found - 1 :]:
        step(connection)
    connection.execute(sa.update(HEAD).where(HEAD.c.key == "schema").values(value=str(SCHEMA)))
