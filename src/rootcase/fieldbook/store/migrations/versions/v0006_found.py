"""Phones that were lost and found again, and what of them nobody has looked through yet."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("phones", sa.Column("found_at", sa.String(24)))
    op.add_column("kept_aside", sa.Column("unseen", sa.Boolean, nullable=False, server_default=sa.false()))
