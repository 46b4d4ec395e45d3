"""Two people who save in the same moment, each over a connection of their own: nothing of either is lost."""

import threading
import time
from collections.abc import Callable
from datetime import date

import pytest
from django.db import OperationalError, connection
from django.test import Client as Browser

from studio.clients.details import form_of as client_form
from studio.clients.details import save_client
from studio.clients.models import Client, Space
from studio.clients.space_form import save_space, space_form
from studio.commissions.call.change import save_words
from studio.commissions.call.whole_form import form_of
from studio.commissions.enquiry.about import about_form, save_about
from studio.commissions.entries import add_entry, broken_orders, write_entry
from studio.commissions.estimating import save_space_of
from studio.commissions.models import Commission, Entry, Option
from studio.forms import Form
from studio.voice import PLAIN
from studio.workshop.books import the_studio
from studio.workshop.models import Studio
from studio.workshop.studio_form import save_studio, studio_form
from tests.commissions.conftest import start

pytestmark = pytest.mark.django_db(transaction=True)
TODAY = date(2026, 3, 2)


def at_once(*acts: Callable[[], object]) -> None:
    """All of them in threads that begin together; on SQLite in memory, which does not wait for its lock as a
    file does, until each is done."""
    barrier, failed = threading.Barrier(len(acts)), list[BaseException]()

    def run(act: Callable[[], object]) -> None:
        barrier.wait()
        try:
            for _attempt in range(12_000):
                try:
                    return act() and None
                except OperationalError:
                    time.sleep(0.01)  # the other one's whole act may lie in between
            raise AssertionError("never done")
        except BaseException as error:  # told in the test's own thread
            failed.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(act,)) for act in acts]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []


def typed(form: Form, **changed: str) -> Form:
    return Form({**form.values, **{name.replace("__", "."): text for name, text in changed.items()}})


def test_a_space(signed_in: Browser) -> None:
    space = start(signed_in).commission.space
    form, row = space_form(space, PLAIN), Space.objects.get()
    forms = typed(form, space__widths_mm__0="590"), typed(form, space__gap_mm="6 mm", notes="n")
    at_once(
        *(
            lambda each=each: save_space_of(row, lambda now: save_space(each, now, PLAIN, None), TODAY)
            for each in forms
        )
    )
    now = Space.objects.get()
    assert (now.document["widths_mm"], now.document["gap_mm"], now.notes) == (["590"], "6", "n")


def test_a_client(db: None) -> None:
    client = Client.objects.create(name="Marram")
    form = client_form(client, PLAIN)
    new = [{"contacts.0.name": name, "contacts.0.role": ""} for name in ("Ottoline", "Bo")]
    at_once(*(lambda each=each: save_client(typed(form, **each), client, PLAIN, None) for each in new))
    assert sorted(client.contacts.values_list("name", flat=True)) == ["Bo", "Ottoline"]


def test_an_option_its_space_and_what_is_said(signed_in: Browser) -> None:
    option = start(signed_in)
    form, place = form_of(option, the_studio()), option.commission.public_id
    changes = {"design__depth_mm": "15 mm"}, {"terms__delivery": "collected"}, {"space__gap_mm": "7 mm"}
    at_once(
        *(lambda each=each: save_words(place, "A", typed(form, **each), None, TODAY) for each in changes),
        lambda: add_entry(Form({"said": "no blue"}), option.commission, None),
        lambda: add_entry(Form({"said": "by Easter"}), option.commission, None),
    )
    now = Option.objects.select_related("commission__space").get()
    assert now.design["depth_mm"] == "15"
    assert now.commission.terms["delivery"] == "collected"
    assert now.commission.space.document["gap_mm"] == "7"
    assert now.revision == option.revision + 3
    assert sorted(entry.text or "" for entry in Entry.objects.all()) == ["by Easter", "no blue"]


def test_entries_follow_one_another(signed_in: Browser) -> None:
    commission = start(signed_in).commission
    texts = [f"call {number}" for number in range(8)]
    at_once(*(lambda each=each: write_entry(commission, each, None) for each in texts))
    assert sorted(entry.text or "" for entry in Entry.objects.all()) == texts
    assert list(Entry.objects.values_list("sequence", flat=True)) == [1, 2, 3, 4, 5, 6, 7, 8]
    assert list(broken_orders()) == []


def test_a_commission(signed_in: Browser) -> None:
    commission = start(signed_in).commission
    form = about_form(commission)
    changes = {"title": "Ticket hall"}, {"next_step": "measure"}
    at_once(*(lambda each=each: save_about(typed(form, **each), commission, None) for each in changes))
    now = Commission.objects.get()
    assert (now.title, now.next_step) == ("Ticket hall", "measure")


def test_the_studio(db: None) -> None:
    form = studio_form(the_studio())
    changes = {"name": "Reed & Resin"}, {"phone": "01632 960 1"}
    at_once(*(lambda each=each: save_studio(typed(form, **each), None) for each in changes))
    now = Studio.objects.get()
    assert (now.name, now.phone) == ("Reed & Resin", "01632 960 1")
