"""The gate told anew: loads of a batch that is gone, dated back, without a volume or by a laxer floor do not go in."""

from hashlib import sha256

from alembic import op

from rootcase.fieldbook.store.gate import INDEXES, TRIGGERS

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

_AS_BEFORE = {
    "batch_readable": "4cb50f0640f80652", "batch_in_order": "edfd4176eeca9cfd", "batch_number_once": "e76440502e51ef78",
    "batch_end_stands": "9c7d2b205b9ea272", "batch_end_only_earlier": "0817ef4ae2bd34d3",
    "batch_judged_once": "7e532605e5570682", "batch_judged_fit": "437bd7b718ccc847",
    "load_of_a_fit_batch": "3b72f00f7b6b3bab"}
"""Marks of the triggers as 0007 made them. One that is missing or says something else is left as it is: it is told of
where a backup of the file is brought back, and would not be if it were mended here."""
_GONE = "events_of_taken_back"


def upgrade() -> None:
    file = op.get_bind()
    if file.dialect.name != "sqlite":
        return
    found = dict(tuple(row) for row in file.exec_driver_sql(
        "SELECT name, sql FROM sqlite_master WHERE type IN ('trigger', 'index') AND tbl_name = 'events'"))
    for name, mark in _AS_BEFORE.items():
        if sha256((found.get(name) or "").encode()).hexdigest().startswith(mark):
            file.exec_driver_sql(f"DROP TRIGGER {name}")
            file.exec_driver_sql(TRIGGERS[name])
    for name, made in INDEXES.items():
        if found.get(name) != made:
            file.exec_driver_sql(f"DROP INDEX IF EXISTS {name}")
            file.exec_driver_sql(made)
    file.exec_driver_sql(f"DROP INDEX IF EXISTS {_GONE}")
