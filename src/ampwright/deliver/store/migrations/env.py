"""What Alembic runs: the migrations, on the connection and in the transaction that it is given."""

from alembic import context

from ampwright.deliver.store.tables import META, VERSIONS

context.configure(connection=context.config.attributes["link"], target_metadata=META, version_table=VERSIONS)
context.run_migrations()
