"""Several processes: who does what only one may do, and when the next message may leave."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "leases",
        sa.Column("clinic_id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("owner", sa.Text(), nullable=False),
        sa.Column("until", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("clinic_id", "name", name="pk_leases"),
    )
    op.create_table(
        "pace",
        sa.Column("clinic_id", sa.Text(), nullable=False),
        sa.Column("next_at", sa.BigInteger(), nullable=False),
        sa.Column("halted_until", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("clinic_id", name="pk_pace"),
    )
