"""A person goes, the figures stay."""

from decimal import Decimal

import pytest
from django.utils import timezone

from studio.clients.models import Client, Contact
from studio.commissions.entries import write_entry
from studio.commissions.models import Entry
from studio.document import dump
from studio.pricing.terms import Discount, Terms
from studio.problem import Refused
from studio.proposals import issuing
from studio.proposals.appointments import Agreed, agree
from studio.proposals.deciding import decide
from studio.proposals.erasing import ERASED, erase_client
from studio.proposals.issuing import issue_proposal
from studio.proposals.job_letters import write_about
from studio.proposals.models import Decision, ProposalIssue
from studio.proposals.sending import send_issue
from studio.proposals.stored import read
from studio.proposals.telling import keep_message
from tests.proposals.conftest import yes_to
from tests.proposals.looked_through import holding


def test_names_pdf_and_evidence_go_and_figures_stay(issue, link, ms_adeyemi):
    before = [bytes(document) for document in (issue.figures, issue.making, issue.costs)]
    keep_message(link, "I am Ms Adeyemi")
    decide(
        issue,
        yes_to(issue),
        timezone.now(),
        link=link,
        evidence={"address": "192.0.2.7"},
    )
    assert erase_client(ms_adeyemi, None, timezone.now()) == 1
    erased = ProposalIssue.objects.get(pk=issue.pk)
    assert (erased.parties, erased.pdf) == (None, None)
    assert [bytes(document) for document in (erased.figures, erased.making, erased.costs)] == before
    assert erased.seal == issue.seal
    decision = Decision.objects.get()
    assert (decision.letter, decision.person, decision.who) == ("A", None, "a person since erased")
    assert Entry.objects.get(kind="from the client").text is None
    assert read(erased).gross_of("A") == f"{decision.gross}"


def test_pages_after_an_erasure(issue, link, ms_adeyemi, client, signed_in, commission):
    erase_client(ms_adeyemi, None, timezone.now())
    closed = client.get(f"/p/{link.token}/")
    assert closed.status_code == 410
    assert "no longer be shown" in closed.content.decode()
    assert "Adeyemi" not in closed.content.decode()
    assert client.get(f"/p/{link.token}/pdf/").status_code == 410
    assert signed_in.get(f"/proposals/issues/{issue.public_id}/pdf/").status_code == 410
    assert signed_in.get(f"/proposals/for/{commission.public_id}/").status_code == 200


def test_other_clients_are_left_alone(issue, ms_adeyemi):
    other = type(ms_adeyemi).objects.create(name="Mr Petrov")
    assert erase_client(other, None, timezone.now()) == 0
    assert ProposalIssue.objects.get().parties is not None


def test_nothing_of_the_person_is_left_in_any_table(commission, owner, ms_adeyemi):
    """Every text of every table is looked through for what was written down of her."""
    discount = Discount(kind="amount", value=Decimal(5), reason="Adeyemi's cousin")
    terms = Terms(discount=discount, distance_km=Decimal(12))
    commission.title, commission.terms = "Adeyemi hall", dump(terms)
    write_entry(commission, "Adeyemi said", owner)
    commission.next_step = "Ring Adeyemi"
    commission.save()
    space = commission.space
    space.name, space.notes, space.typed, space.measured_by = ("Adeyemi",) * 2 + ({"w": "Adeyemi"}, "Adeyemi")
    space.save()
    ms_adeyemi.notes, ms_adeyemi.phone = "Adeyemi", "Adeyemi"
    ms_adeyemi.save()
    Contact.objects.create(client=ms_adeyemi, name="Bo Adeyemi")
    issue = issue_proposal(commission, ("A",), owner, timezone.now())
    link = issue.links.get()
    keep_message(link, "Adeyemi asks")
    letter = send_issue(link, "http://studio.example/p/x/", owner, timezone.now()).outbox
    type(letter).objects.filter(pk=letter.pk).update(answer="450 adeyemi is away")
    yes, visit = decide(issue, yes_to(issue), timezone.now()), {"whom": "Adeyemi", "note": "Adeyemi opens"}
    given = {"what": "hanging", "day": yes.agreed_on, "sold": issue.public_id, "seen": 0, "anyway": True}
    agree(yes, Agreed(**given, **visit), owner, timezone.now())
    write_about(yes, read(issue), "final day", "Dear Adeyemi", owner, timezone.now())
    assert len(holding("adeyemi")) >= 20
    erase_client(ms_adeyemi, owner, timezone.now())
    assert holding("adeyemi") == []
    letter.refresh_from_db()
    assert (letter.state, letter.receiver, letter.attachments.get().content) == ("dropped", None, None)
    ms_adeyemi.refresh_from_db()
    assert (ms_adeyemi.name, ms_adeyemi.erased_at is None) == (ERASED, False)


def test_an_issue_made_for_them_goes_with_them_not_with_the_next_client(issue, commission, ms_adeyemi):
    later = Client.objects.create(name="Mr Petrov")
    commission.client = later
    commission.save()
    keep_message(issue.links.get(), "Could it be greener?")
    write_entry(commission, "Mr Petrov rang", None)
    assert erase_client(later, None, timezone.now()) == 0
    assert said() == ["Could it be greener?", None]
    assert erase_client(ms_adeyemi, None, timezone.now()) == 1
    assert said() == [None, None]
    assert ProposalIssue.objects.get().parties is None


def said() -> list[str | None]:
    return [entry.text for entry in Entry.objects.exclude(kind="event")]


def test_nothing_is_issued_for_a_person_erased_meanwhile(commission, owner, ms_adeyemi, monkeypatch):
    prepare = issuing._prepare

    def meanwhile(sending, number):
        erase_client(ms_adeyemi, owner, timezone.now())
        return prepare(sending, number)

    monkeypatch.setattr(issuing, "_prepare", meanwhile)
    for words in ("changed meanwhile", "data were erased"):
        with pytest.raises(Refused, match=words):
            issue_proposal(commission, ("A",), owner, timezone.now())
    assert not ProposalIssue.objects.exists()


def test_erasing_asks_for_the_name(signed_in, ms_adeyemi, issue):
    address = f"/proposals/clients/{ms_adeyemi.public_id}/erase/"
    assert "Of 1 issue made" in signed_in.get(address).content.decode()
    wrong = signed_in.post(address, {"name": "Mr Petrov"})
    assert (wrong.status_code, "not the client" in wrong.content.decode()) == (422, True)
    assert ProposalIssue.objects.get().parties is not None
    assert signed_in.post(address, {"name": " Ms  Adeyemi "})["Location"] == "/clients/"
    assert ProposalIssue.objects.get().parties is None
    assert signed_in.post(address, {"name": ERASED}).status_code == 404
    signed_in.logout()
    assert signed_in.post(address)["Location"].startswith("/sign-in/")
