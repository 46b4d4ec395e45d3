"""A backup from before an erasing is restored: whoever was erased goes again."""

import json
import re
from contextlib import suppress
from datetime import datetime
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command
from django.db import connection, transaction
from django.utils import timezone

from studio.clients.models import Client, Contact, Photograph
from studio.commissions.entries import broken_orders, write_entry
from studio.commissions.models import Commission
from studio.people.management.commands import serve
from studio.proposals import erasing
from studio.proposals.deciding import decide
from studio.proposals.erasing import erase_client
from studio.proposals.erasures import erasures, note_erasures
from studio.proposals.issuing import issue_proposal
from studio.proposals.sending import send_issue
from studio.proposals.telling import keep_message
from tests.guards import lifted
from tests.proposals.conftest import yes_to
from tests.proposals.looked_through import holding

HERS = ("adeyemi", "a@client.example", "2 mill road", "01632 960", "192.0.2.7", "oak of her aunt")
KEPT_BY_DJANGO = ["contenttypes", "auth.permission", "sessions"]


@pytest.fixture(autouse=True)
def folder(settings, tmp_path) -> Path:
    """The site's own, with nobody in it."""
    settings.VAR = tmp_path
    return tmp_path


@pytest.fixture
def all_of_her(commission, ms_adeyemi, owner) -> Client:
    """Everything that the program keeps of a person."""
    ms_adeyemi.phone, ms_adeyemi.notes = "01632 960 001", "Adeyemi, with two e"
    ms_adeyemi.save()
    Contact.objects.create(client=ms_adeyemi, name="Bo Adeyemi", email="bo.adeyemi@client.example")
    Commission.objects.update(title="Adeyemi hall", next_step="Ring Adeyemi")
    space = commission.space
    space.name, space.notes, space.measured_by = "Adeyemi hall", "beside the oak of her aunt", "Bo Adeyemi"
    space.save()
    Photograph.objects.create(
        space=space, image=b"Adeyemi at the window", sha256="0" * 64, width_px=1, height_px=1
    )
    write_entry(commission, "Adeyemi said: no blue", owner)
    issue = issue_proposal(Commission.objects.get(), ("A", "B"), owner, timezone.now())
    link = issue.links.get()
    keep_message(link, "I am Ms Adeyemi. Could it be quieter?")
    send_issue(link, f"https://withy.example/p/{link.token}/", owner, timezone.now())
    decide(issue, yes_to(issue), timezone.now(), link=link, evidence={"address": "192.0.2.7"})
    return ms_adeyemi


def backup(path: Path) -> None:
    call_command("dumpdata", all=True, exclude=KEPT_BY_DJANGO, output=str(path), verbosity=0)


def restore(path: Path) -> None:
    """As programs do that copy a database: rows come back as they were, before the guards stand."""
    call_command("flush", interactive=False, verbosity=0)
    with lifted(connection), transaction.atomic():
        call_command("loaddata", str(path), verbosity=0)


def again() -> str:
    said = StringIO()
    call_command("erase_again", stdout=said)
    return said.getvalue().strip()


def warned() -> list[str]:
    """What `manage.py serve` says at its start."""
    said = StringIO()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(serve, "collect_static", lambda: None)
        patch.setattr(serve, "serve", lambda door: door.close())
        call_command("serve", "--listen=127.0.0.1:0", stdout=StringIO(), stderr=said)
    return re.findall("Erased people.*", said.getvalue())


@pytest.mark.django_db(transaction=True)
def test_nothing_of_a_person_is_left_after_a_backup_was_restored(all_of_her, folder):
    Client.objects.create(name="Mr Petrov")
    columns = holding(*HERS)
    assert len(columns) >= 17
    backup(folder / "backup.json")
    erase_client(all_of_her, None, timezone.now())
    assert (holding(*HERS), warned()) == ([], [])
    assert again() == "Erased again: 0 of 1 who were erased before."

    restore(folder / "backup.json")
    assert holding(*HERS) == columns
    assert warned() == ["Erased people are in the database again: 1"]
    assert again() == "Erased again: 1 of 1 who were erased before."
    assert (holding(*HERS), warned()) == ([], [])
    assert list(broken_orders()) == []
    erased = Client.objects.get(pk=all_of_her.pk)
    assert erased.erased_at == erasures()[erased.public_id]
    assert Client.objects.filter(name="Mr Petrov", erased_at=None).exists()
    assert again() == "Erased again: 0 of 1 who were erased before."


def test_the_list_holds_nothing_personal_and_only_its_owner_reads_it(all_of_her, folder):
    erase_client(all_of_her, None, timezone.now())
    erase_client(all_of_her, None, timezone.now())
    path = folder / "erasures.jsonl"
    (line,) = path.read_text().splitlines()
    all_of_her.refresh_from_db()
    assert json.loads(line) == {"client": all_of_her.public_id, "at": all_of_her.erased_at.isoformat()}
    assert path.stat().st_mode & 0o777 == 0o600


def test_it_is_on_the_disk_before_the_erasing_is_done(ms_adeyemi, monkeypatch, folder):
    """A power cut between the two loses nothing; where the list cannot be written, nobody is erased."""

    def broken() -> None:
        raise OSError("no space left")

    monkeypatch.setattr(erasing, "note_erasures", broken)
    with pytest.raises(OSError, match="no space left"):
        erase_client(ms_adeyemi, None, timezone.now())
    assert Client.objects.get().name == "Ms Adeyemi"

    synced = list[str]()
    path = folder / "erasures.jsonl"
    monkeypatch.setattr("os.fsync", lambda _file: synced.append(path.read_text()))

    def power_cut() -> None:
        note_erasures()
        raise KeyboardInterrupt

    monkeypatch.setattr(erasing, "note_erasures", power_cut)
    with suppress(KeyboardInterrupt):
        erase_client(ms_adeyemi, None, timezone.now())
    assert (Client.objects.get().name, list(erasures())) == ("Ms Adeyemi", [ms_adeyemi.public_id])
    assert [ms_adeyemi.public_id in each for each in synced] == [True, True]  # the file, and its folder
    assert len(warned()) == 1


def test_a_line_that_was_cut_short_hides_no_other(ms_adeyemi, folder):
    (folder / "erasures.jsonl").write_text('{"client": "abcabcabcabc", "at": "2026-')
    erase_client(ms_adeyemi, None, timezone.now())
    assert list(erasures()) == [ms_adeyemi.public_id]


def test_who_was_erased_before_there_was_a_list_comes_on_it(db):
    at = datetime(2026, 3, 2, 12, 0, tzinfo=timezone.get_default_timezone())
    before = Client.objects.create(name="Erased", erased_at=at)
    later = Client.objects.create(name="Mr Petrov")
    assert erasures() == {}
    erase_client(later, None, timezone.now())
    assert list(erasures()) == [before.public_id, later.public_id]
    assert erasures()[before.public_id] == at


def test_a_database_without_tables_holds_nobody(db, folder, monkeypatch):
    (folder / "erasures.jsonl").write_text('{"client": "abcabcabcabc", "at": "2026-03-02T12:00:00+00:00"}\n')
    assert warned() == []
    monkeypatch.setattr(Client._meta, "db_table", "no_such_table")
    assert warned() == []
