"""The studio's side: works, stranger, wrong address, bad input."""

import re
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from django.core import mail
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from studio.commissions.estimating import brief_of
from studio.estimate import ranges
from studio.making.booked import amounts
from studio.proposals.deciding import decide
from studio.proposals.issuing import issue_proposal
from studio.proposals.models import Decision, Letter, ProposalIssue
from studio.proposals.selling import release
from studio.proposals.sending import send_issue
from studio.proposals.stored import read
from studio.workshop.bookings import move
from studio.workshop.books import book_of, current_book, the_studio, voice_of
from studio.workshop.clock import today
from tests.guards import lifted
from tests.proposals.conftest import add_option, days_posted, make_commission, small_design, yes_to
from tests.two_tabs import forms_of

NASTY = "<b>Zoë</b> & 'Söhne' {{ x }} 🙂"


@pytest.fixture
def page(commission):
    return f"/proposals/for/{commission.public_id}/"


@pytest.fixture
def at(issue):
    return f"/proposals/issues/{issue.public_id}"


def text(answer) -> str:
    return answer.content.decode()


def test_before_anything_is_issued(signed_in, page):
    answer = signed_in.get(page)
    assert answer.status_code == 200
    assert "Nothing has been issued yet" in text(answer)
    assert text(answer).count('name="letters"') == 2


def test_issuing(signed_in, page, commission, owner):
    assert signed_in.post(page + "issue/", {"letters": ["A", "B"], "after": "0"}).headers["Location"] == page
    made = ProposalIssue.objects.get()
    assert made.by == owner
    answer = text(signed_in.get(page))
    assert made.links.get().token in answer
    assert all(option.price.amount in answer for option in read(made).sheet.options)
    assert "Send to Ms Adeyemi" in answer


def test_the_workings_go_along_only_when_ticked(signed_in, page):
    assert 'name="workings" value="1">' in text(signed_in.get(page))
    posted = {"letters": ["A"], "after": "0"}
    signed_in.post(page + "issue/", posted)
    signed_in.post(page + "issue/", posted | {"after": "1", "workings": "1"})
    ticked, plain = ProposalIssue.objects.order_by("-number")
    assert (read(plain).sheet.annex, read(ticked).sheet.annex) == (False, True)
    assert text(signed_in.get(page)).count("with the workings: it shows cost and margin") == 1


def test_a_refused_form_keeps_its_tick(signed_in, page):
    answer = signed_in.post(page + "issue/", {"after": "0", "workings": "1"})
    assert answer.status_code == 422
    assert 'name="workings" value="1" checked>' in text(answer)


@pytest.mark.parametrize("after", ["0", "", "one", "9" * 50])
def test_a_form_sent_twice_issues_once(signed_in, page, issue, after):
    answer = signed_in.post(page + "issue/", {"letters": ["A"], "after": after})
    assert answer.status_code == 409
    assert "Issue 1 was made meanwhile" in text(answer)
    assert 'name="after" value="1"' in text(answer)
    assert ProposalIssue.objects.count() == 1


def test_issuing_nothing_says_why(signed_in, page):
    answer = signed_in.post(page + "issue/", {"after": "0"})
    assert answer.status_code == 422
    assert "No option is chosen: choose one to four options." in text(answer)


def test_the_pdf_is_the_stored_one(signed_in, at, issue):
    answer = signed_in.get(at + "/pdf/")
    assert (answer["Content-Type"], answer.content) == ("application/pdf", bytes(issue.pdf))
    assert answer["Cache-Control"] == "private, no-store"


@pytest.fixture
def send(signed_in, at, committed):
    def sent(after=0):
        with committed():
            return signed_in.post(at + "/send/", {"after": str(after)})

    return sent


def test_sending_writes_to_the_client_of_the_issue(send, issue, link, ms_adeyemi):
    ms_adeyemi.email = "later@client.example"
    ms_adeyemi.save()
    send()
    (letter,) = mail.outbox
    assert letter.to == ["a@client.example"]
    assert f"http://testserver/p/{link.token}/" in letter.body
    assert letter.attachments[0].content == bytes(issue.pdf)


def test_the_page_says_whether_and_to_whom_it_was_sent(signed_in, send, page, owner):
    assert "No letter was written" in text(signed_in.get(page))
    assert send().headers["Location"] == page
    sent = Letter.objects.get().outbox
    assert (sent.receiver, sent.by) == ("a@client.example", owner)
    answer = text(signed_in.get(page))
    assert 'Sent to <span class="name" dir="auto">a@client.example</span> on' in answer
    assert "No letter was written" not in answer
    assert 'name="after" value="1"' in answer


@pytest.mark.parametrize("after", ["0", "", "one"])
def test_a_letter_asked_for_twice_leaves_once(signed_in, at, send, after):
    send()
    answer = signed_in.post(at + "/send/", {"after": after})
    assert answer.status_code == 409
    assert "A letter was written meanwhile" in text(answer)
    assert (len(mail.outbox), Letter.objects.count()) == (1, 1)


@pytest.mark.parametrize(
    ("state", "words", "asks"),
    [
        ("waiting", "Waits to be sent to", False),
        ("sending", "Being sent to", False),
        ("perhaps sent", "Perhaps sent</strong> to", True),
        ("failed", "Not sent</strong> to", True),
    ],
)
def test_the_page_says_what_became_of_a_letter(signed_in, at, page, state, words, asks):
    said = signed_in.post(at + "/send/", {"after": "0"}, follow=True)
    assert "Now waiting: the letter to a@client.example." in text(said)
    outbox = type(Letter.objects.get().outbox).objects
    if state != "waiting":
        outbox.update(state="sending", tries=1)
        outbox.update(state=state)
    answer = text(signed_in.get(page))
    assert words in answer
    assert ('<a href="/letters/">To the letters</a>' in answer) == asks


@pytest.mark.parametrize("document", ["pdf", "parties"])
def test_what_is_damaged_is_neither_served_nor_sent_and_says_so(
    signed_in, at, page, issue, link, document, caplog, send
):
    connection.check_constraints()  # PostgreSQL lifts and sets no guards while any check is pending
    with lifted(connection):
        ProposalIssue.objects.update(**{document: bytes(getattr(issue, document)) + b" "})
        connection.check_constraints()
    public = f"/p/{link.token}/"
    damaged = [signed_in.get(at + "/pdf/")] if document == "pdf" else [signed_in.get(page)]
    damaged += [send(), signed_in.get(public + ("pdf/" if document == "pdf" else ""))]
    for answer in damaged:
        assert answer.status_code == 500
        assert "no longer what was sealed" in text(answer)
    assert "a stored document of" in caplog.text
    assert (mail.outbox, Letter.objects.count()) == ([], 0)


def test_an_unmeasured_space_has_no_single_price_anywhere(signed_in, ms_adeyemi, owner, committed):
    commission = make_commission(ms_adeyemi, measured=False)
    add_option(commission, "A", small_design())
    address = f"/proposals/for/{commission.public_id}/"
    assert "(unmeasured) without tax" in text(signed_in.get(address))
    made = issue_proposal(commission, ("A",), owner, timezone.now())
    price = read(made).sheet.options[0].price
    assert " to £" in price.amount
    with committed():
        signed_in.post(f"/proposals/issues/{made.public_id}/send/", {"after": "0"})
    assert f"Option A: {price.amount} (price without tax, unmeasured)" in mail.outbox[0].body
    client_page = text(signed_in.get(f"/p/{made.links.get().token}/"))
    assert price.amount in client_page
    assert "no firm price to approve" in client_page
    assert "Approve this option" not in client_page
    assert f"{price.amount} <span" in text(signed_in.get(address))


PART = 3


def counted_prices(monkeypatch):
    """What is priced of ranges from here on."""
    priced, price_up = [], ranges.price_up
    monkeypatch.setattr(ranges, "price_up", lambda *given: priced.append(given) or price_up(*given))
    return priced


def test_no_request_works_out_a_whole_range_to_issue(signed_in, ms_adeyemi, monkeypatch):
    """A part at a time, by a form that posts itself again, or by a button without a script; once it is
    known, however, it is read."""
    commission = make_commission(ms_adeyemi, measured=False)
    large = replace(small_design(), cell_side_mm=Decimal(100), side_play_percent=Decimal(1))
    option = add_option(commission, "A", large)
    fits = len(ranges._within(brief_of(option), book_of(option.rate_book)).designs)
    monkeypatch.setattr("studio.commissions.ranges.PART", PART)
    assert fits > 2 * PART
    address, priced = f"/proposals/for/{commission.public_id}/", counted_prices(monkeypatch)
    posted, known = {"letters": "A", "after": "0", "workings": "1"}, 0
    while (answer := signed_in.post(address + "issue/", posted)).status_code == 200:
        (posted,) = [each for each in forms_of(answer) if "letters" in each]
        assert f'hx-post="{address}issue/"' in text(answer)
        known, before = int(re.search(r"Option A: (\d+) of (\d+) panels", text(answer))[1]), known
        assert before < known <= before + PART + (not before)  # the fit for the size as it is comes first
        assert not ProposalIssue.objects.exists()
    assert answer.headers["Location"] == address
    made = ProposalIssue.objects.get()
    assert (bool(read(made).figures["annex"]), len(priced)) == (True, fits)
    priced.clear()
    assert signed_in.post(address + "issue/", {**posted, "after": "1"}).status_code == 302
    assert priced == []


def test_queries_do_not_grow_with_issues(
    signed_in, page, issue, commission, owner, django_assert_num_queries
):
    signed_in.get(page)  # a making is read once
    with CaptureQueriesContext(connection) as first:
        signed_in.get(page)
    asked = len(first)
    for _ in range(3):
        again = issue_proposal(commission, ("A",), owner, timezone.now())
        send_issue(again.links.get(), "http://studio.example/", owner, timezone.now())
    signed_in.get(page)
    with django_assert_num_queries(asked) as four:
        signed_in.get(page)
    left = ('"drawings"', '"pdf"', '"body"', '"content"')
    assert not any(column in query["sql"] for query in four for column in left)


def test_sending_through_a_closed_link(signed_in, at, issue):
    signed_in.post(at + "/revoke/")
    answer = signed_in.post(at + "/send/")
    assert answer.status_code == 422
    assert "make a new link" in text(answer)
    assert mail.outbox == []


def test_a_link_is_closed_under_the_lock_that_letters_take(signed_in, at):
    with CaptureQueriesContext(connection) as made:
        signed_in.post(at + "/revoke/")
    sql = [query["sql"] for query in made]
    closing = next(n for n, each in enumerate(sql) if each.startswith('UPDATE "proposals_link"'))
    assert any(
        'FROM "commissions_commission" WHERE "commissions_commission"."id"' in each for each in sql[:closing]
    )


def test_a_mail_server_that_is_away(signed_in, send, page, settings):
    settings.EMAIL_BACKEND = "studio.letters.backend.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 1
    send()
    answer = text(signed_in.get(page))
    assert "Waits to be sent to" in answer
    assert "tried 1 time, next on" in answer
    assert "Connection refused" in answer


def test_closing_and_renewing_a_link(signed_in, at, page, issue, link):
    signed_in.post(at + "/revoke/")
    assert "Make a new link" in text(signed_in.get(page))
    signed_in.post(at + "/link/")
    signed_in.post(at + "/link/")
    live = issue.links.get(revoked_at=None)
    assert live.token != link.token
    assert signed_in.get(f"/p/{link.token}/").status_code == 410
    assert signed_in.get(f"/p/{live.token}/").status_code == 200


def test_withdrawing(signed_in, at, page, issue, link):
    assert signed_in.post(at + "/withdraw/").status_code == 302
    issue.refresh_from_db()
    assert issue.state == "withdrawn"
    assert signed_in.get(f"/p/{link.token}/").status_code == 410
    assert signed_in.post(at + "/withdraw/").status_code == 409
    assert signed_in.post(at + "/link/").status_code == 302
    assert not issue.links.filter(revoked_at=None).exists()


def told(issue, **more):
    said = {
        "seal": issue.seal,
        "choice": "A",
        "who": "Ms Adeyemi",
        "authority": "the owner",
        "how": "telephone",
        "said_on": today().isoformat(),
        "reason": "Lovely",
        **days_posted(issue),
    }
    return {**said, **more}


def test_writing_down_a_telephone_yes(signed_in, at, page, issue, owner):
    assert signed_in.post(at + "/record/", told(issue)).status_code == 302
    decision = Decision.objects.get()
    assert (decision.letter, decision.how, decision.by) == ("A", "telephone", owner)
    assert decision.person["authority"] == "the owner"
    answer = text(signed_in.get(page))
    assert "Option A was approved on" in answer
    assert "by telephone" in answer
    assert 'name="letters"' not in answer
    assert signed_in.post(page + "issue/", {"letters": ["B"], "after": "1"}).status_code == 422
    assert signed_in.post(at + "/record/", told(issue, choice="B")).status_code == 409
    assert signed_in.post(at + "/withdraw/").status_code == 409


def test_writing_down_a_no(signed_in, at, issue):
    signed_in.post(at + "/record/", told(issue, choice="declined", how="writing"))
    assert Decision.objects.get().answer == "declined"


@pytest.mark.parametrize(
    ("wrong", "words", "status"),
    [
        ({"seal": "0" * 64}, "not what stands here now", 409),
        ({"who": ""}, "no name is given", 422),
        ({"authority": ""}, "not said that this person may order", 422),
        ({"choice": "D"}, "no option", 422),
        ({"choice": ""}, "no option is chosen", 422),
        ({"how": "by dream"}, "how the client answered", 422),
        ({"said_on": "31.3.2026"}, "a day such as", 422),
        ({"said_on": "2099-01-01"}, "not between the issue and today", 422),
    ],
)
def test_a_note_that_is_not_complete_is_refused_and_stays_typed(signed_in, at, issue, wrong, words, status):
    answer = signed_in.post(at + "/record/", told(issue, **wrong))
    assert answer.status_code == status
    assert words.lower() in text(answer).lower()
    assert "Lovely" in text(answer)
    assert not Decision.objects.exists()


def test_names_with_markup_are_text(signed_in, commission, ms_adeyemi, owner, page):
    ms_adeyemi.name = commission.title = commission.space.name = NASTY
    for row in (ms_adeyemi, commission, commission.space):
        row.save()
    issue_proposal(commission, ("A",), owner, timezone.now())
    answer = text(signed_in.get(page))
    assert "<b>Zoë" not in answer
    assert "&lt;b&gt;Zoë&lt;/b&gt; &amp; &#x27;Söhne&#x27; {{ x }} 🙂" in answer


def test_strangers_see_nothing(client, at, page):
    for address in (page, at + "/pdf/"):
        assert client.get(address)["Location"].startswith("/sign-in/")
    for address in (page + "issue/", at + "/send/", at + "/revoke/", at + "/record/", at + "/link/"):
        assert client.post(address)["Location"].startswith("/sign-in/")


def test_unknown_addresses(signed_in, db):
    assert signed_in.get("/proposals/for/unknown/").status_code == 404
    assert signed_in.get("/proposals/issues/unknown/pdf/").status_code == 404


@pytest.mark.parametrize("what", ["send", "link", "revoke", "withdraw", "record"])
def test_nothing_changes_by_reading(signed_in, at, what):
    assert signed_in.get(f"{at}/{what}/").status_code == 405


def test_a_decided_issue_is_not_sent_again(signed_in, issue, page):
    yes = yes_to(issue)
    decide(issue, yes, timezone.now())
    answer = signed_in.post(f"/proposals/issues/{issue.public_id}/send/")
    assert answer.status_code == 422
    assert (mail.outbox, Letter.objects.count()) == ([], 0)
    assert "Send to" not in text(signed_in.get(page))


def sold_form(page, **typed):
    return {"sold": ProposalIssue.objects.get(state="issued", decision__letter__gt="").public_id, **typed}


def test_from_a_yes_to_a_variation_and_its_end(signed_in, at, page, issue, commission):
    signed_in.post(at + "/record/", told(issue))
    answer = text(signed_in.get(page))
    assert "Option A of proposal" in answer
    assert 'name="letters"' not in answer
    assert signed_in.post(page + "variation/", sold_form(page)).status_code == 302
    answer = text(signed_in.get(page))
    assert "is open, so the options can be changed" in answer
    assert 'name="letters"' in answer
    assert signed_in.post(page + "variation/", sold_form(page)).status_code == 409
    signed_in.post(page + "issue/", {"letters": ["B"], "after": "1"})
    assert [row.proposal.place for row in ProposalIssue.objects.order_by("pk")] == [1, 2]
    assert 'class="tag">being varied' in text(signed_in.get("/"))
    assert signed_in.post(page + "variation/end/").status_code == 302
    assert ProposalIssue.objects.get(proposal__place=2).state == "withdrawn"
    assert signed_in.post(page + "variation/end/").status_code == 409


def test_the_cancellation(signed_in, at, page, issue, commission):
    signed_in.post(at + "/record/", told(issue))
    typed = sold_form(page, who_cancels="Zoë <b>", why="No room", owed="a lot")
    wrong = signed_in.post(page + "cancel/", typed)
    assert wrong.status_code == 422
    assert 'value="Zoë &lt;b&gt;"' in text(wrong)
    assert "No room</textarea>" in text(wrong)
    assert signed_in.post(page + "cancel/", {**typed, "sold": "another"}).status_code == 422
    assert signed_in.post(page + "cancel/", {**typed, "owed": "0", "sold": "another"}).status_code == 409
    assert signed_in.post(page + "cancel/", {**typed, "owed": "0"}).status_code == 302
    answer = text(signed_in.get(page))
    assert "“No room”. £0.00 is owed" in answer
    assert "Begin a variation" not in answer
    assert 'class="tag">cancelled' in text(signed_in.get("/"))


def test_a_telephone_yes_to_another_day_is_shown_both(signed_in, at, issue):
    other = {"ready_on_A": "2031-01-01"}
    answer = signed_in.post(at + "/record/", told(issue, **other))
    assert answer.status_code == 409
    assert "not by 1 January 2031 as it said" in text(answer)
    assert "Lovely" in text(answer)
    right = days_posted(issue)["ready_on_A"]
    assert f'name="ready_on_A" value="{right}"' in text(answer)


def test_what_is_sold_has_its_own_day_everywhere_and_it_never_moves(
    signed_in, at, page, issue, commission, monkeypatch
):
    """Ten days on, with the workshop full, every page still names the day that was agreed."""
    signed_in.post(at + "/record/", told(issue))
    agreed = Decision.objects.get().agreed_on
    hours = {printer.name: 60 * 300 for printer in current_book(today())[1].printers}
    move("other-job", "other-job", "firm", amounts(printer_minutes=hours))
    later = timezone.now() + timedelta(days=10)
    monkeypatch.setattr(timezone, "now", lambda: later)
    voice = voice_of(the_studio())
    client_page = f"/p/{issue.links.get().token}/"
    option, other = (f"/commissions/{commission.public_id}/options/{letter}/" for letter in "AB")
    for address, said in (
        ("/", voice.short_day(agreed)),
        (page, voice.day(agreed)),
        (client_page, voice.day(agreed)),
        (option, f"ready by <strong>{voice.weekday(agreed)}"),
        (other, f"ready by <strong>{voice.weekday(agreed)}"),
        (f"{option}making/", voice.weekday(agreed)),
    ):
        assert said in text(signed_in.get(address)), address
    assert "it promises nothing" in text(signed_in.get(f"{option}making/"))
    release(commission, agreed + timedelta(days=30), None, later)
    assert voice.short_day(agreed + timedelta(days=30)) in text(signed_in.get("/"))
