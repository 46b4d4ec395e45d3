"""The database keeps what was written, and lets a letter's state go only where the program may."""

from itertools import product

import pytest
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from studio.letters.models import Attachment, Letter
from studio.letters.states import MAY_FOLLOW, State
from tests.guards import lifted
from tests.letters.conftest import written


@pytest.fixture
def letter(db):
    return written()


def refused(act) -> bool:
    try:
        with transaction.atomic():
            act()
    except IntegrityError:
        return True
    return False


@pytest.mark.parametrize("model", [Letter, Attachment])
def test_no_row_is_deleted_or_replaced(letter, model):
    table = model._meta.db_table
    insert = "INSERT OR REPLACE INTO" if connection.vendor == "sqlite" else "INSERT INTO"
    with connection.cursor() as cursor:
        assert refused(lambda: cursor.execute(f"DELETE FROM {table}"))
        assert refused(lambda: cursor.execute(f"{insert} {table} SELECT * FROM {table}"))
    assert model.objects.count() == 1


@pytest.mark.parametrize("field", ["key", "source", "reply_to", "receiver", "subject", "body"])
def test_what_was_written_stays(letter, field):
    assert refused(lambda: Letter.objects.update(**{field: "other@client.example"}))
    assert refused(lambda: Letter.objects.update(at=timezone.now()))
    assert refused(lambda: Letter.objects.update(public_id="0" * 32))


@pytest.mark.parametrize("change", [{"name": "x"}, {"kind": "x"}, {"content": b"x"}])
def test_what_went_with_it_stays(letter, change):
    assert refused(lambda: Attachment.objects.update(**change))
    assert not refused(lambda: Attachment.objects.update(name=None, content=None))


def test_a_letter_that_waits_has_somebody_to_go_to(letter):
    assert refused(lambda: Letter.objects.update(receiver=None))
    assert not refused(lambda: Letter.objects.update(state="dropped", receiver=None, subject=None, body=None))
    assert refused(lambda: Letter.objects.update(receiver="back@client.example"))


@pytest.mark.parametrize(("old", "new"), list(product(State, State)))
def test_a_state_goes_where_the_table_says(letter, old, new):
    connection.check_constraints()  # PostgreSQL lifts and sets no guards while any check is pending
    with lifted(connection):
        Letter.objects.update(state=old)
        connection.check_constraints()
    assert refused(lambda: Letter.objects.update(state=new)) == (new != old and new not in MAY_FOLLOW[old])


def test_no_other_state(letter):
    assert refused(lambda: Letter.objects.update(state="lost"))
