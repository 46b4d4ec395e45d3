"""A kept database, loaded at the migrations that it was written under and brought to the newest state, in a
database of its own on whichever server the tests run."""

import gzip
import json
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from tests.guards import lifted

HERE = Path(__file__).parent
RELEASES = sorted(HERE.glob("*.json.gz"))

__all__ = ["RELEASES", "brought_up", "empty_database", "read_kept"]


def read_kept(path: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(gzip.decompress(path.read_bytes()))
    return found


@contextmanager
def brought_up(kept: dict[str, Any], folder: Path) -> Iterator[None]:
    """Within, the default connection is to the kept database at today's migrations."""
    with empty_database(folder):
        executor = MigrationExecutor(connection)
        executor.migrate([tuple(key) for key in kept["migrations"]])
        _load(kept, MigrationExecutor(connection))
        executor = MigrationExecutor(connection)
        executor.migrate(executor.loader.graph.leaf_nodes())
        yield


def _load(kept: dict[str, Any], executor: MigrationExecutor) -> None:
    """As the models were then. Rows that are kept append-only are added, so their guards may stand."""
    apps = executor.loader.project_state([tuple(key) for key in kept["migrations"]]).apps
    with lifted(connection), connection.constraint_checks_disabled():
        for label, rows in kept["rows"].items():
            model = apps.get_model(label)
            for row in rows:
                _row(model, row).save_base(raw=True, force_insert=True)
    models = [apps.get_model(label) for label in kept["rows"]]
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(_no_style(), models):
            cursor.execute(statement)


def _no_style() -> Any:
    from django.core.management.color import no_style

    return no_style()


def _row(model: Any, row: dict[str, Any]) -> Any:
    made = model(pk=row["pk"])
    for name, value in row["fields"].items():
        field = model._meta.get_field(name)
        if field.many_to_many:
            continue
        if field.remote_field:
            setattr(made, field.attname, value)
        else:
            setattr(made, name, field.to_python(value))
    return made


@contextmanager
def empty_database(folder: Path) -> Iterator[None]:
    settings = connection.settings_dict
    used = settings["NAME"]
    worker = os.environ.get("PYTEST_XDIST_WORKER", "")  # each of a run has a database of its own
    name = f"jigumi_kept_{worker}"
    if connection.vendor == "sqlite":
        name = str(folder / "kept.sqlite3")
    else:
        _on_server(f"DROP DATABASE IF EXISTS {name}", f"CREATE DATABASE {name}")
    before, connection.connection = connection.connection, None  # closed, one in memory would stay in use
    settings["NAME"] = name
    try:
        yield
    finally:
        connection.close()
        settings["NAME"], connection.connection = used, before
        if connection.vendor != "sqlite":
            _on_server(f"DROP DATABASE {name}")


def _on_server(*statements: str) -> None:
    with connection._nodb_cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)
