"""The first tables: practices, events, contacts, weather by day."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table("practices", sa.Column("practice_id", sa.String(64), primary_key=True))
    op.create_table(
        "events",
        sa.Column("practice_id", sa.String(64), nullable=False),
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("property_id", sa.String(36), nullable=False),
        sa.Column("kind", sa.String(40), nullable=False),
        sa.Column("made_at", sa.String(24), nullable=False),
        sa.Column("device", sa.String(64), nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("hash", sa.String(64), nullable=False),
        sa.Column("received", sa.BigInteger, nullable=False),
        sa.PrimaryKeyConstraint("practice_id", "id"),
        sa.UniqueConstraint("practice_id", "received"),
        sa.ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
    )
    op.create_table(
        "contacts",
        sa.Column("practice_id", sa.String(64), nullable=False),
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("property_id", sa.String(36), nullable=False),
        sa.Column("role", sa.String(40), nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("phone", sa.Text, nullable=False),
        sa.Column("email", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("practice_id", "id"),
        sa.ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
    )
    op.create_table(
        "weather_days",
        sa.Column("practice_id", sa.String(64), nullable=False),
        sa.Column("station", sa.String(200), nullable=False),
        sa.Column("day", sa.String(10), nullable=False),
        *(sa.Column(name, sa.Double) for name in ("t_min_c", "t_max_c", "rain_mm", "et0_mm", "wind_m_s", "t_dew_c")),
        sa.Column("source", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("practice_id", "station", "day"),
        sa.ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
    )
    if op.get_bind().dialect.name == "sqlite":
        # Belt and braces: no code of ours changes an event, and now nobody else's does.
        for change in ("UPDATE", "DELETE"):
            op.execute(f"CREATE TRIGGER events_no_{change.lower()} BEFORE {change} ON events "
                       "BEGIN SELECT RAISE(ABORT, 'events are only ever added'); END")
