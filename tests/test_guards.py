"""The database keeps guarded rows, whatever code asks of it."""

import pytest
from django.db import IntegrityError, connection, transaction
from django.db.migrations.state import ProjectState

from studio.guards import Guard, append_only, frozen_columns, never_deleted

pytestmark = pytest.mark.django_db


def run(sql: str) -> list[tuple[str, ...]]:
    with connection.cursor() as cursor:
        cursor.execute(sql)
        return cursor.fetchall() if cursor.description else []


@pytest.fixture(autouse=True)
def _row(db: None) -> None:
    run("CREATE TABLE guarded (text varchar(40), note varchar(40))")
    run("INSERT INTO guarded VALUES ('as it was', 'a name')")


def guard(operations: list[Guard], undo: bool = False) -> None:
    state, editor = ProjectState(), connection.schema_editor()
    for operation in operations:
        step = operation.database_backwards if undo else operation.database_forwards
        step("guards", editor, state, state)


def refused(sql: str) -> bool:
    try:
        with transaction.atomic():
            run(sql)
    except IntegrityError:
        return True
    return False


def test_append_only() -> None:
    guard(append_only("guarded"))
    assert refused("UPDATE guarded SET text = 'changed'")
    assert refused("DELETE FROM guarded")
    run("INSERT INTO guarded VALUES ('another', NULL)")
    assert run("SELECT text FROM guarded ORDER BY text") == [("another",), ("as it was",)]


def test_frozen_columns() -> None:
    guard(frozen_columns("guarded", ["text"], may_be_emptied=["note"]))
    assert refused("UPDATE guarded SET text = 'changed'")
    assert refused("UPDATE guarded SET text = NULL")
    assert refused("UPDATE guarded SET note = 'another name'")
    assert not refused("UPDATE guarded SET text = 'as it was'")
    assert not refused("UPDATE guarded SET note = NULL")
    assert refused("UPDATE guarded SET note = 'put back'")


def test_never_deleted_may_change() -> None:
    guard(never_deleted("guarded"))
    assert not refused("UPDATE guarded SET text = 'changed'")
    assert refused("DELETE FROM guarded")


def test_nothing_is_replaced_by_any_key() -> None:
    run("CREATE TABLE keyed (id integer PRIMARY KEY, code varchar(9) UNIQUE, state varchar(9))")
    run("CREATE UNIQUE INDEX one_open ON keyed (state) WHERE \"state\" = 'open'")
    run("INSERT INTO keyed VALUES (1, 'a', 'open'), (2, 'b', 'shut')")
    guard([*never_deleted("keyed"), *frozen_columns("keyed", ["code"])])
    insert = "INSERT OR REPLACE INTO" if connection.vendor == "sqlite" else "INSERT INTO"
    for row in ("(1, 'c', 'shut')", "(3, 'a', 'shut')", "(3, 'c', 'open')"):
        assert refused(f"{insert} keyed VALUES {row}")
    assert not refused(f"{insert} keyed VALUES (3, 'c', 'shut')")


def test_a_table_is_not_emptied_at_once() -> None:
    guard(never_deleted("guarded"))
    assert refused("TRUNCATE guarded" if connection.vendor == "postgresql" else "DELETE FROM guarded")


def test_the_refusal_says_why() -> None:
    guard(append_only("guarded"))
    with pytest.raises(IntegrityError, match="guarded is append-only"), transaction.atomic():
        run("UPDATE guarded SET text = 'changed'")


def test_guards_can_be_taken_down() -> None:
    operations = append_only("guarded")
    guard(operations)
    guard(operations, undo=True)
    assert not refused("UPDATE guarded SET text = 'changed'")
