"""The first tables.

Until the first release they are whatever core.store.tables says. The release writes them out here in plain types, so
that they stay as they were when the tables move on.
"""

from alembic import op

from core.store.tables import metadata

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    metadata.create_all(op.get_bind())
