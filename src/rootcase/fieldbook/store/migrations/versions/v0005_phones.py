"""Phones: which generation of the file this is, what waits or is kept aside, clocks, phones, jobs, sealing keys."""

from uuid import uuid4

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

_PRACTICE = (["practice_id"], ["practices.practice_id"])


def upgrade() -> None:
    generations = op.create_table("generations", sa.Column("id", sa.String(36), primary_key=True))
    op.bulk_insert(generations, [{"id": str(uuid4())}])
    _what_was_sent()
    _phones()


def _what_was_sent() -> None:
    op.create_table(
        "waiting_events",
        *_texts(practice_id=64, id=64, property_id=64, kind=40, made_at=40, device=64),
        sa.Column("body", sa.Text, nullable=False),
        *_texts(hash=64, code=12, bound_to=12),
        sa.Column("barred", sa.Text, nullable=False),
        sa.Column("needs", sa.Text, nullable=False),
        *_texts(arrived_at=24),
        sa.PrimaryKeyConstraint("practice_id", "id"),
        sa.ForeignKeyConstraint(*_PRACTICE),
    )
    op.create_table(
        "kept_aside",
        *_texts(practice_id=64, mark=64, id=64, property_id=64, kind=40, made_at=40, device=64),
        sa.Column("body", sa.Text, nullable=False),
        *_texts(hash=64, code=12, arrived_at=24),
        sa.Column("why", sa.Text, nullable=False),
        sa.Column("right", sa.Text, nullable=False),
        *_texts(settled=8, settled_by=12, settled_at=24),
        sa.Column("reason", sa.Text, nullable=False),
        *_texts(event_id=36),
        sa.PrimaryKeyConstraint("practice_id", "mark"),
        sa.ForeignKeyConstraint(*_PRACTICE),
    )
    op.create_index("kept_aside_by_id", "kept_aside", ["practice_id", "id"])
    op.create_table(
        "clock_claims",
        *_texts(practice_id=64, id=36, claimed_at=24, arrived_at=24),
        sa.PrimaryKeyConstraint("practice_id", "id"),
        sa.ForeignKeyConstraint(*_PRACTICE),
    )
    op.create_table(
        "sendings",
        sa.Column("number", sa.Integer, primary_key=True),
        *_texts(practice_id=64, device=64, code=12, arrived_at=24, told_now=24),
        sa.Column("ahead_ms", sa.BigInteger, nullable=False),
        sa.Column("received_from", sa.BigInteger, nullable=False),
        sa.Column("received_to", sa.BigInteger, nullable=False),
        sa.ForeignKeyConstraint(*_PRACTICE),
    )


def _phones() -> None:
    op.create_table(
        "phones",
        *_texts(practice_id=64, id=36, code=12),
        sa.Column("name", sa.Text, nullable=False),
        *_texts(letters=4, first_heard_at=24, last_heard_at=24),
        sa.Column("waiting", sa.BigInteger, nullable=False),
        sa.Column("waiting_photos", sa.BigInteger, nullable=False),
        sa.Column("lost_at", sa.String(24)),
        sa.PrimaryKeyConstraint("practice_id", "id"),
        sa.UniqueConstraint("practice_id", "letters"),
        sa.ForeignKeyConstraint(*_PRACTICE),
    )
    op.create_table(
        "assignments",
        *_texts(practice_id=64, property_id=36, code=12, day=10, by=12, made_at=24),
        sa.PrimaryKeyConstraint("practice_id", "property_id", "code", "day"),
        sa.ForeignKeyConstraint(["practice_id", "code"], ["people.practice_id", "people.code"]),
    )
    op.create_table(
        "sealing_keys",
        *_texts(practice_id=64, id=64),
        sa.Column("public", sa.Text, nullable=False),
        sa.Column("private", sa.Text, nullable=False),
        *_texts(made_at=24),
        sa.PrimaryKeyConstraint("practice_id", "id"),
        sa.ForeignKeyConstraint(*_PRACTICE),
    )


def _texts(**signs: int) -> list[sa.Column[str]]:
    """Columns of so many signs at most, none of them without a value."""
    return [sa.Column(name, sa.String(most), nullable=False) for name, most in signs.items()]
