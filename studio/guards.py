"""Rows that the database itself keeps as they are, as operations for migrations.

Code can forget a rule; a trigger cannot. Both databases answer with an IntegrityError. Altering a guarded
table on SQLite makes it anew and loses its triggers: such a migration must state the guards `again`. Guards
come after the table's constraints, whose keys they read. A table that the guards of another one ask is made
anew on SQLite only under PRAGMA legacy_alter_table.
"""

import re
from collections.abc import Callable, Sequence

from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState

__all__ = ["Guard", "again", "append_only", "frozen_columns", "gone", "never_deleted", "refused"]

Step = Callable[[BaseDatabaseSchemaEditor], None]


class Guard(Operation):
    """Puts a trigger up, and backwards takes it down. RunPython would have every model of that state made for
    it, which no trigger asks for: that was half of the time that a new database took."""

    def __init__(self, put_up: Step, take_down: Step) -> None:
        self.put_up, self.take_down = put_up, take_down

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        """Models know of no trigger."""

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        self.put_up(schema_editor)

    def database_backwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        self.take_down(schema_editor)


def append_only(table: str) -> list[Guard]:
    """Rows of `table` are added, never changed, never deleted."""
    return [refused(f"{table}_unchanged", table, "UPDATE", "", "is append-only"), *never_deleted(table)]


def never_deleted(table: str) -> list[Guard]:
    """Neither by DELETE nor by TRUNCATE, nor by an INSERT that replaces."""
    rule = "keeps its rows"
    kept = refused(f"{table}_kept", table, "DELETE", "", rule)
    return [kept, _never_truncated(table, rule), _never_replaced(table, rule)]


def frozen_columns(table: str, columns: Sequence[str], may_be_emptied: Sequence[str] = ()) -> list[Guard]:
    """`columns` of a row stay as they were added; `may_be_emptied` may become NULL, and nothing else."""
    kept = [f"OLD.{column} {{differs}} NEW.{column}" for column in columns]
    emptied = [
        f"(OLD.{column} {{differs}} NEW.{column} AND NEW.{column} IS NOT NULL)" for column in may_be_emptied
    ]
    changed = " OR ".join((*kept, *emptied))
    rule = f"keeps {', '.join((*columns, *may_be_emptied))} as they were"
    return [refused(f"{table}_frozen", table, "UPDATE", changed, rule), _never_replaced(table, rule)]


DIFFERS = {"sqlite": "IS NOT", "postgresql": "IS DISTINCT FROM"}


def refused(name: str, table: str, event: str, condition: str, rule: str) -> Guard:
    """A trigger before `event` that refuses each row for which `condition` holds (always, when empty)."""

    def put_up(editor: BaseDatabaseSchemaEditor) -> None:
        vendor = editor.connection.vendor
        found = condition.format(differs=DIFFERS[vendor])
        if vendor == "sqlite":
            editor.execute(_on_sqlite(name, table, event, found, rule))
        else:
            _on_postgresql(editor, name, f"{event} ON {table} FOR EACH ROW", found, f"{table} {rule}")

    return Guard(put_up, _taken_down(name))


def again(guards: Sequence[Guard]) -> list[Guard]:
    """Guards stated anew, after their table was altered: SQLite has lost them, PostgreSQL still has them."""
    return [step for guard in guards for step in (_taken_off(guard), guard)]


def gone(guards: Sequence[Guard]) -> list[Guard]:
    """Guards taken down, before their table goes: PostgreSQL would keep their functions."""
    return [_taken_off(guard) for guard in guards]


def _taken_off(guard: Guard) -> Guard:
    return Guard(guard.take_down, _nothing)


def _nothing(editor: BaseDatabaseSchemaEditor) -> None:
    """What there was is put up by what is taken back next."""


def _never_truncated(table: str, rule: str) -> Guard:
    """SQLite has no TRUNCATE."""
    name = f"{table}_not_truncated"

    def put_up(editor: BaseDatabaseSchemaEditor) -> None:
        if editor.connection.vendor == "postgresql":
            _on_postgresql(editor, name, f"TRUNCATE ON {table}", "", f"{table} {rule}")

    return Guard(put_up, _taken_down(name))


def _never_replaced(table: str, rule: str) -> Guard:
    """SQLite's INSERT OR REPLACE deletes the row with the same key, and no DELETE trigger sees it."""
    name = f"{table}_not_replaced"

    def put_up(editor: BaseDatabaseSchemaEditor) -> None:
        if editor.connection.vendor == "sqlite":
            same = " OR ".join(_same_keys(editor, table))
            known = f"EXISTS (SELECT 1 FROM {table} WHERE {same})"  # noqa: S608 (names of our own tables)
            editor.execute(f"DROP TRIGGER IF EXISTS {name}")  # both kinds of guard ask for it
            editor.execute(_on_sqlite(name, table, "INSERT", known, rule))

    return Guard(put_up, _taken_down(name))


def _same_keys(editor: BaseDatabaseSchemaEditor, table: str) -> list[str]:
    """For each unique key of a table on SQLite: that a row has the new row's."""
    same = ["rowid = NEW.rowid"]
    with editor.connection.cursor() as cursor:
        cursor.execute(
            "SELECT key.name, made.sql FROM pragma_index_list(%s) key"
            ' LEFT JOIN sqlite_master made ON made.name = key.name WHERE key."unique"',
            [table],
        )
        for key, sql in cursor.fetchall():
            cursor.execute("SELECT name FROM pragma_index_info(%s)", [key])
            terms = [f'"{column}" = NEW."{column}"' for (column,) in cursor.fetchall()]
            _, _, only = (sql or "").partition(" WHERE ")
            if only:  # a key among some rows: the old one and the new one must be of them
                terms += [f"({only})", "(" + re.sub(r'"(\w+)"', r'NEW."\1"', only) + ")"]
            same.append(" AND ".join(terms))
    return [f"({terms})" for terms in same]


def _on_sqlite(name: str, table: str, event: str, condition: str, rule: str) -> str:
    when = f"WHEN ({condition})" if condition else ""
    refusal = f"BEGIN SELECT RAISE(ABORT, '{table} {rule}'); END"
    return f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH ROW {when} {refusal}"


def _on_postgresql(
    editor: BaseDatabaseSchemaEditor, name: str, event: str, condition: str, refusal: str
) -> None:
    """The condition stands in the function: a trigger's own may not ask other tables."""
    raised = f"RAISE EXCEPTION '{refusal}' USING ERRCODE = 'integrity_constraint_violation';"
    body = f"BEGIN IF {condition or 'TRUE'} THEN {raised} END IF; RETURN NEW; END"
    editor.execute(f"CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$ {body} $$")
    editor.execute(f"CREATE TRIGGER {name} BEFORE {event} EXECUTE FUNCTION {name}()")


def _taken_down(name: str) -> Step:
    def take_down(editor: BaseDatabaseSchemaEditor) -> None:
        if editor.connection.vendor == "postgresql":
            editor.execute(f"DROP FUNCTION IF EXISTS {name}() CASCADE")
        else:
            editor.execute(f"DROP TRIGGER IF EXISTS {name}")

    return take_down
