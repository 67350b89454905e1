"""People of a practice, and what stands at its door: sign-ins, invitations, sessions, attempts, clients' links."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "people",
        sa.Column("practice_id", sa.String(64), nullable=False),
        sa.Column("code", sa.String(12), nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("role", sa.String(12), nullable=False),
        sa.Column("may_sign", sa.Boolean, nullable=False),
        sa.Column("system", sa.String(6), nullable=False),
        sa.Column("ended_at", sa.String(24)),
        sa.PrimaryKeyConstraint("practice_id", "code"),
        sa.ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
    )
    op.create_table(
        "sign_ins",
        *_person(),
        sa.Column("login", sa.String(64), nullable=False, unique=True),
        sa.Column("password_hash", sa.Text),
        sa.Column("totp_secret", sa.String(32)),
        sa.Column("totp_step", sa.BigInteger, nullable=False),
        sa.PrimaryKeyConstraint("practice_id", "code"),
    )
    op.create_table(
        "invitations",
        sa.Column("token_hash", sa.String(64), primary_key=True),
        *_person(),
        sa.Column("totp_secret", sa.String(32), nullable=False),
        sa.Column("expires_at", sa.String(24), nullable=False),
    )
    op.create_table(
        "sessions",
        sa.Column("token_hash", sa.String(64), primary_key=True),
        sa.Column("id", sa.String(36), nullable=False, unique=True),
        *_person(),
        sa.Column("kind", sa.String(10), nullable=False),
        sa.Column("device", sa.String(200), nullable=False),
        *(sa.Column(name, sa.String(24), nullable=False) for name in ("made_at", "seen_at", "expires_at")),
    )
    op.create_table(
        "attempts",
        sa.Column("key", sa.String(64), primary_key=True),
        sa.Column("count", sa.BigInteger, nullable=False),
        sa.Column("last_at", sa.String(24), nullable=False),
        sa.Column("wait_until", sa.String(24), nullable=False),
    )
    op.create_table(
        "client_links",
        sa.Column("token_hash", sa.String(64), primary_key=True),
        sa.Column("id", sa.String(36), nullable=False, unique=True),
        sa.Column("practice_id", sa.String(64), nullable=False),
        sa.Column("property_id", sa.String(36), nullable=False),
        sa.Column("offer_mark", sa.String(64), nullable=False),
        sa.Column("made_by", sa.String(12), nullable=False),
        sa.Column("made_at", sa.String(24), nullable=False),
        sa.Column("expires_at", sa.String(24), nullable=False),
        sa.Column("ended_at", sa.String(24)),
        sa.Column("opened_at", sa.String(24)),
        sa.ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
    )


def _person() -> tuple[sa.Column, sa.Column, sa.ForeignKeyConstraint]:
    return (sa.Column("practice_id", sa.String(64), nullable=False), sa.Column("code", sa.String(12), nullable=False),
            sa.ForeignKeyConstraint(["practice_id", "code"], ["people.practice_id", "people.code"]))
