"""The first page: where everything stands, in a fixed number of queries."""

import re
from datetime import timedelta
from html import unescape

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from studio.board.demo import load_demo
from studio.board.overview import NEWEST
from studio.clients.models import Client
from studio.commissions.models import Commission
from studio.proposals.models import Decision, Link
from studio.proposals.telling import keep_message
from studio.workshop.clock import today

NASTY = "<b>Zoë</b> & 'Söhne' {{ x }} 🙂 " + "W" * 150


@pytest.fixture
def loaded(owner):
    return load_demo(owner, timezone.now())


def text(answer) -> str:
    return " ".join(unescape(answer.content.decode()).split())


def test_an_empty_board_says_what_to_do_first(signed_in):
    answer = signed_in.get("/")
    assert answer.status_code == 200
    assert "When a client rings, start a commission" in text(answer)


def test_strangers_are_sent_to_sign_in(client, db):
    assert client.get("/")["Location"] == "/sign-in/?next=/"


def test_it_is_only_read(signed_in):
    assert signed_in.post("/").status_code == 405


def test_stages_options_and_what_was_approved(signed_in, loaded):
    answer = text(signed_in.get("/"))
    decision = Decision.objects.get()
    sold = loaded[2].options.get(letter=decision.letter)
    assert sold.gross_minor == decision.gross_minor
    assert f"Option B for £{sold.net_minor / 100:,.2f} without tax," in answer  # a business, as its options
    clinic = loaded[1]
    for option in clinic.options.all():
        assert f"{option.letter}</strong> £{option.net_minor / 100:,.2f}" in answer, (
            "a clinic reads net prices"
        )
    assert "no client name yet" in answer
    assert "<strong>A</strong> about £" in answer
    order = [answer.index(f">{stage} <") for stage in ("Enquiry", "Proposal sent", "Approved")]
    assert order == sorted(order)
    assert "In the workshop" not in answer
    assert "invented for a demonstration" in answer


def test_what_clients_wrote_is_counted(signed_in, loaded):
    answer = text(signed_in.get("/"))
    assert f"Proposal {loaded[1].proposals.get().number}</a>, 1 message<" in answer
    assert answer.count("message<") == 1


def test_a_price_changed_after_the_yes_is_not_the_approved_one(signed_in, loaded):
    before = Decision.objects.get().gross
    loaded[2].options.update(gross_minor=1)
    assert f"Option B for £{before:,.2f}" in text(signed_in.get("/"))


@pytest.mark.parametrize(
    ("sought", "found"),
    [
        ("clinic", ["Reception backdrop"]),
        ("PRACTICE", ["Practice room screen"]),
        ("bunk", ["Houseboat bulkhead"]),
        ("number", ["Reception backdrop"]),
        ("nowhere", []),
        ("<b>", []),
        ("9" * 190, []),
    ],
)
def test_finding(signed_in, loaded, sought, found):
    sought = loaded[1].proposals.get().number if sought == "number" else sought
    answer = signed_in.get("/", {"q": sought})
    titles = [work.title for work in loaded if work.title in answer.content.decode()]
    assert titles == found
    assert b"<b>" not in answer.content


def test_what_is_overdue_says_so(signed_in, loaded):
    Commission.objects.filter(pk=loaded[0].pk).update(next_step_on=today() - timedelta(days=1))
    assert text(signed_in.get("/")).count("(overdue)") == 1


def test_names_with_markup_are_text(signed_in, loaded):
    Client.objects.update(name=NASTY)
    Commission.objects.update(title=NASTY)
    answer = signed_in.get("/").content.decode()
    assert "<b>Zoë" not in answer
    assert answer.count("&lt;b&gt;Zoë&lt;/b&gt;") == 6


def again(commission: Commission, number: int) -> None:
    """Another commission with the same options, proposal, issues, links, messages and decision."""
    proposal = commission.proposals.first()
    options, issues = list(commission.options.all()), list(proposal.issues.all()) if proposal else []
    commission = copied(commission, public_id=f"copy{number:08}")
    for option in options:
        copied(option, commission=commission)
    for issue in issues:
        decision, offers = getattr(issue, "decision", None), list(issue.offered.all())
        sequence = proposal.sequence + 10 * number
        of_copy = copied(proposal, commission=commission, sequence=sequence)
        issue = copied(issue, proposal=of_copy, public_id=f"copy{sequence:08}")
        for offered in offers:
            copied(offered, issue=issue)
        link = Link.objects.create(issue=issue)
        keep_message(link, "How thick is it?")
        if decision:
            copied(decision, issue=issue, proposal=of_copy)


def copied(row, **changes):
    made = type(row).objects.get(pk=row.pk)
    made.pk = None
    for name, value in changes.items():
        setattr(made, name, value)
    made.save(force_insert=True)
    return made


def test_queries_do_not_grow_with_commissions(signed_in, loaded, django_assert_num_queries):
    with CaptureQueriesContext(connection) as first:
        signed_in.get("/")
    for number in range(1, 6):
        for original in loaded:
            again(original, 10 * number + original.pk % 10)
    with django_assert_num_queries(len(first)) as more:
        answer = signed_in.get("/")
    assert answer.content.count(b'<li class="card') == 18
    assert answer.content.count(b"Option B for") == 6
    assert not any('"commissions_entry"."text"' in query["sql"] for query in more)


def test_of_what_is_over_the_newest_are_shown(signed_in, loaded):
    Commission.objects.filter(pk=loaded[0].pk).update(stage="handed over", title="The oldest")
    for number in range(NEWEST):
        copied(loaded[0], public_id=f"copy{number:08}", stage="handed over", title="A later one")
    answer = text(signed_in.get("/"))
    assert f'Handed over <span class="quiet">{NEWEST + 1}</span>' in answer
    assert answer.count("A later one") == NEWEST
    assert "The oldest" not in answer
    assert "The oldest" in text(signed_in.get("/", {"q": "oldest"}))


def test_an_unmeasured_price_says_so_before_and_after_the_yes(signed_in, loaded):
    assert "(unmeasured)" in text(signed_in.get("/"))
    space = loaded[2].space
    space.document["height_origin"] = "paced"
    space.save()
    assert re.search(r"Option B for about £[\d.,]+ without tax until measured,", text(signed_in.get("/")))


def sold_by(commission: Commission, days: int, stage: str = "approved") -> Commission:
    """Another one that is sold, to be ready so many days from today."""
    title = f"Due in {days}" if stage == "approved" else stage
    due_on = today() + timedelta(days=days)
    return copied(commission, public_id=f"due{days:09}", title=title, stage=stage, due_on=due_on)


def test_what_is_late_and_what_is_due_next(signed_in, loaded):
    """By the day that was agreed; what is handed over is late no more."""
    for days in (30, -3, 0, 9):
        sold_by(loaded[2], days)
    sold_by(loaded[2], -20, "handed over")
    answer = text(signed_in.get("/"))
    assert answer.count("(late)") == 1
    late, due_next = re.search(r"Late: (.*?)</p> <p>Due next: (.*?)</p>", answer).groups()
    assert re.findall(r"Due in (-?\d+)", late) == ["-3"]
    assert "Due in 0" in due_next
    approved = answer[answer.index(">Approved <") :]
    order = [approved.index(f">Due in {days}<") for days in (-3, 0, 9, 30)]
    assert order == sorted(order)
