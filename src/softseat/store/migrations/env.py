"""Runs the steps of the table layout on the connection that the store hands over."""

from alembic import context

from softseat.store.schema import Root

connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=Root.metadata, render_as_batch=True)
with context.begin_transaction():
    context.run_migrations()
