"""Emptying the tables after a test that commits, although some of them refuse to be emptied."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

__all__ = ["lifted"]


@contextmanager
def lifted(connection: Any) -> Iterator[None]:
    """SQLite empties tables by DELETE, PostgreSQL by TRUNCATE, and triggers refuse both: they are taken down
    and put up again."""
    lift = _lifted_on_sqlite if connection.vendor == "sqlite" else _lifted_on_postgresql
    with connection.cursor() as cursor, lift(cursor):
        yield


@contextmanager
def _lifted_on_sqlite(cursor: Any) -> Iterator[None]:
    cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
    triggers = cursor.fetchall()
    for name, _sql in triggers:
        cursor.execute(f"DROP TRIGGER {name}")
    try:
        yield
    finally:
        for _name, sql in triggers:
            cursor.execute(sql)


@contextmanager
def _lifted_on_postgresql(cursor: Any) -> Iterator[None]:
    cursor.execute("SELECT DISTINCT tgrelid::regclass::text FROM pg_trigger WHERE NOT tgisinternal")
    tables = [table for (table,) in cursor.fetchall()]
    _check_keys(cursor)
    for table in tables:
        cursor.execute(f"ALTER TABLE {table} DISABLE TRIGGER USER")
    try:
        yield
    finally:
        _check_keys(cursor)
        for table in tables:
            cursor.execute(f"ALTER TABLE {table} ENABLE TRIGGER USER")


def _check_keys(cursor: Any) -> None:
    """Those that wait for a transaction's end: a table with any of them cannot be altered."""
    cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
    cursor.execute("SET CONSTRAINTS ALL DEFERRED")
