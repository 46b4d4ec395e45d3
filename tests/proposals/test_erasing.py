"""A person goes, the figures stay."""

from django.utils import timezone

from studio.proposals.deciding import decide
from studio.proposals.erasing import erase_parties
from studio.proposals.models import Decision, Message, ProposalIssue
from studio.proposals.standing import Answer
from studio.proposals.stored import read
from studio.workshop.clock import today


def test_names_pdf_and_evidence_go_and_figures_stay(issue, link, ms_adeyemi):
    before = bytes(issue.figures)
    Message.objects.create(issue=issue, link=link, text="I am Ms Adeyemi")
    decide(
        issue,
        Answer("approved", "A", "Ms Adeyemi", "the owner", "page", issue.seal, today()),
        timezone.now(),
        link=link,
        evidence={"address": "192.0.2.7"},
    )
    assert erase_parties(ms_adeyemi, timezone.now()) == 1
    erased = ProposalIssue.objects.get(pk=issue.pk)
    assert (erased.parties, erased.pdf) == (None, None)
    assert (bytes(erased.figures), erased.seal) == (before, issue.seal)
    decision = Decision.objects.get()
    assert (decision.letter, decision.person, decision.who) == ("A", None, "a person since erased")
    assert Message.objects.get().text is None
    assert read(erased).gross_of("A") == f"{decision.gross}"


def test_pages_after_an_erasure(issue, link, ms_adeyemi, client, signed_in, commission):
    erase_parties(ms_adeyemi, timezone.now())
    closed = client.get(f"/p/{link.token}/")
    assert closed.status_code == 410
    assert "Adeyemi" not in closed.content.decode()
    assert client.get(f"/p/{link.token}/pdf/").status_code == 410
    assert signed_in.get(f"/proposals/issues/{issue.public_id}/pdf/").status_code == 410
    assert signed_in.get(f"/proposals/for/{commission.public_id}/").status_code == 200


def test_other_clients_are_left_alone(issue, ms_adeyemi):
    other = type(ms_adeyemi).objects.create(name="Mr Petrov")
    assert erase_parties(other, timezone.now()) == 0
    assert ProposalIssue.objects.get().parties is not None
