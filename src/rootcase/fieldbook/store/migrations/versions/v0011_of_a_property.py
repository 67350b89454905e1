"""Indexes: a look at one property no longer reads the whole file, nor the record of what was put on for one of it."""

from alembic import op

from rootcase.fieldbook.store.gate import INDEXES, PUT_ON_SLOTS

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_index("events_of_a_property", "events", ["practice_id", "property_id", "received"],
                    if_not_exists=True)
    file = op.get_bind()
    if file.dialect.name != "sqlite":
        return
    there = file.exec_driver_sql("SELECT 1 FROM sqlite_master WHERE name = ?", (PUT_ON_SLOTS,)).first()
    if there is None:  # 0007 makes all that there are now
        file.exec_driver_sql(INDEXES[PUT_ON_SLOTS])
