"""The tables at the door: how people prove who they are, and what stands open. No archive takes them out."""

from __future__ import annotations

from sqlalchemy import BigInteger, Column, ForeignKeyConstraint, MetaData, PrimaryKeyConstraint, String, Table, Text

from rootcase.fieldbook.store.schema import people, practices

door = MetaData()


def _person() -> tuple[Column[str], Column[str], ForeignKeyConstraint]:
    return (Column("practice_id", String(64), nullable=False), Column("code", String(12), nullable=False),
            ForeignKeyConstraint(["practice_id", "code"], [people.c.practice_id, people.c.code]))


sign_ins = Table(
    "sign_ins", door,
    *_person(),
    Column("login", String(64), nullable=False, unique=True),
    Column("password_hash", Text),
    Column("totp_secret", String(32)),
    Column("totp_step", BigInteger, nullable=False),
    PrimaryKeyConstraint("practice_id", "code"),
)

invitations = Table(
    "invitations", door,
    Column("token_hash", String(64), primary_key=True),
    *_person(),
    Column("totp_secret", String(32), nullable=False),
    Column("expires_at", String(24), nullable=False),
)

sessions = Table(
    "sessions", door,
    Column("token_hash", String(64), primary_key=True),
    Column("id", String(36), nullable=False, unique=True),
    *_person(),
    Column("kind", String(10), nullable=False),
    Column("device", String(200), nullable=False),
    Column("made_at", String(24), nullable=False),
    Column("seen_at", String(24), nullable=False),
    Column("expires_at", String(24), nullable=False),
)

attempts = Table(
    "attempts", door,
    Column("key", String(64), primary_key=True),
    Column("count", BigInteger, nullable=False),
    Column("last_at", String(24), nullable=False),
    Column("wait_until", String(24), nullable=False),
)

client_links = Table(
    "client_links", door,
    Column("token_hash", String(64), primary_key=True),
    Column("id", String(36), nullable=False, unique=True),
    Column("practice_id", String(64), nullable=False),
    Column("property_id", String(36), nullable=False),
    Column("offer_mark", String(64), nullable=False),
    Column("made_by", String(12), nullable=False),
    Column("made_at", String(24), nullable=False),
    Column("expires_at", String(24), nullable=False),
    Column("ended_at", String(24)),
    Column("opened_at", String(24)),
    ForeignKeyConstraint(["practice_id"], [practices.c.practice_id]),
)
