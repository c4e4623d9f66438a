"""The first tables.

Until the first release they are whatever core.store.tables says. The release writes them out here in plain types, so
that they stay as they were when the tables move on.
"""

from alembic import op
from sqlalchemy import Index
from sqlalchemy.schema import CreateIndex, CreateTable

from core.store.tables import metadata

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    for table in metadata.sorted_tables:
        op.execute(CreateTable(table))
        for index in sorted(table.indexes, key=_place):
            op.execute(CreateIndex(index))


def _place(index: Index) -> tuple[bool, str]:
    """One order always, the partial ones last: of two that serve alike SQLite takes the one made last."""
    return index.dialect_options["sqlite"]["where"] is not None, str(index.name)
