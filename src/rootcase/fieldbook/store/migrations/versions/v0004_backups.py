"""Backups: when each was begun, and when it was whole and read back."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "backups",
        sa.Column("id", sa.String(36), primary_key=True),
        sa.Column("made_at", sa.String(24), nullable=False),
        sa.Column("checked_at", sa.String(24)),
        sa.Column("size_bytes", sa.BigInteger),
    )
