"""Rows that the database itself keeps as they are, as operations for migrations.

Code can forget a rule; a trigger cannot. Both databases answer with an IntegrityError. Altering a guarded
table on SQLite makes it anew and loses its triggers: such a migration must state the guards again.
"""

from collections.abc import Sequence

from django.apps.registry import Apps
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations import RunPython

__all__ = ["append_only", "frozen_columns", "never_deleted"]


def append_only(table: str) -> list[RunPython]:
    """Rows of `table` are added, never changed, never deleted."""
    return [_guard(f"{table}_unchanged", table, "UPDATE", "", "is append-only"), *never_deleted(table)]


def never_deleted(table: str) -> list[RunPython]:
    return [_guard(f"{table}_kept", table, "DELETE", "", "keeps its rows")]


def frozen_columns(table: str, columns: Sequence[str], may_be_emptied: Sequence[str] = ()) -> list[RunPython]:
    """`columns` of a row stay as they were added; `may_be_emptied` may become NULL, and nothing else."""
    kept = [f"OLD.{column} {{differs}} NEW.{column}" for column in columns]
    emptied = [
        f"(OLD.{column} {{differs}} NEW.{column} AND NEW.{column} IS NOT NULL)" for column in may_be_emptied
    ]
    changed = " OR ".join((*kept, *emptied))
    names = ", ".join((*columns, *may_be_emptied))
    return [_guard(f"{table}_frozen", table, "UPDATE", changed, f"keeps {names} as they were")]


DIFFERS = {"sqlite": "IS NOT", "postgresql": "IS DISTINCT FROM"}


def _guard(name: str, table: str, event: str, condition: str, rule: str) -> RunPython:
    """A trigger before `event` on each row for which `condition` holds (always, when empty)."""

    def forwards(apps: Apps, editor: BaseDatabaseSchemaEditor) -> None:
        vendor = editor.connection.vendor
        when = f"WHEN ({condition.format(differs=DIFFERS[vendor])})" if condition else ""
        before = f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH ROW {when}"
        if vendor == "sqlite":
            editor.execute(f"{before} BEGIN SELECT RAISE(ABORT, '{table} {rule}'); END")
            return
        body = f"BEGIN RAISE EXCEPTION '{table} {rule}' USING ERRCODE = 'integrity_constraint_violation'; END"
        editor.execute(f"CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$ {body} $$")
        editor.execute(f"{before} EXECUTE FUNCTION {name}()")

    def backwards(apps: Apps, editor: BaseDatabaseSchemaEditor) -> None:
        on_table = "" if editor.connection.vendor == "sqlite" else f" ON {table}"
        editor.execute(f"DROP TRIGGER {name}{on_table}")
        if editor.connection.vendor == "postgresql":
            editor.execute(f"DROP FUNCTION {name}()")

    return RunPython(forwards, backwards, elidable=False)
