"""The tables at the door: how people prove who they are, and what stands open. No archive takes them out."""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Column,
    ForeignKeyConstraint,
    Integer,
    MetaData,
    PrimaryKeyConstraint,
    String,
    Table,
    Text,
    UniqueConstraint,
)

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

sendings = Table(
    "sendings", door,
    Column("number", Integer, primary_key=True),
    Column("practice_id", String(64), nullable=False),
    Column("device", String(64), nullable=False),
    Column("code", String(12), nullable=False),
    Column("arrived_at", String(24), nullable=False),
    Column("told_now", String(24), nullable=False),
    Column("ahead_ms", BigInteger, nullable=False),
    Column("received_from", BigInteger, nullable=False),
    Column("received_to", BigInteger, nullable=False),
    ForeignKeyConstraint(["practice_id"], [practices.c.practice_id]),
)
"""What a phone sent at once, and what its clock said then."""

phones = Table(
    "phones", door,
    Column("practice_id", String(64), nullable=False),
    Column("id", String(36), nullable=False),
    Column("code", String(12), nullable=False),
    Column("name", Text, nullable=False),
    Column("letters", String(4), nullable=False),
    Column("first_heard_at", String(24), nullable=False),
    Column("last_heard_at", String(24), nullable=False),
    Column("waiting", BigInteger, nullable=False),
    Column("waiting_photos", BigInteger, nullable=False),
    Column("lost_at", String(24)),
    Column("found_at", String(24)),
    PrimaryKeyConstraint("practice_id", "id"),
    UniqueConstraint("practice_id", "letters"),
    ForeignKeyConstraint(["practice_id"], [practices.c.practice_id]),
)

assignments = Table(
    "assignments", door,
    Column("practice_id", String(64), nullable=False),
    Column("property_id", String(36), nullable=False),
    Column("code", String(12), nullable=False),
    Column("day", String(10), nullable=False),
    Column("by", String(12), nullable=False),
    Column("made_at", String(24), nullable=False),
    PrimaryKeyConstraint("practice_id", "property_id", "code", "day"),
    ForeignKeyConstraint(["practice_id", "code"], [people.c.practice_id, people.c.code]),
)
"""Who goes where; without a day: on any."""

sealing_keys = Table(
    "sealing_keys", door,
    Column("practice_id", String(64), nullable=False),
    Column("id", String(64), nullable=False),
    Column("public", Text, nullable=False),
    Column("private", Text, nullable=False),
    Column("made_at", String(24), nullable=False),
    PrimaryKeyConstraint("practice_id", "id"),
    ForeignKeyConstraint(["practice_id"], [practices.c.practice_id]),
)
"""What a phone seals to when somebody leaves it with readings unsent; a backup carries both halves, so that a restored
fieldbook still opens them."""
