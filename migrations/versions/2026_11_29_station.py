"""At which station an action was done."""

import sqlalchemy as sa
from alembic import op

revision = "20261129c"
down_revision = "20261129b"
branch_labels = None
depends_on = None


def upgrade() -> None:
    rule = sa.CheckConstraint("length(station) BETWEEN 0 AND 100", name="ck_action_station_length")
    op.add_column("action", sa.Column("station", sa.Text, rule, nullable=False, server_default=sa.text("''")))


def downgrade() -> None:
    op.drop_column("action", "station")
