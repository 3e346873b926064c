"""How well a piece was measured."""

import sqlalchemy as sa
from alembic import op

revision = "20261128a"
down_revision = "20261125b"
branch_labels = None
depends_on = None


def upgrade() -> None:
    wide = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
    rule = sa.CheckConstraint("measured_to > 0", name="ck_piece_measured_to_positive")
    op.add_column("piece", sa.Column("measured_to", wide, rule))


def downgrade() -> None:
    op.drop_column("piece", "measured_to")
