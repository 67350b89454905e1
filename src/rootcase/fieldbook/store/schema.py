"""The tables, in types that SQLite and PostgreSQL share; the migrations make them, this says what they are."""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Column,
    Double,
    ForeignKeyConstraint,
    MetaData,
    PrimaryKeyConstraint,
    String,
    Table,
    Text,
    UniqueConstraint,
)

HEAD = "0001"
"""Newest migration; a fieldbook that is there already need not load Alembic."""

metadata = MetaData()

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
)

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

weather_days = Table(
    "weather_days", metadata,
    Column("practice_id", String(64), nullable=False),
    Column("station", String(200), nullable=False),
    Column("day", String(10), nullable=False),
    Column("t_min_c", Double),
    Column("t_max_c", Double),
    Column("rain_mm", Double),
    Column("et0_mm", Double),
    Column("wind_m_s", Double),
    Column("t_dew_c", Double),
    Column("source", Text, nullable=False),
    PrimaryKeyConstraint("practice_id", "station", "day"),
    ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
)
