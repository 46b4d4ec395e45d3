"""Issuing: everything at once or nothing, numbers without a gap, one issue that stands."""

import json
import threading
from dataclasses import replace
from datetime import timedelta

import pytest
from django.db import IntegrityError, OperationalError, connection
from django.utils import timezone

from studio.document import dump
from studio.lattice.design import Band, Infill, Rings
from studio.lattice.kinds import kind_of
from studio.lattice.pattern import Pattern
from studio.lattice.patterns import pattern, usual_patterns
from studio.problem import Conflict, Refused
from studio.proposals import issuing
from studio.proposals.deciding import decide
from studio.proposals.issuing import issue_proposal
from studio.proposals.models import Decision, Link, Proposal, ProposalIssue
from studio.proposals.standing import Reply
from studio.proposals.stored import costs_of, read
from studio.workshop.clock import today
from tests.proposals.conftest import add_option, make_commission, small_design, yes_to


def test_an_issue_holds_documents_pdf_and_a_link(issue, commission):
    figures = json.loads(bytes(issue.figures))
    assert [option["letter"] for option in figures["options"]] == ["A", "B"]
    assert json.loads(bytes(issue.parties))["client"]["name"] == "Ms Adeyemi"
    assert bytes(issue.pdf).startswith(b"%PDF-")
    assert issue.valid_until == today() + timedelta(days=30)
    assert len(issue.links.get().token) == 32
    commission.refresh_from_db()
    assert commission.stage == "proposed"


def test_the_issue_says_what_the_options_cost(issue, commission):
    figures = json.loads(bytes(issue.figures))
    for option, frozen in zip(commission.options.all(), figures["options"], strict=True):
        assert frozen["estimate"]["gross"] == f"{option.gross_minor / 100:.2f}"
        assert (costs_of(issue, read(issue)) or {})[option.letter][
            "rate_book_sha256"
        ] == option.rate_book.sha256


def test_numbers_run_without_a_gap(issue, commission, ms_adeyemi, owner):
    year = today().year
    assert issue.proposal.number == f"{year}-0001"
    other = make_commission(ms_adeyemi)
    with pytest.raises(Refused):
        issue_proposal(other, ("A",), owner, timezone.now())
    add_option(other, "A", small_design())
    assert issue_proposal(other, ("A",), owner, timezone.now()).proposal.number == f"{year}-0002"
    again = issue_proposal(commission, ("B",), owner, timezone.now())
    assert (again.proposal.number, again.number) == (f"{year}-0001", 2)


def test_a_new_issue_replaces_the_one_before(issue, link, commission, owner):
    again = issue_proposal(commission, ("A",), owner, timezone.now())
    issue.refresh_from_db()
    link.refresh_from_db()
    assert (issue.state, again.state) == ("superseded", "issued")
    assert link.revoked_at is not None
    assert again.links.get().revoked_at is None


def test_a_number_taken_meanwhile_is_given_up_for_the_next(commission, ms_adeyemi, owner, monkeypatch):
    """Another person issues between this one's look at the numbers and its writing."""
    other, prepare, rendered = make_commission(ms_adeyemi), issuing._prepare, []

    def meanwhile(sending, number):
        if not rendered:
            Proposal.objects.create(commission=other, year=number.year, sequence=number.sequence)
        rendered.append(str(number))
        return prepare(sending, number)

    monkeypatch.setattr(issuing, "_prepare", meanwhile)
    made = issue_proposal(commission, ("A",), owner, timezone.now())
    year = today().year
    assert rendered == [f"{year}-0001", f"{year}-0002"]
    assert made.proposal.number == json.loads(bytes(made.figures))["number"] == f"{year}-0002"


def test_what_changed_while_another_issued_is_gathered_again(commission, ms_adeyemi, owner, monkeypatch):
    other, prepare, seen = make_commission(ms_adeyemi), issuing._prepare, []

    def meanwhile(sending, number):
        if not seen:
            Proposal.objects.create(commission=other, year=number.year, sequence=number.sequence)
            commission.options.filter(letter="A").update(design=dump(small_design("Indigo")))
        seen.append(number.sequence)
        return prepare(sending, number)

    monkeypatch.setattr(issuing, "_prepare", meanwhile)
    made = issue_proposal(commission, ("A",), owner, timezone.now())
    assert seen == [1, 2]
    assert "Indigo" in bytes(made.figures).decode()


def test_an_issue_made_while_the_pdf_is_drawn_is_a_conflict(commission, owner, monkeypatch):
    prepare, inner = issuing._prepare, []

    def meanwhile(sending, number):
        if not inner:
            inner.append(number)
            issue_proposal(commission, ("B",), owner, timezone.now(), after=0)
        return prepare(sending, number)

    monkeypatch.setattr(issuing, "_prepare", meanwhile)
    with pytest.raises(Conflict, match="issue 1 was made meanwhile"):
        issue_proposal(commission, ("A",), owner, timezone.now(), after=0)
    assert ProposalIssue.objects.count() == 1


def test_a_failure_while_writing_leaves_nothing(commission, owner, monkeypatch):
    def fail(**_):
        raise IntegrityError("no link")

    monkeypatch.setattr(Link.objects, "create", fail)
    with pytest.raises(IntegrityError):
        issue_proposal(commission, ("A",), owner, timezone.now())
    commission.refresh_from_db()
    assert (Proposal.objects.count(), ProposalIssue.objects.count(), commission.stage) == (0, 0, "enquiry")


@pytest.mark.parametrize(("letters", "words"), [((), "no option is chosen"), (("A", "D"), "no option D")])
def test_nothing_or_something_unknown_cannot_be_issued(commission, owner, letters, words):
    with pytest.raises(Refused, match=words):
        issue_proposal(commission, letters, owner, timezone.now())


def test_an_option_without_a_price_cannot_be_issued(commission, owner):
    add_option(commission, "C", small_design(filament="Unheard of"))
    with pytest.raises(Refused, match="option C has no price"):
        issue_proposal(commission, ("A", "C"), owner, timezone.now())
    assert not ProposalIssue.objects.exists()


def test_nobody_to_send_it_to(commission, owner):
    commission.client = None
    commission.save()
    with pytest.raises(Refused, match="not said whom"):
        issue_proposal(commission, ("A",), owner, timezone.now())


def test_nothing_is_issued_after_a_yes(issue, commission, owner):
    yes = yes_to(issue, how="telephone")
    decide(issue, yes, timezone.now())
    with pytest.raises(Refused, match="option A is approved"):
        issue_proposal(commission, ("B",), owner, timezone.now())


def test_after_a_no_a_new_issue_can_be_made(issue, commission, owner):
    decide(issue, Reply("declined", "", "", "", "telephone", issue.seal, today()), timezone.now())
    commission.refresh_from_db()
    assert commission.stage == "declined"
    assert issue_proposal(commission, ("B",), owner, timezone.now()).number == 2
    commission.refresh_from_db()
    assert commission.stage == "proposed"


def test_later_changes_do_not_reach_an_issue(issue, commission, ms_adeyemi):
    ms_adeyemi.name = "Somebody else"
    ms_adeyemi.save()
    commission.options.update(gross_minor=1)
    stored = read(ProposalIssue.objects.get(pk=issue.pk))
    assert stored.parties["client"]["name"] == "Ms Adeyemi"
    assert stored.gross_of("A") != "0.01"


@pytest.mark.django_db(transaction=True)
def test_issuing_and_deciding_at_once_end_in_one_order_or_the_other(issue, commission, owner):
    """Either the yes came first and nothing is issued, or the yes meets a later issue."""
    barrier, ended = threading.Barrier(2), {}

    def at_once(name, act):
        barrier.wait()
        while name not in ended:
            try:
                act()
                ended[name] = "done"
            except Refused:  # a Conflict is one
                ended[name] = "refused"
            except OperationalError:  # SQLite in memory does not wait for its lock, as a file does
                continue
        connection.close()

    yes = yes_to(issue, how="telephone")
    acts = {
        "decide": lambda: decide(issue, yes, timezone.now()),
        "issue": lambda: issue_proposal(commission, ("B",), owner, timezone.now()),
    }
    threads = [threading.Thread(target=at_once, args=act) for act in acts.items()]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(ended.values()) == ["done", "refused"]
    assert (Decision.objects.count(), ProposalIssue.objects.count()) in {(1, 1), (0, 2)}


@pytest.mark.parametrize("lattice", ["three-way turned", "diamond"])
def test_any_lattice_and_the_studios_own_patterns_can_be_issued(commission, owner, lattice):
    own = Pattern(
        slug="our-star",
        name="Our star",
        lattice=kind_of(lattice).family,
        **{form.replace(" ", "_"): pattern(usual_patterns(lattice)[0], lattice).strokes(form)
           for form in kind_of(lattice).forms},
    )  # fmt: skip
    first = Infill(pattern="our-star", filament="Tea")
    rings = Rings(
        rings=(Band(infill=first, cells=2), Band(infill=replace(first, filament="Indigo"), cells=1))
    )
    design = replace(small_design(), lattice=lattice, arrangement=rings, own_patterns=(own,))
    letter = add_option(commission, "C", design).letter
    figures = read(issue_proposal(commission, (letter,), owner, timezone.now())).figures
    (option,) = figures["options"]
    assert {"Our star"} == {row["name"] for row in option["palette"] if row["count"]}
