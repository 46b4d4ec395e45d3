"""The client's side: no sign-in, no cookie; the token opens one issue and nothing else."""

import re
from dataclasses import replace
from datetime import datetime, time, timedelta
from decimal import Decimal
from html import unescape

import pytest
from django.test import Client
from django.utils import timezone

from studio.commissions.estimating import jobs_of
from studio.commissions.models import Entry
from studio.making.booked import amounts
from studio.proposals import public
from studio.proposals.days import days_named, promises_of
from studio.proposals.deciding import decide
from studio.proposals.issuing import issue_proposal
from studio.proposals.models import Decision, ProposalIssue
from studio.proposals.selling import begin_variation, cancel
from studio.proposals.shown import voice_in
from studio.proposals.stored import costs_of, read
from studio.workshop.bookings import move
from studio.workshop.books import current_book, save_book
from studio.workshop.clock import today
from tests.estimate.said import ALWAYS, WALL
from tests.proposals.conftest import days_posted, yes_to


@pytest.fixture
def visitor():
    return Client(enforce_csrf_checks=True)


@pytest.fixture
def page(link):
    return f"/p/{link.token}/"


def text(answer) -> str:
    return " ".join(unescape(answer.content.decode()).split())


def yes(issue, **more):
    return {
        "seal": issue.seal,
        "answer": "approved",
        "letter": "B",
        "who": "Ms Adeyemi",
        "may_order": "1",
        **days_posted(issue),
        **more,
    }


def test_it_shows_the_stored_figures(visitor, page, issue):
    shown = text(visitor.get(page))
    for option in read(issue).sheet.options:
        sums = (option.price, option.also, *option.lines, *option.totals, *option.deposits)
        for words in (*(s.amount for s in sums), option.ready, option.paragraph, *option.included):
            assert words in shown
    cautions = read(issue).sheet.cautions
    asked = [caution for caution in cautions if "It is not known yet whether" not in caution]
    assert (asked, len(cautions)) == ([WALL, *ALWAYS], 11)  # four questions that nobody has answered
    assert all(caution in shown for caution in cautions)
    assert shown.count("<svg") >= 4
    without_drawings = re.sub(r"<svg.*?</svg>", "", shown).lower()
    assert "tax is due on each payment when it is received" in without_drawings
    for option in (costs_of(issue, read(issue)) or {}).values():
        costs = {line["text"].lower() for line in option["lines"]} - {"rounding"}
        assert not [text for text in ("margin", *costs) if text in without_drawings]


def test_evidence_names_the_address_that_the_server_saw(visitor, page, issue):
    seen = {"REMOTE_ADDR": "192.0.2.1", "HTTP_X_FORWARDED_FOR": "203.0.113.9"}
    visitor.post(page + "answer/", yes(issue), **seen)
    assert Decision.objects.get().person["evidence"]["address"] == "192.0.2.1"


def test_it_is_kept_nowhere_and_sets_no_cookie(visitor, page):
    answer = visitor.get(page)
    assert answer["Cache-Control"] == "private, no-store"
    assert answer["X-Robots-Tag"] == "noindex, nofollow"
    assert answer["Referrer-Policy"] == "no-referrer"
    assert not answer.cookies
    assert "unsafe" not in answer["Content-Security-Policy"]
    assert " style=" not in answer.content.decode()


def test_the_pdf_is_the_stored_one(visitor, page, issue):
    assert visitor.get(page + "pdf/").content == bytes(issue.pdf)


def test_a_wrong_token_opens_nothing(visitor, page, db):
    for address in ("/p/wrong/", "/p/wrong/pdf/", page[:-2] + "/"):
        assert visitor.get(address).status_code == 404
    assert visitor.post("/p/wrong/answer/").status_code == 404


def test_approving(visitor, page, issue, commission):
    assert visitor.post(page + "answer/", yes(issue, behalf="Mill Road Surgery"))["Location"] == page
    decision = Decision.objects.get()
    assert (decision.letter, decision.how, decision.by, decision.seal) == ("B", "page", None, issue.seal)
    assert decision.person["authority"] == "says: I may order this for Mill Road Surgery"
    assert decision.person["evidence"]["address"] == "127.0.0.1"
    shown = text(visitor.get(page))
    assert "Option B was approved on" in shown
    assert "Approve this option" not in shown
    commission.refresh_from_db()
    assert commission.stage == "approved"


def test_a_second_answer_is_refused_kindly(visitor, page, issue):
    visitor.post(page + "answer/", yes(issue))
    again = visitor.post(page + "answer/", yes(issue, letter="A"))
    assert again.status_code == 409
    assert "Option B was approved" in text(again)
    assert Decision.objects.get().letter == "B"


def test_another_seal_is_a_conflict(visitor, page, issue):
    answer = visitor.post(page + "answer/", yes(issue, seal="0" * 64))
    assert answer.status_code == 409
    assert "read this page again" in text(answer)
    assert not Decision.objects.exists()


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"letter": ""}, "No option is chosen"),
        ({"letter": "<b>"}, "There is no option '<b>'"),
        ({"who": " "}, "No name is given"),
        ({"may_order": ""}, "tick that you may order this"),
        ({"answer": "perhaps"}, "approve one option, or decline"),
        ({"who": "x" * 2000}, "This name has 2000 characters"),
    ],
)
def test_an_incomplete_answer_says_what_is_missing(visitor, page, issue, wrong, words):
    answer = visitor.post(page + "answer/", yes(issue, behalf="The <Surgery> 🙂", **wrong))
    assert answer.status_code == 422
    assert words in text(answer)
    assert "The <Surgery> 🙂" in text(answer)
    assert b"The <Surgery>" not in answer.content
    assert not Decision.objects.exists()


def test_declining_without_a_reason(visitor, page, issue, commission):
    visitor.post(page + "answer/", {"seal": issue.seal, "answer": "declined"})
    commission.refresh_from_db()
    assert (Decision.objects.get().answer, commission.stage) == ("declined", "declined")
    assert "This proposal was declined on" in text(visitor.get(page))


def written() -> list[str | None]:
    """What clients wrote by their links."""
    return [entry.text for entry in Entry.objects.filter(kind="from the client")]


def test_a_message_decides_nothing(visitor, page, issue, commission):
    assert visitor.post(page + "message/", {"text": "Could it be <i>greener</i>? 🙂"}).status_code == 302
    assert written() == ["Could it be <i>greener</i>? 🙂"]
    assert b"&lt;i&gt;greener" in visitor.get(page).content
    commission.refresh_from_db()
    assert (Decision.objects.count(), commission.stage) == (0, "proposed")


@pytest.mark.parametrize(("words", "told"), [("  ", "Nothing is written"), ("x" * 4001, "4001 characters")])
def test_a_message_that_is_none(visitor, page, words, told):
    answer = visitor.post(page + "message/", {"text": words})
    assert answer.status_code == 422
    assert told in text(answer)
    assert written() == []


def test_a_link_takes_so_many_messages(visitor, page, monkeypatch):
    monkeypatch.setattr(public, "MESSAGES_PER_LINK", 2)
    answers = [visitor.post(page + "message/", {"text": "hello"}).status_code for _ in range(3)]
    assert answers == [302, 302, 422]


def test_expired(visitor, page, issue, monkeypatch):
    later = issue.valid_until + timedelta(days=1)
    monkeypatch.setattr(public, "today", lambda: later)
    shown = visitor.get(page)
    assert shown.status_code == 200
    assert "The time for which this price holds is over" in text(shown)
    assert "Approve this option" not in text(shown)


def test_expired_answers_are_refused(visitor, page, issue, monkeypatch):
    later = timezone.now() + timedelta(days=31)
    monkeypatch.setattr(public.timezone, "now", lambda: later)
    monkeypatch.setattr(public, "today", lambda: timezone.localdate(later))
    assert visitor.post(page + "answer/", yes(issue)).status_code == 409
    assert not Decision.objects.exists()


def test_superseded(visitor, page, issue, commission, owner):
    issue_proposal(commission, ("A",), owner, timezone.now())
    closed = visitor.get(page)
    assert closed.status_code == 410
    assert "A later issue has replaced issue 1" in text(closed)
    assert visitor.get(page + "pdf/").status_code == 410
    assert visitor.post(page + "message/", {"text": "hello"}).status_code == 410
    assert visitor.post(page + "answer/", yes(issue)).status_code == 410
    assert (Decision.objects.count(), written()) == (0, [])


def test_revoked_and_withdrawn(visitor, page, issue):
    issue.links.update(revoked_at=timezone.now())
    closed = visitor.get(page)
    assert closed.status_code == 410
    assert "The studio has closed this link" in text(closed)
    ProposalIssue.objects.update(state="withdrawn")
    assert "has withdrawn issue 1" in text(visitor.get(page))


def test_one_option_needs_no_choosing(visitor, commission, owner):
    made = issue_proposal(commission, ("A",), owner, timezone.now())
    shown = text(visitor.get(f"/p/{made.links.get().token}/"))
    assert 'name="letter" value="A" required checked' in shown


def test_reading_costs_few_queries(visitor, page, django_assert_max_num_queries):
    """Of any page, the slot, the rates, the workshop, and once the making: its days are those of now."""
    with django_assert_max_num_queries(8):
        visitor.get(page)
    with django_assert_max_num_queries(7):
        visitor.get(page)


def test_a_yes_to_another_day_is_told_the_day_as_of_now(visitor, page, issue, commission):
    """A page that lay open, or a form that was changed: what was typed stays, both days are said."""
    promised = promises_of(read(issue).figures)["B"]
    said = promised.ready_on - timedelta(days=1)
    answer = visitor.post(page + "answer/", yes(issue, who="Zoë Adeyemi", ready_on_B=said.isoformat()))
    assert answer.status_code == 409
    voice = voice_in(read(issue).figures)
    shown = text(answer)
    assert f"It is ready by {voice.day(promised.ready_on)} now, not by {voice.day(said)} as it said" in shown
    assert 'value="Zoë Adeyemi"' in shown
    assert not Decision.objects.exists()
    again = fields_of(answer, {"letter": "B"})
    assert visitor.post(page + "answer/", again).status_code == 302
    assert Decision.objects.get().agreed_on == promised.ready_on
    commission.refresh_from_db()
    assert commission.stage == "approved"


def test_a_page_that_names_no_day_agrees_to_none(visitor, page, issue):
    answer = visitor.post(page + "answer/", yes(issue, ready_on_B=""))
    assert answer.status_code == 409
    assert "which was not on what you read" in text(answer)


@pytest.fixture
def lapsed(issue, monkeypatch):
    """A day on which the start has passed by which the deposit had to clear, and the price still holds."""
    promised = promises_of(read(issue).figures)["B"]
    later = timezone.make_aware(datetime.combine(promised.starts_on + timedelta(days=3), time(12)))
    assert later.date() <= issue.valid_until
    monkeypatch.setattr(timezone, "now", lambda: later)
    return promised


def test_once_the_condition_has_lapsed_the_day_is_counted_from_today(visitor, page, issue, lapsed):
    was = days_posted(issue)
    shown = text(visitor.get(page))
    voice = voice_in(read(issue).figures)
    assert f"; issued as {voice.day(lapsed.ready_on)}, for a start by {voice.day(lapsed.starts_on)}" in shown
    stale = visitor.post(page + "answer/", yes(issue, **was))
    assert stale.status_code == 409
    assert visitor.post(page + "answer/", fields_of(stale, {"letter": "B"})).status_code == 302
    agreed = Decision.objects.get().agreed_on
    assert agreed > lapsed.ready_on
    assert f"Ready by {voice.day(agreed)}" in text(visitor.get(page))


def test_as_of_now_is_what_the_workshop_says_now(visitor, page, issue, lapsed, commission):
    """Two hundred hours that others were promised meanwhile; and this commission's own, which count not."""
    before = days_named(issue, read(issue), today())["B"]
    hours = amounts(printer_minutes={printer.name: 60 * 200 for printer in current_book(today())[1].printers})
    own = f"{jobs_of(commission)}another"
    move(own, own, "firm", hours)
    assert days_named(issue, read(issue), today())["B"] == before
    typed = yes(issue, ready_on_B=before.ready_on.isoformat())
    move("other-job", "other-job", "firm", hours)
    after = days_named(issue, read(issue), today())["B"]
    assert after.ready_on > before.ready_on
    voice = voice_in(read(issue).figures)
    moved = visitor.post(page + "answer/", typed)
    assert moved.status_code == 409
    assert f"ready by {voice.day(after.ready_on)} now, not by {voice.day(before.ready_on)}" in text(moved)
    assert visitor.post(page + "answer/", fields_of(moved, {"letter": "B"})).status_code == 302
    decision = Decision.objects.get()
    assert (decision.agreed_on, decision.agreed_days) == (after.ready_on, after.working_days)
    assert f"to be ready by {voice.day(after.ready_on)}" in text(visitor.get(page))


def test_a_yes_where_no_day_can_be_named_any_more(visitor, signed_in, page, issue, lapsed, commission, owner):
    """The printers that it is cut for were sold: a client is not told of printers, the studio is."""
    book = current_book(today())[1]
    before = days_named(issue, read(issue), today())["B"]
    typed = yes(issue, ready_on_B=before.ready_on.isoformat())
    newer = tuple(replace(printer, name=f"Newer {printer.name}") for printer in book.printers)
    save_book(replace(book, printers=newer), owner, today())
    shown = text(visitor.get(page))
    assert "Ready by a day that we tell you</strong>: at the moment none can be named." in shown
    assert "printer" not in shown.lower()
    at = f"/proposals/for/{commission.public_id}/"
    assert "and the studio has no such printer now" in text(signed_in.get(at))
    moved = visitor.post(page + "answer/", typed)
    assert moved.status_code == 409
    assert "No day of being ready can be named at the moment: it cannot be" in text(moved)
    assert visitor.post(page + "answer/", fields_of(moved, {"letter": "B"})).status_code == 302
    decision = Decision.objects.get()
    assert (decision.agreed_on, decision.agreed_days) == (None, lapsed.working_days)
    assert "to be ready by a day that we tell you" in text(visitor.get(page))


def test_reading_what_has_lapsed_costs_few_queries(
    visitor, page, issue, lapsed, django_assert_max_num_queries
):
    """Those of any page, the rates, the workshop, and once the making."""
    with django_assert_max_num_queries(8):
        visitor.get(page)
    with django_assert_max_num_queries(7):
        visitor.get(page)


def fields_of(answer, typed) -> dict[str, str]:
    """What a browser posts from the form that approves."""
    form = unescape(re.search(r"<form[^>]*answer/#answer.*?</form>", answer.content.decode(), re.S)[0])
    fields = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', form))
    names = dict(re.findall(r'name="(who|behalf)" value="([^"]*)"', form))
    assert 'name="may_order" value="1" required checked' in form
    return {**fields, **names, "may_order": "1", **typed}


def test_what_came_after_is_said_on_the_first_page(visitor, page, issue, commission, owner):
    visitor.post(page + "answer/", yes(issue))
    assert "we make exactly what issue 1 shows" in text(visitor.get(page))
    begin_variation(commission, owner, timezone.now())
    commission.refresh_from_db()
    made = issue_proposal(commission, ("A",), owner, timezone.now())
    number = made.proposal.number
    assert f"A change to it is proposed in {number}. Until one is approved there, this stands." in text(
        visitor.get(page)
    )
    second = f"/p/{made.links.get().token}/"
    assert "This is a change to what was approved on" in text(visitor.get(second))
    decide(made, yes_to(made), timezone.now())
    assert f"in proposal {number}: we make what that one shows" in text(visitor.get(page))
    cancel(commission, "Ms Adeyemi", "No room", Decimal("12.50"), owner, timezone.now())
    ended = text(visitor.get(second))
    assert "so it is not made. £12.50 is owed." in ended
    assert "we make exactly" not in ended


def test_an_issue_that_counted_the_hanging_into_being_ready_still_does(
    visitor, commission, owner, monkeypatch
):
    """As they were made before: without a word of when it can be hung."""
    commission.terms = {**commission.terms, "delivery": "delivered and hung", "distance_km": "20"}
    commission.save()
    made = issue_proposal(commission, ("A",), owner, timezone.now())
    stored, later = read(made), promises_of(read(made).figures)["A"].starts_on + timedelta(days=1)
    now = days_named(made, stored, later)["A"]
    assert now.hung_from > now.ready_on
    (option,) = stored.figures["options"]
    older = {name: value for name, value in option["estimate"].items() if name != "hung_from"}
    stored.figures["options"] = [{**option, "estimate": older}]
    then = days_named(made, stored, later)["A"]
    assert (then.ready_on, then.hung_from, then.starts_on) == (now.hung_from, None, now.starts_on)
    assert then.working_days == now.working_days + 1
    moment = timezone.make_aware(datetime.combine(later, time(12)))
    monkeypatch.setattr(timezone, "now", lambda: moment)
    page = text(visitor.get(f"/p/{made.links.get().token}/"))
    assert f"On your wall from {voice_in(stored.figures).day(now.hung_from)}</strong>, by appointment" in page
