"""A decision is written once, whoever asks and however often."""

import threading
from dataclasses import replace

import pytest
from django.db import IntegrityError, OperationalError, connection, transaction
from django.utils import timezone

from studio.problem import Conflict, Refused
from studio.proposals.deciding import decide, said
from studio.proposals.issuing import issue_proposal
from studio.proposals.models import Decision
from studio.proposals.stored import read
from studio.voice import PLAIN
from studio.workshop.clock import today
from tests.proposals.conftest import yes_to


def yes(issue, letter="B", **more):
    return yes_to(issue, letter, **more)


def test_a_yes_names_option_price_and_person(issue, link, commission):
    made = decide(issue, yes(issue), timezone.now(), link=link, evidence={"browser": "b"})
    assert (made.letter, made.currency) == ("B", "GBP")
    assert f"{made.gross}" == read(issue).gross_of("B")
    assert made.person == {
        "who": "Ms Adeyemi",
        "authority": "the owner",
        "reason": "",
        "evidence": {"browser": "b"},
    }
    commission.refresh_from_db()
    assert (commission.stage, commission.approved_letter) == ("approved", "B")
    assert said(made, PLAIN).startswith("option B was approved on ")


def test_a_second_answer_is_refused(issue, link):
    decide(issue, yes(issue), timezone.now(), link=link)
    with pytest.raises(Conflict, match="option B was approved"):
        decide(issue, yes(issue, "A"), timezone.now(), link=link)
    with pytest.raises(Conflict):
        decide(issue, replace(yes(issue), answer="declined", letter=""), timezone.now())
    assert Decision.objects.count() == 1


def test_another_seal_changes_nothing(issue, commission):
    with pytest.raises(Conflict):
        decide(issue, yes(issue, seal="0" * 64), timezone.now())
    commission.refresh_from_db()
    assert (Decision.objects.count(), commission.stage) == (0, "proposed")


def test_a_link_closed_meanwhile_decides_nothing(issue, link):
    issue.links.update(revoked_at=timezone.now())
    with pytest.raises(Conflict):
        decide(issue, yes(issue), timezone.now(), link=link)


def test_an_issue_replaced_meanwhile_decides_nothing(issue, commission, owner):
    issue_proposal(commission, ("A",), owner, timezone.now())
    with pytest.raises(Conflict, match="later issue"):
        decide(issue, yes(issue), timezone.now())


def test_the_stage_does_not_move_without_the_decision(issue, commission):
    with pytest.raises(Refused):
        decide(issue, yes(issue, who=""), timezone.now())
    commission.refresh_from_db()
    assert commission.stage == "proposed"


def row(issue, answer="approved", letter="A", gross=0):
    """A decision past every service; by itself with the option's own price."""
    offered = issue.offered.filter(letter=letter).first()
    return Decision(
        issue=issue, proposal_id=issue.proposal_id, answer=answer, letter=letter, currency="GBP",
        gross_minor=offered.gross_minor if gross == 0 and offered else gross,
        agreed_on=today() if answer == "approved" else None, agreed_days=9 if answer == "approved" else None,
        how="page", seal=issue.seal, said_on=today(), at=timezone.now(),
    )  # fmt: skip


def test_the_database_itself_refuses_a_second_decision(issue):
    row(issue).save()
    with pytest.raises(IntegrityError), transaction.atomic():
        row(issue).save()


def test_the_database_itself_refuses_two_yes_to_one_proposal(issue, commission, owner):
    row(issue, "declined", "", None).save()
    second = issue_proposal(commission, ("A",), owner, timezone.now())
    row(second).save()
    decisions = Decision.objects.filter(proposal=issue.proposal_id)
    assert sorted(decisions.values_list("answer", flat=True)) == ["approved", "declined"]
    third = read_copy(second)
    with pytest.raises(IntegrityError), transaction.atomic():
        row(third).save()


def read_copy(issue):
    """A third issue, put in by hand: the service would not make one after a yes, nor could it stand beside
    the one that was approved, so a decision on it is refused for either."""
    copy = type(issue).objects.get(pk=issue.pk)
    copy.pk, copy.number, copy.public_id, copy.state = None, issue.number + 1, "thirdissue23", "withdrawn"
    copy.save(force_insert=True)
    return copy


@pytest.mark.parametrize(
    ("answer", "letter", "gross"), [("approved", "", 1), ("approved", "A", None), ("declined", "A", None)]
)
def test_the_database_itself_refuses_half_a_decision(issue, answer, letter, gross):
    with pytest.raises(IntegrityError), transaction.atomic():
        row(issue, answer, letter, gross).save()


@pytest.mark.django_db(transaction=True)
def test_of_two_answers_at_once_one_is_written(issue, link):
    """Two threads with connections of their own: one decision, one Conflict, whichever comes first."""
    barrier, told = threading.Barrier(2), []

    def answer(letter):
        barrier.wait()
        while len(told) < 2:
            try:
                told.append(decide(issue, yes(issue, letter), timezone.now(), link=link).letter)
            except Conflict:
                told.append("conflict")
            except OperationalError:  # SQLite in memory does not wait for its lock, as a file does
                continue
            break
        connection.close()

    threads = [threading.Thread(target=answer, args=(letter,)) for letter in "AB"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(told)[1] == "conflict"
    assert Decision.objects.get().letter == sorted(told)[0]
