"""The table of backups: each has its row just before it is made, so that the copy can be told from any other."""

from __future__ import annotations

from sqlalchemy import BigInteger, Column, MetaData, String, Table

keeping = MetaData()
"""What the file knows of its own copies; no practice's, and in no archive."""

backups = Table(
    "backups", keeping,
    Column("id", String(36), primary_key=True),
    Column("made_at", String(24), nullable=False),
    Column("checked_at", String(24)),
    Column("size_bytes", BigInteger),
)

generations = Table(
    "generations", keeping,
    Column("id", String(36), primary_key=True),
)
"""One row: another one once a backup was brought back, so that phones know that what they had sent may be missing."""
