"""Runs the steps on the connection that core.store.founding hands over, inside its transaction."""

from alembic import context

from core.store.tables import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    render_as_batch=True,
    compare_type=True,
)
with context.begin_transaction():
    context.run_migrations()
