"""Weather: humidity, sun, wind's height and filled marks by day; stations, typical years, forecasts."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

OLD = ("t_min_c", "t_max_c", "rain_mm", "et0_mm", "wind_m_s", "t_dew_c")
NEW = ("humidity_min_pct", "humidity_max_pct", "humidity_mean_pct", "solar_mj_m2_day", "wind_height_m")


def upgrade() -> None:
    for name in NEW:
        op.add_column("weather_days", sa.Column(name, sa.Double))
    op.add_column("weather_days", sa.Column("filled", sa.Text, nullable=False, server_default=sa.text("''")))
    op.create_table(
        "stations",
        sa.Column("practice_id", sa.String(64), nullable=False),
        sa.Column("station", sa.String(200), nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        *(sa.Column(name, sa.Double) for name in ("latitude_deg", "longitude_deg", "elevation_m")),
        sa.Column("stands_in", sa.Boolean, nullable=False),
        sa.PrimaryKeyConstraint("practice_id", "station"),
        sa.ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
    )
    op.create_table(
        "typical_days",
        sa.Column("practice_id", sa.String(64), nullable=False),
        sa.Column("station", sa.String(200), nullable=False),
        sa.Column("month_day", sa.String(5), nullable=False),
        *(sa.Column(name, sa.Double) for name in OLD + NEW),
        sa.Column("source", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("practice_id", "station", "month_day"),
        sa.ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
    )
    op.create_table(
        "forecast_days",
        sa.Column("practice_id", sa.String(64), nullable=False),
        sa.Column("station", sa.String(200), nullable=False),
        sa.Column("day", sa.String(10), nullable=False),
        sa.Column("issued_at", sa.String(25), nullable=False),
        *(sa.Column(name, sa.Double) for name in OLD + NEW),
        sa.Column("source", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("practice_id", "station", "day"),
        sa.ForeignKeyConstraint(["practice_id"], ["practices.practice_id"]),
    )
