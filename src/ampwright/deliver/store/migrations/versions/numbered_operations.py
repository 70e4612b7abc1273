"""Operations carry their number within the job; texts have no longest length; every constraint has a name."""

import sqlalchemy as sql
from alembic import op

from ampwright.deliver.store.append_only import allow_overwriting, forbid_overwriting
from ampwright.deliver.store.tables import NAMES

revision = "0002"
down_revision = "0001"
TABLES = ("job", "operation", "change")
LENGTHS = {
    "job": {"id": 32, "created": 40},
    "operation": {"id": 64, "job": 32, "who": 200, "at": 40, "origin": 200, "undoes": 64},
    "change": {"operation": 64, "job": 32, "path": 200},
}
AUTOINCREMENT = {"change": {"sqlite_autoincrement": True}}


def upgrade() -> None:
    """Number the operations in the order they were written in: on SQLite by their place, else by their time."""
    link = op.get_bind()
    sqlite = link.dialect.name == "sqlite"
    allow_overwriting(link, *TABLES)
    op.add_column("operation", sql.Column("number", sql.Integer))
    op.execute('UPDATE operation SET number = n.place FROM (SELECT id, row_number() OVER '
               f'(PARTITION BY job ORDER BY {"rowid" if sqlite else "at, id"}) AS place FROM operation) AS n '
               "WHERE n.id = operation.id")  # fmt: skip
    for table, lengths in LENGTHS.items():
        with op.batch_alter_table(table, naming_convention=NAMES, table_kwargs=AUTOINCREMENT.get(table, {})) as batch:
            for name, length in lengths.items():
                batch.alter_column(name, type_=sql.String(), existing_type=sql.String(length))
            if table == "operation":
                batch.alter_column("number", nullable=False, existing_type=sql.Integer())
                batch.create_unique_constraint("uq_operation_job_number", ["job", "number"])
    forbid_overwriting(link, *TABLES)
    if sqlite:
        op.execute("PRAGMA user_version = 2")


def downgrade() -> None:
    """Take the numbers away; a text that is too long for the old shape stops it."""
    link = op.get_bind()
    sqlite = link.dialect.name == "sqlite"
    allow_overwriting(link, *TABLES)
    for table, lengths in LENGTHS.items():
        with op.batch_alter_table(table, naming_convention=NAMES, table_kwargs=AUTOINCREMENT.get(table, {})) as batch:
            if table == "operation":
                batch.drop_constraint("uq_operation_job_number", type_="unique")
                batch.drop_column("number")
            for name, length in lengths.items():
                batch.alter_column(name, type_=sql.String(length), existing_type=sql.String())
    forbid_overwriting(link, *TABLES)
    if sqlite:
        op.execute("PRAGMA user_version = 1")
