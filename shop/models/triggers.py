"""Database triggers that keep posted rows as they are, on SQLite and PostgreSQL.

Python can be gone around; a trigger can't. Installed by a migration; tests lift them only to empty the tables.
"""

from __future__ import annotations

from django.db.backends.base.base import BaseDatabaseWrapper

from shop.models.triggers_cash import GUARDS, TABLE, postgresql_guards, sqlite_guards

APPEND_ONLY = (
    "shop_ledgerentry",
    "shop_posting",
    "shop_entrytax",
    "shop_stockmove",
    "shop_event",
    "shop_promiseentry",
    "shop_expecteddatechange",
    "shop_documentfacts",
    "shop_paperfile",
    "shop_issuedpaper",
    "shop_unitmove",
    "shop_lending",
)
FROZEN = ("quote_id", "number", "offered_at", "valid_until", "request", "result")
VERSIONS = "shop_quoteversion"
POSTED = "posted rows stay as they are; write a reversing row"
OFFERED = "an offered version stays as it is; make a new version"

PG_FUNCTIONS = f"""
CREATE OR REPLACE FUNCTION shop_refuse_posted() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION '{POSTED}' USING ERRCODE = 'integrity_constraint_violation'; END $$;
CREATE OR REPLACE FUNCTION shop_refuse_offered() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION '{OFFERED}' USING ERRCODE = 'integrity_constraint_violation'; END $$;
"""


def install(connection: BaseDatabaseWrapper) -> None:
    """Put the triggers in place on the tables there are so far; harmless when they are."""
    remove(connection)
    made = set(connection.introspection.table_names())
    tables = [table for table in APPEND_ONLY if table in made]
    if connection.vendor == "sqlite":
        statements, guards = _sqlite(tables), sqlite_guards()
    else:
        statements, guards = [PG_FUNCTIONS, *_postgresql(tables)], postgresql_guards()
    _run(connection, [*statements, *(guards if "shop_entrytax" in made else ())])  # they read columns made with it


def remove(connection: BaseDatabaseWrapper) -> None:
    """Take the triggers away."""
    names = [f"{table}_{act}_refused" for table in (*APPEND_ONLY, VERSIONS) for act in ("update", "delete")]
    if connection.vendor == "sqlite":
        _run(connection, [f"DROP TRIGGER IF EXISTS {name}" for name in (*names, *GUARDS)])
    else:
        _run(connection, [f"DROP TRIGGER IF EXISTS {name} ON {name.rsplit('_', 2)[0]}" for name in names])
        _run(connection, [f"DROP TRIGGER IF EXISTS {name} ON {TABLE}" for name in GUARDS])


def _sqlite(tables: list[str]) -> list[str]:
    made = [
        f"CREATE TRIGGER {table}_{act}_refused BEFORE {act.upper()} ON {table} "
        f"BEGIN SELECT RAISE(ABORT, '{POSTED}'); END"
        for table in tables
        for act in ("update", "delete")
    ]
    changed = " OR ".join(f"OLD.{column} IS NOT NEW.{column}" for column in FROZEN)
    refuse = f"BEGIN SELECT RAISE(ABORT, '{OFFERED}'); END"
    made.append(
        f"CREATE TRIGGER {VERSIONS}_update_refused BEFORE UPDATE ON {VERSIONS} "
        f"WHEN OLD.offered_at IS NOT NULL AND ({changed} OR NEW.state = 'draft') {refuse}"
    )
    made.append(
        f"CREATE TRIGGER {VERSIONS}_delete_refused BEFORE DELETE ON {VERSIONS} WHEN OLD.offered_at IS NOT NULL {refuse}"
    )
    return made


def _postgresql(tables: list[str]) -> list[str]:
    made = [
        f"CREATE TRIGGER {table}_{act}_refused BEFORE {act.upper()} ON {table} "
        "FOR EACH ROW EXECUTE FUNCTION shop_refuse_posted()"
        for table in tables
        for act in ("update", "delete")
    ]
    changed = " OR ".join(f"OLD.{column} IS DISTINCT FROM NEW.{column}" for column in FROZEN)
    made.append(
        f"CREATE TRIGGER {VERSIONS}_update_refused BEFORE UPDATE ON {VERSIONS} FOR EACH ROW "
        f"WHEN (OLD.offered_at IS NOT NULL AND ({changed} OR NEW.state = 'draft')) "
        "EXECUTE FUNCTION shop_refuse_offered()"
    )
    made.append(
        f"CREATE TRIGGER {VERSIONS}_delete_refused BEFORE DELETE ON {VERSIONS} FOR EACH ROW "
        "WHEN (OLD.offered_at IS NOT NULL) EXECUTE FUNCTION shop_refuse_offered()"
    )
    return made


def _run(connection: BaseDatabaseWrapper, statements: list[str]) -> None:
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)
