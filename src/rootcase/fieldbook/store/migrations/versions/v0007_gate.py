"""What no program may write: a load of a batch that is not fit, called back or over its age."""

from alembic import op

from rootcase.fieldbook.store.gate import INDEXES, TRIGGERS

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    if op.get_bind().dialect.name == "sqlite":
        for made in (*INDEXES.values(), *TRIGGERS.values()):
            op.get_bind().exec_driver_sql(made)
