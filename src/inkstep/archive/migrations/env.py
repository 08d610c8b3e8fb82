"""What Alembic runs to migrate: all steps on the connection that it is given, in the transaction that is open there."""

from __future__ import annotations

from alembic import context

# SQLite changes tables within a transaction as PostgreSQL does; Alembic does not count on it unless told
context.configure(connection=context.config.attributes["connection"], transactional_ddl=True, render_as_batch=True)
context.run_migrations()
