"""Indexes of the outbox that only their own queries can use.

PostgreSQL, told that hardly anything waits, took one of these for the look at a chat's neighbours and read the whole
queue for each message of a rush.
"""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

_INDEXES = (
    ("ix_outbox_claim", ["clinic_id", "priority", "id"], "done_at IS NULL AND lease_until IS NULL"),
    ("ix_outbox_later", ["clinic_id", "not_before"], "done_at IS NULL AND not_before IS NOT NULL"),
    ("ix_outbox_expire", ["clinic_id", "expires_at"], "done_at IS NULL AND expires_at IS NOT NULL"),
)


def upgrade() -> None:
    for name, columns, where in _INDEXES:
        op.drop_index(name, "outbox")
        op.create_index(name, "outbox", columns, sqlite_where=sa.text(where), postgresql_where=sa.text(where))
