"""The letter: plain text, whatever a name holds."""

from datetime import timedelta

import pytest
from django.core import mail
from django.utils import timezone

from studio.problem import Conflict, Refused
from studio.proposals.days import days_shown
from studio.proposals.issuing import issue_proposal, withdraw_issue
from studio.proposals.models import Letter
from studio.proposals.sending import send_issue
from studio.proposals.stored import read

ADDRESS = "http://studio.example/p/token/"


def test_what_it_says(issue, committed):
    stored = read(issue)
    with committed():
        sent = send_issue(issue.links.get(), ADDRESS, None, timezone.now())
    assert sent.outbox.receiver == "a@client.example"
    (letter,) = mail.outbox
    sheet = stored.sheet
    assert letter.subject == f"Proposal {sheet.number}, issue 1: Niche panel"
    assert letter.reply_to == ["hello@withy.example"]
    assert ADDRESS in letter.body
    for option in sheet.options:
        assert f"Option {option.letter}: {option.price.amount}" in letter.body
    assert letter.attachments[0].filename == f"proposal-{sheet.number}-issue-1.pdf"


def test_a_day_whose_start_has_passed_is_counted_anew_as_on_the_page(issue):
    later = timezone.now() + timedelta(days=20)
    outbox = send_issue(issue.links.get(), ADDRESS, None, later).outbox
    for option in read(issue).sheet.options:
        day = days_shown(issue, read(issue), timezone.localdate(later))[option.letter]
        assert f"ready by {day.text}, {day.hung} by appointment\n" in outbox.body
        assert day.text != option.ready


def test_markup_emoji_and_line_breaks_in_names(commission, ms_adeyemi, owner, committed):
    ms_adeyemi.name = "Zoë <b>&</b> {{ x }} 🙂"
    ms_adeyemi.save()
    commission.title = "Niche\nBcc: all@elsewhere.example"
    commission.save()
    issue = issue_proposal(commission, ("A",), owner, timezone.now())
    with committed():
        send_issue(issue.links.get(), ADDRESS, owner, timezone.now())
    (letter,) = mail.outbox
    assert "Dear Zoë <b>&</b> {{ x }} 🙂," in letter.body
    assert letter.subject.endswith("issue 1: Niche Bcc: all@elsewhere.example")
    assert letter.recipients() == ["a@client.example"]
    assert "Zoë" in letter.message().get_payload()[0].get_payload(decode=True).decode()


def test_nobody_to_write_to(commission, ms_adeyemi, owner):
    ms_adeyemi.email = ""
    ms_adeyemi.save()
    issue = issue_proposal(commission, ("A",), owner, timezone.now())
    with pytest.raises(Refused, match="copy the link"):
        send_issue(issue.links.get(), ADDRESS, owner, timezone.now())
    assert not Letter.objects.exists()
    assert mail.outbox == []


def test_a_letter_is_written_once_for_each_look_at_the_page(issue, owner, committed):
    link = issue.links.get()
    with committed():
        send_issue(link, ADDRESS, owner, timezone.now(), after=0)
    with pytest.raises(Conflict, match="written meanwhile"):
        send_issue(link, ADDRESS, owner, timezone.now(), after=0)
    with committed():
        send_issue(link, ADDRESS, owner, timezone.now(), after=1)
    assert [row.outbox.key[-8:] for row in Letter.objects.all()] == ["letter 1", "letter 2"]
    assert len({letter.extra_headers["Message-ID"] for letter in mail.outbox}) == 2


@pytest.mark.parametrize("ended", ["withdrawn", "replaced"])
def test_a_letter_that_waits_for_an_issue_that_is_over_is_taken_back(issue, commission, owner, ended):
    send_issue(issue.links.get(), ADDRESS, owner, timezone.now())
    assert Letter.objects.get().outbox.state == "waiting"
    if ended == "withdrawn":
        assert withdraw_issue(issue, None, timezone.now())
    else:
        issue_proposal(commission, ("A",), owner, timezone.now())
    assert Letter.objects.get().outbox.state == "dropped"
