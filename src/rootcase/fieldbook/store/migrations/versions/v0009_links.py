"""The chain of the record of what was put on: a link for each event of it, what was told before among them."""

import sqlalchemy as sa
from alembic import op

from rootcase.fieldbook.store.applied_gate import TRIGGERS
from rootcase.fieldbook.store.links import link_the_old

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "record_links",
        sa.Column("practice_id", sa.String(64), nullable=False),
        sa.Column("number", sa.BigInteger, nullable=False),
        sa.Column("event_id", sa.String(36), nullable=False),
        sa.Column("flags", sa.Text, nullable=False),
        sa.Column("mark", sa.String(64), nullable=False),
        sa.PrimaryKeyConstraint("practice_id", "number"),
        sa.UniqueConstraint("practice_id", "event_id"),
        sa.ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
    )
    if op.get_bind().dialect.name == "sqlite":
        for made in TRIGGERS.values():
            op.get_bind().exec_driver_sql(made)
    link_the_old(op.get_bind())
