"""The first page: where everything stands, in a fixed number of queries."""

from datetime import timedelta
from html import unescape

import pytest
from django.utils import timezone

from studio.board.demo import load_demo
from studio.clients.models import Client
from studio.commissions.models import Commission
from studio.proposals.models import Decision
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
    assert f"Option B for £{decision.gross:,.2f} with tax," in answer
    clinic = loaded[1]
    for option in clinic.options.all():
        assert f"{option.letter}</strong> £{option.gross_minor / 100:,.2f}" in answer
    assert "no client name yet" in answer
    assert "<strong>A</strong> about £" in answer
    order = [answer.index(f">{stage} <") for stage in ("Enquiry", "Proposal sent", "Approved")]
    assert order == sorted(order)
    assert "In the workshop" not in answer
    assert "invented for a demonstration" in answer


def test_what_clients_wrote_is_counted(signed_in, loaded):
    answer = text(signed_in.get("/"))
    assert f"Proposal {loaded[1].proposal.number}</a>, 1 message<" in answer
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
    sought = loaded[1].proposal.number if sought == "number" else sought
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
    assert answer.count("&lt;b&gt;Zoë&lt;/b&gt;") == 5


def test_queries_do_not_grow_with_commissions(signed_in, loaded, django_assert_num_queries):
    signed_in.get("/")
    with django_assert_num_queries(6):
        signed_in.get("/")
    for original in loaded:
        for _ in range(5):
            original.pk, original.public_id = (
                None,
                original.public_id[:10] + f"{Commission.objects.count():02}",
            )
            original.save()
    with django_assert_num_queries(6):
        signed_in.get("/")
