"""What the entries of a commission tell of its proposals."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from studio.commissions.entries import broken_orders
from studio.commissions.models import Commission, Entry
from studio.problem import Conflict
from studio.proposals import public
from studio.proposals.deciding import decide
from studio.proposals.erasing import erase_client
from studio.proposals.issuing import issue_proposal, withdraw_issue
from studio.proposals.models import Link
from studio.proposals.selling import begin_variation, cancel, end_variation, release
from studio.proposals.sending import send_issue
from studio.proposals.standing import Reply
from studio.proposals.telling import issue_of, keep_message, messages_about, messages_by
from studio.workshop.clock import today
from tests.proposals.conftest import yes_to


def told(commission: Commission) -> list[tuple[str, str, str]]:
    """Words, who, and about which issue."""
    return [(e.text or "", str(e.by or ""), e.about) for e in commission.entries.filter(kind="event")]


def test_what_happens_is_told_once_by_whom_and_about_which_issue(commission, owner):
    now, day = timezone.now(), today() + timedelta(days=60)
    first = issue_proposal(commission, ("A",), owner, now)
    assert withdraw_issue(first, owner, now)
    assert not withdraw_issue(first, owner, now)
    second = issue_proposal(commission, ("A",), owner, now)
    send_issue(second.links.get(), "https://withy.example/p/x/", owner, now)
    decide(second, Reply("declined", "", "", "", "telephone", second.seal, today()), now, by=owner)
    third = issue_proposal(commission, ("A",), owner, now)
    decide(third, yes_to(third), now, link=third.links.get())
    begin_variation(commission, owner, now)
    end_variation(commission, owner, now)
    release(commission, day, owner, now)
    cancel(commission, "Ms Adeyemi", "we move house", Decimal(10), owner, now)
    number = first.proposal.number
    assert told(commission) == [
        (f"Proposal {number}, issue {issue.number}: {what}", who, issue.public_id)
        for issue, what, who in (
            (first, "issued", "Runa"),
            (first, "withdrawn", "Runa"),
            (second, "issued", "Runa"),
            (second, "a letter to the client was written", "Runa"),
            (second, "declined", "Runa"),
            (third, "issued", "Runa"),
            (third, "option A approved", ""),
            (third, "a variation of it was begun", "Runa"),
            (third, "the variation of it was ended", "Runa"),
            (third, "released to the workshop", "Runa"),
            (third, "cancelled", "Runa"),
        )
    ]
    assert list(broken_orders()) == []


def test_what_is_refused_is_not_told(issue, commission):
    before = told(commission)
    with pytest.raises(Conflict):
        decide(issue, Reply("declined", "", "", "", "page", "0" * 64, today()), timezone.now())
    with pytest.raises(Conflict):
        begin_variation(commission, None, timezone.now())
    assert told(commission) == before


def test_a_link_shows_what_was_written_by_it_and_an_issue_all_of_it(issue, link, commission, client, owner):
    other = Link.objects.create(issue=issue)
    keep_message(link, "How thick is it?")
    keep_message(other, "Could it be greener?")
    assert [entry.text for entry in messages_by(link)] == ["How thick is it?"]
    assert issue_of(messages_by(other).get().about) == issue.public_id
    later = issue_proposal(commission, ("A",), owner, timezone.now())
    keep_message(later.links.get(), "And thinner?")
    found = {key: [entry.text for entry in entries] for key, entries in messages_about(commission).items()}
    assert found == {
        issue.public_id: ["How thick is it?", "Could it be greener?"],
        later.public_id: ["And thinner?"],
    }
    page = client.get(f"/p/{later.links.get().token}/").content.decode()
    assert ("And thinner?" in page, "How thick" in page) == (True, False)


def test_pages_of_the_studio_show_messages_and_events(issue, link, commission, signed_in):
    keep_message(link, "How <i>thick</i> is it?")
    proposal = signed_in.get(f"/proposals/for/{commission.public_id}/").content.decode()
    assert "How &lt;i&gt;thick&lt;/i&gt; is it?<footer" in proposal
    call = signed_in.get(f"/commissions/{commission.public_id}/options/A/").content.decode()
    assert "issue 1: issued" in call
    assert "How &lt;i&gt;thick&lt;/i&gt; is it?" in call


def test_a_link_keeps_nothing_of_a_client_erased_meanwhile(issue, link, ms_adeyemi, client, monkeypatch):
    locked = public.locked_commission

    def meanwhile(key):
        erase_client(ms_adeyemi, None, timezone.now())
        return locked(key)

    monkeypatch.setattr(public, "locked_commission", meanwhile)
    client.post(f"/p/{link.token}/message/", {"text": "I am Ms Adeyemi"})
    assert not Entry.objects.filter(kind="from the client").exists()
