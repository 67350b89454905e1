"""The gate of the chain asks extract for its load; links that stand are left as they are."""

from alembic import op

from rootcase.fieldbook.store.applied_gate import OF_A_TOLD_LOAD, TRIGGERS

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    file = op.get_bind()
    if file.dialect.name != "sqlite":
        return
    there = file.exec_driver_sql(f"SELECT 1 FROM sqlite_master WHERE name = '{OF_A_TOLD_LOAD}'").first()
    if there is None:  # 0009 makes all that there are now
        file.exec_driver_sql(TRIGGERS[OF_A_TOLD_LOAD])
