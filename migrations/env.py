"""How a revision is run: one transaction for all of them, foreign keys off, and checked before it is kept.

The caller hands over ``connection`` in the configuration's attributes, one whose transactions take the write lock at
once, and may hand over ``before``, called once that lock is held and before anything is changed. With foreign keys on,
rebuilding a table in batch mode would delete the rows that refer to it.
"""

from alembic import context


def run() -> None:
    attributes = context.config.attributes
    connection = attributes["connection"]
    sqlite = connection.dialect.name == "sqlite"
    if sqlite:
        # Within a transaction this pragma is without effect, and the driver is asked directly so that none begins.
        connection.connection.driver_connection.execute("PRAGMA foreign_keys = OFF")
    with connection.begin():
        if before := attributes.get("before"):
            before()
        context.configure(connection=connection, render_as_batch=True, transactional_ddl=True)
        context.run_migrations()
        if sqlite and (broken := connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()):
            tables = sorted({row[0] for row in broken})
            raise ValueError(f"rows of {', '.join(tables)} would refer to nothing")
    if sqlite:
        connection.connection.driver_connection.execute("PRAGMA foreign_keys = ON")


run()
