"""Emptying the tables after a test that commits, although some of them refuse to be emptied."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

__all__ = ["lifted"]


@contextmanager
def lifted(connection: Any) -> Iterator[None]:
    """SQLite empties tables by DELETE, which triggers refuse: they are taken down and put up again.
    PostgreSQL truncates, which no row trigger sees."""
    if connection.vendor != "sqlite":
        yield
        return
    with connection.cursor() as cursor:
        cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
        triggers = cursor.fetchall()
        for name, _sql in triggers:
            cursor.execute(f"DROP TRIGGER {name}")
        try:
            yield
        finally:
            for _name, sql in triggers:
                cursor.execute(sql)
