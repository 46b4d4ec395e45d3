"""What the client said: entries that follow one another, whoever writes them."""

from datetime import UTC, datetime
from html import unescape
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import IntegrityError, connection, transaction
from django.db.models import ProtectedError
from django.test import Client as Browser
from django.utils import timezone

from studio.clients.models import Client
from studio.commissions.entries import write_entry
from studio.commissions.models import Commission, Entry, Option
from studio.proposals.erasing import erase_client
from tests.commissions.conftest import start
from tests.guards import lifted

HTMX = {"HX-Request": "true"}
MARKUP = "no blue <i>anywhere</i> 🙂\nnot even at the edge"


def texts() -> list[str | None]:
    return [entry.text for entry in Entry.objects.all()]


def test_of_two_people_on_one_call_nothing_is_lost(signed_in: Browser, tam: Browser, address: str) -> None:
    for browser, text in ((signed_in, "no blue"), (tam, "by Easter"), (signed_in, "a lamp behind")):
        browser.get(address)
        answer = browser.post(f"{address}said/", {"said": text}, headers=HTMX)
        assert answer.status_code == 200
    page = answer.content.decode()
    assert [page.index(text) for text in ("no blue", "by Easter", "a lamp behind")] == sorted(
        page.index(text) for text in ("no blue", "by Easter", "a lamp behind")
    )
    assert [str(entry.by) for entry in Entry.objects.all()] == ["Runa", "Tam", "Runa"]
    assert "Runa" in page
    assert 'name="said" rows="3"' in page  # an empty field for the next one
    assert "Kept." in page


def test_each_says_when_in_the_studios_time_zone_and_by_whom(
    signed_in: Browser, option: Option, address: str
) -> None:
    """British summer time is an hour ahead of UTC."""
    write_entry(option.commission, MARKUP, None, at=datetime(2026, 7, 1, 13, 5, tzinfo=UTC))
    with timezone.override("Europe/London"):
        page = signed_in.get(address).content.decode()
    assert ">1 July 2026, 14:05</time>" in page
    assert "no blue &lt;i&gt;anywhere&lt;/i&gt; 🙂<br>not even at the edge" in page


def test_without_script_the_page_comes_again(signed_in: Browser, address: str) -> None:
    answer = signed_in.post(f"{address}said/", {"said": f" {MARKUP} "})
    assert (answer.status_code, answer["Location"]) == (302, address)
    assert texts() == [MARKUP]


@pytest.mark.parametrize(
    ("text", "remedy"), [("", "Write what was said"), (" \n", "Write"), ("x" * 20_001, "At most")]
)
@pytest.mark.parametrize("headers", [HTMX, {}])
def test_what_is_refused_stays_typed(
    signed_in: Browser, address: str, text: str, remedy: str, headers: dict[str, str]
) -> None:
    answer = signed_in.post(f"{address}said/", {"said": text}, headers=headers)
    page = unescape(answer.content.decode())
    assert answer.status_code == 422
    assert remedy in page
    assert (text in page) if not headers else 'name="said"' not in page  # htmx leaves the field alone
    assert texts() == []
    assert signed_in.post(f"{address}said/", {}, headers=headers).status_code == 422


def test_strangers_and_wrong_places(client: Browser, signed_in: Browser, address: str) -> None:
    assert signed_in.post(f"{address.replace('/A/', '/B/')}said/", {"said": "x"}).status_code == 404
    assert signed_in.get(f"{address}said/").status_code == 405
    client.logout()
    assert client.post(f"{address}said/", {"said": "x"})["Location"].startswith("/sign-in/")
    assert texts() == []


@pytest.mark.parametrize(
    "change",
    [
        {"text": "yes, blue"},
        {"salt": "0" * 32},
        {"text": None},
        {"by": None},
        {"sequence": 2},
        {"at": datetime(2026, 1, 1, tzinfo=UTC)},
        {"carried_over": True},
        {"kind": "event"},
        {"about": "x"},
        {"text_sha256": "0" * 64},
        {"chain_sha256": "0" * 64},
    ],
)
def test_the_database_lets_nobody_change_one(signed_in: Browser, address: str, change: dict) -> None:
    signed_in.post(f"{address}said/", {"said": "no blue"})
    with pytest.raises(IntegrityError), transaction.atomic():
        Entry.objects.update(**change)
    with pytest.raises(IntegrityError), transaction.atomic():
        Entry.objects.all().delete()
    with pytest.raises(ProtectedError):
        Commission.objects.all().delete()
    assert texts() == ["no blue"]


def test_the_database_takes_no_entry_but_the_next_one(option: Option) -> None:
    write_entry(option.commission, "no blue", None)
    row = {"commission": option.commission, "text": "x", "salt": "y", "chain_sha256": "0" * 64}
    for wrong in ({"sequence": 1}, {"sequence": 3}, {"sequence": 2, "kind": "hearsay"}, {"sequence": 0}):
        with pytest.raises(IntegrityError), transaction.atomic():
            Entry.objects.create(**{**row, **wrong})
    Entry.objects.create(**row, sequence=2)


def order() -> list[str]:
    """What `manage.py check_entries` says."""
    said = StringIO()
    try:
        call_command("check_entries", stdout=said)
    except CommandError as error:
        said.write(str(error))
    return said.getvalue().splitlines()


def test_an_order_that_was_changed_behind_the_guards_is_found(signed_in: Browser, option: Option) -> None:
    for text in ("no blue", "by Easter", "a lamp behind"):
        write_entry(option.commission, text, None)
    other = start(signed_in).commission
    write_entry(other, "elsewhere", None)
    Entry.objects.filter(text="by Easter").update(text=None, salt=None)  # as erasing does
    assert order() == ["Every entry is as it was written."]
    with lifted(connection):
        Entry.objects.filter(text="no blue").update(text="all blue")
        Entry.objects.filter(sequence=2).delete()
    name = option.commission.public_id
    assert order() == [
        f"{name}: entry 1 has another text; entry 3 stands where 2 should; "
        "entry 3 is not what was written there",
        "Not as written: the entries of 1 of the commissions",
    ]


def test_each_kind_says_what_it_is(signed_in: Browser, option: Option, address: str) -> None:
    for kind in Entry.Kind:
        write_entry(option.commission, f"The {kind}.", None, kind=kind)
    page = " ".join(signed_in.get(address).content.decode().split())
    assert [f"</time> · {kind}</p>" in page for kind in Entry.Kind] == [False, True, True, True]


def test_erasing_a_client_empties_what_they_said(signed_in: Browser) -> None:
    option = start(signed_in, new_client="Ms Adeyemi")
    address = f"/commissions/{option.commission.public_id}/options/A/"
    signed_in.post(f"{address}said/", {"said": "I am Ms Adeyemi"})
    write_entry(option.commission, "Something was done", None, kind="event")
    erase_client(Client.objects.get(), None, timezone.now())
    assert texts() == [None, "Something was done"]
    assert order() == ["Every entry is as it was written."]
    assert "Erased with the client." in signed_in.get(address).content.decode()
    refused = signed_in.post(f"{address}said/", {"said": "Adeyemi again"}, headers=HTMX)
    assert refused.status_code == 422
    assert texts() == [None, "Something was done"]


def test_notes_from_before_say_that_they_are(signed_in: Browser, option: Option, address: str) -> None:
    said = write_entry(option.commission, "rang twice", None)
    with lifted(connection):
        Entry.objects.filter(pk=said.pk).update(carried_over=True)
    assert "notes from before entries had a day" in signed_in.get(address).content.decode()
