"""The tables, in types that SQLite and PostgreSQL share; the migrations make them, this says what they are."""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Double,
    ForeignKeyConstraint,
    Index,
    MetaData,
    PrimaryKeyConstraint,
    String,
    Table,
    Text,
    UniqueConstraint,
    false,
    text,
)

HEAD = "0011"
"""Newest migration; a fieldbook that is there already need not load Alembic."""

metadata = MetaData()
"""What a practice holds: counted in its state, taken out with its archive, brought back."""

practices = Table(
    "practices", metadata,
    Column("practice_id", String(64), primary_key=True),
)

events = Table(
    "events", metadata,
    Column("practice_id", String(64), nullable=False),
    Column("id", String(36), nullable=False),
    Column("property_id", String(36), nullable=False),
    Column("kind", String(40), nullable=False),
    Column("made_at", String(24), nullable=False),
    Column("device", String(64), nullable=False),
    Column("body", Text, nullable=False),
    Column("hash", String(64), nullable=False),
    Column("received", BigInteger, nullable=False),
    PrimaryKeyConstraint("practice_id", "id"),
    UniqueConstraint("practice_id", "received"),
    ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
    # Further ones, by what stands in the bodies, and the triggers, are in gate.py.
    Index("events_of_a_property", "practice_id", "property_id", "received"),
    Index("events_told_of_batches", "practice_id", "received"),
    Index("events_of_batch_rules", "practice_id", "received"),
    Index("events_of_properties", "practice_id", "property_id", "received"),
    Index("events_of_children", "practice_id", "property_id", "received"),
)

record_links = Table(
    "record_links", metadata,
    Column("practice_id", String(64), nullable=False),
    Column("number", BigInteger, nullable=False),
    Column("event_id", String(36), nullable=False),
    Column("flags", Text, nullable=False),
    Column("mark", String(64), nullable=False),
    PrimaryKeyConstraint("practice_id", "number"),
    UniqueConstraint("practice_id", "event_id"),
    ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
)
"""The chain of the record of what was put on; its triggers are in applied_gate.py."""

contacts = Table(
    "contacts", metadata,
    Column("practice_id", String(64), nullable=False),
    Column("id", String(36), nullable=False),
    Column("property_id", String(36), nullable=False),
    Column("role", String(40), nullable=False),
    Column("name", Text, nullable=False),
    Column("phone", Text, nullable=False),
    Column("email", Text, nullable=False),
    PrimaryKeyConstraint("practice_id", "id"),
    ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
)

WEATHER_FIGURES = ("t_min_c", "t_max_c", "rain_mm", "et0_mm", "wind_m_s", "t_dew_c", "humidity_min_pct",
                   "humidity_max_pct", "humidity_mean_pct", "solar_mj_m2_day", "wind_height_m")
"""What can be known of a day of weather; null is not known."""


def _figures() -> list[Column[float]]:
    return [Column(name, Double) for name in WEATHER_FIGURES]


weather_days = Table(
    "weather_days", metadata,
    Column("practice_id", String(64), nullable=False),
    Column("station", String(200), nullable=False),
    Column("day", String(10), nullable=False),
    *_figures(),
    Column("source", Text, nullable=False),
    Column("filled", Text, nullable=False, server_default=text("''")),
    PrimaryKeyConstraint("practice_id", "station", "day"),
    ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
)

stations = Table(
    "stations", metadata,
    Column("practice_id", String(64), nullable=False),
    Column("station", String(200), nullable=False),
    Column("name", Text, nullable=False),
    Column("latitude_deg", Double),
    Column("longitude_deg", Double),
    Column("elevation_m", Double),
    Column("stands_in", Boolean, nullable=False),
    PrimaryKeyConstraint("practice_id", "station"),
    ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
)

typical_days = Table(
    "typical_days", metadata,
    Column("practice_id", String(64), nullable=False),
    Column("station", String(200), nullable=False),
    Column("month_day", String(5), nullable=False),
    *_figures(),
    Column("source", Text, nullable=False),
    PrimaryKeyConstraint("practice_id", "station", "month_day"),
    ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
)

forecast_days = Table(
    "forecast_days", metadata,
    Column("practice_id", String(64), nullable=False),
    Column("station", String(200), nullable=False),
    Column("day", String(10), nullable=False),
    Column("issued_at", String(25), nullable=False),
    *_figures(),
    Column("source", Text, nullable=False),
    PrimaryKeyConstraint("practice_id", "station", "day"),
    ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
)

people = Table(
    "people", metadata,
    Column("practice_id", String(64), nullable=False),
    Column("code", String(12), nullable=False),
    Column("name", Text, nullable=False),
    Column("role", String(12), nullable=False),
    Column("may_sign", Boolean, nullable=False),
    Column("system", String(6), nullable=False),
    Column("ended_at", String(24)),
    PrimaryKeyConstraint("practice_id", "code"),
    ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
)


def _as_sent() -> tuple[Column[str], ...]:
    """An event as it arrived, whatever came of it; wider than what is sound, which is not known yet."""
    return (Column("practice_id", String(64), nullable=False), Column("id", String(64), nullable=False),
            Column("property_id", String(64), nullable=False), Column("kind", String(40), nullable=False),
            Column("made_at", String(40), nullable=False), Column("device", String(64), nullable=False),
            Column("body", Text, nullable=False), Column("hash", String(64), nullable=False),
            Column("code", String(12), nullable=False), Column("arrived_at", String(24), nullable=False))


waiting_events = Table(
    "waiting_events", metadata,
    *_as_sent(),
    Column("bound_to", String(12), nullable=False),
    Column("barred", Text, nullable=False),
    Column("needs", Text, nullable=False),
    PrimaryKeyConstraint("practice_id", "id"),
    ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
)
"""Events that speak of what is not here yet."""

kept_aside = Table(
    "kept_aside", metadata,
    *_as_sent(),
    Column("mark", String(64), nullable=False),
    Column("why", Text, nullable=False),
    Column("right", Text, nullable=False),
    Column("settled", String(8), nullable=False),
    Column("settled_by", String(12), nullable=False),
    Column("settled_at", String(24), nullable=False),
    Column("reason", Text, nullable=False),
    Column("event_id", String(36), nullable=False),
    Column("unseen", Boolean, nullable=False, server_default=false()),
    PrimaryKeyConstraint("practice_id", "mark"),
    ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
    Index("kept_aside_by_id", "practice_id", "id"),
)
"""What does not fit, as it was sent, and what a person said of it since."""

clock_claims = Table(
    "clock_claims", metadata,
    Column("practice_id", String(64), nullable=False),
    Column("id", String(36), nullable=False),
    Column("claimed_at", String(24), nullable=False),
    Column("arrived_at", String(24), nullable=False),
    PrimaryKeyConstraint("practice_id", "id"),
    ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
)
"""Events that were dated ahead: they stand under the time they arrived."""
