"""Letters that a released database holds are in the outbox afterwards, and say what they said."""

from datetime import UTC, datetime

import pytest
from django.db import IntegrityError, transaction
from django.test import Client as Browser

from studio.letters.models import Letter as Outbox
from studio.people.models import User
from studio.proposals.models import Letter, Link
from tests.released.kept import RELEASES, brought_up, read_kept

pytestmark = pytest.mark.database
FIRST, SECOND = datetime(2026, 3, 2, 10, tzinfo=UTC), datetime(2026, 3, 3, 11, tzinfo=UTC)


def test_old_letters_keep_what_they_say(django_db_setup, django_db_blocker, tmp_path):
    kept = read_kept(RELEASES[0])
    owner, link = kept["rows"]["people.user"][0]["pk"], kept["rows"]["proposals.link"][0]["pk"]
    sent = {"link": link, "by": owner, "receiver": "a@client.example", "sent_at": FIRST.isoformat()}
    erased = {**sent, "receiver": None, "by": None, "sent_at": SECOND.isoformat()}
    kept["rows"]["proposals.letter"] = [{"pk": 3, "fields": sent}, {"pk": 8, "fields": erased}]
    with django_db_blocker.unblock(), brought_up(kept, tmp_path):
        assert list(Letter.objects.values_list("pk", "link_id")) == [(3, link), (8, link)]
        told = [
            (row.outbox.receiver, row.outbox.at, row.outbox.changed_at, row.outbox.by_id, row.outbox.state)
            for row in Letter.objects.all()
        ]
        assert told == [
            ("a@client.example", FIRST, FIRST, owner, "sent"), (None, SECOND, SECOND, None, "sent"),
        ]  # fmt: skip
        issue = Link.objects.get(pk=link).issue
        assert [row.key for row in Outbox.objects.all()] == [
            f"proposal issue {issue.public_id}, letter {number}" for number in (1, 2)
        ]
        for change in (Letter.objects.update, Outbox.objects.update):
            with pytest.raises(IntegrityError), transaction.atomic():
                change(id=99)
        browser = Browser()
        browser.force_login(User.objects.get(role=User.Role.OWNER))
        for address in ("/letters/", f"/proposals/for/{issue.proposal.commission.public_id}/"):
            page = browser.get(address).content.decode()
            assert page.count("Sent to") == 2
            assert "an address since erased" in page
