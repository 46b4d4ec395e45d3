"""Issuing a proposal: gather the options, freeze them, render the PDF, then write all of it at once;
and taking an issue back before anybody has decided on it."""

import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from hashlib import sha256
from typing import Any

from django.db import IntegrityError, transaction
from django.utils import timezone

from studio.commissions.closed import is_varied
from studio.commissions.locks import locked_commission
from studio.commissions.models import Commission, Option
from studio.estimate.engine import ENGINE
from studio.making.booked import Amounts
from studio.money import to_minor
from studio.people.models import User
from studio.problem import Conflict, Refused, refuse_all
from studio.proposals.before_issuing import missing
from studio.proposals.booking import end_offers, most_offered, offer
from studio.proposals.freeze import SCHEMA, Frozen, Heading, OptionSent, freeze
from studio.proposals.models import Decision, IssuedOption, Link, Proposal, ProposalIssue
from studio.proposals.newest import newest_yes
from studio.proposals.pdf import render_pdf
from studio.proposals.selling import next_of_year
from studio.proposals.sending import take_back_letters
from studio.proposals.sent import sent_of
from studio.proposals.telling import tell
from studio.proposals.wanted import with_wanted
from studio.workshop.books import book_of, the_studio, voice_of
from studio.workshop.models import Studio

__all__ = ["issue_proposal", "withdraw_issue"]

ATTEMPTS = 5
"""Two people who issue at once ask for the same number; the second gathers and renders again for the next."""


@dataclass(frozen=True, eq=False)
class Sending:
    """All that an issue is made of, but its number."""

    commission: Commission
    studio: Studio
    options: tuple[OptionSent, ...]
    parties: dict[str, Any]
    annex: bool
    valid_until: date
    by: User | None
    now: datetime


def issue_proposal(
    commission: Commission,
    letters: tuple[str, ...],
    by: User | None,
    now: datetime,
    *,
    after: int | None = None,
    workings: bool = False,
    wait: bool = True,
) -> ProposalIssue:
    """A new issue, with its link, of the chosen options; the one before is superseded and its links end.

    `after` is how many issues the commission had where the choice was made; None asks for no such thing. With
    `workings` the client's copy has them as an annex, cost and margin too. Without `wait` a range that is not
    known is not worked out to its end here. Raises Conflict when another issue was made since then; Ranging
    with a part more of such a range; Refused when nothing is chosen, an option has no price, the client is
    unknown, something is `missing`, or an option is approved already and no variation of it open.
    """
    for attempt in range(ATTEMPTS):
        _refuse_if_moved(commission, after)
        sending = _gather(Commission.objects.get(pk=commission.pk), letters, by, now, workings, wait)
        number = _next_number(commission, now)
        frozen, pdf = _prepare(sending, number)
        takes = most_offered(frozen)
        try:
            return _write(sending, number, frozen, pdf, takes, after)
        except IntegrityError:
            if attempt == ATTEMPTS - 1:
                raise
    raise AssertionError("unreachable")


def _refuse_if_moved(commission: Commission, after: int | None) -> None:
    issues = ProposalIssue.objects.filter(proposal__commission=commission)
    if after is not None and after != issues.count():
        last = issues.order_by("-proposal__place", "-number").first()
        reason = f"issue {last.number} was made meanwhile" if last else "nothing is issued yet"
        raise Conflict.because("issue", reason, "look at it, then issue again if something should differ")


def _gather(
    commission: Commission,
    letters: tuple[str, ...],
    by: User | None,
    now: datetime,
    workings: bool,
    wait: bool,
) -> Sending:
    _refuse_if_settled(commission)
    if commission.client is None:
        raise Refused.because("client", "it is not said whom this is for", "choose or add the client first")
    if commission.client.erased_at:
        raise Refused.because("client", "this person's data were erased", "choose or add another client")
    studio = the_studio()
    today = timezone.localdate(now)
    chosen = _chosen(commission, letters)
    refuse_all(missing(commission, chosen, studio, today))
    sent = tuple(sent_of(option, studio, today, wait) for option in chosen)
    sent = with_wanted(sent, commission.wanted_on, voice_of(studio), today)
    days = min(book_of(option.rate_book).validity_days for option in chosen)
    return Sending(
        commission,
        studio,
        sent,
        _parties(commission, studio, by),
        workings,
        today + timedelta(days=days),
        by,
        now,
    )


def _chosen(commission: Commission, letters: tuple[str, ...]) -> list[Option]:
    found = list(commission.options.select_related("rate_book").filter(letter__in=letters))
    missing = sorted(set(letters) - {option.letter for option in found})
    if missing:
        raise Refused.because(
            "letters", f"there is no option {missing[0][:10]}", "choose options that are there"
        )
    if not found:
        raise Refused.because("letters", "no option is chosen", "choose one to four options")
    if len({option.currency for option in found}) > 1:
        raise Refused.because(
            "letters", "these options are priced in different currencies", "bring them to one rate book"
        )
    return found


def _parties(commission: Commission, studio: Studio, by: User | None) -> dict[str, Any]:
    client, space = commission.client, commission.space
    if client is None:
        raise TypeError("a commission that is issued has a client")
    fields = ("name", "address", "email", "phone")
    measured = space.measured_on.isoformat() if space.measured_on else ""
    return {
        "salt": secrets.token_hex(16),
        "studio": {field: getattr(studio, field) for field in fields},
        "client": {field: getattr(client, field) for field in (*fields, "tax_number")},
        "title": commission.title,
        "space": space.name,
        "invented": studio.invented or client.invented,
        "issued_by": str(by or ""),
        "evidence": {"measured_by": space.measured_by, "measured_on": measured},
    }


@dataclass(frozen=True, slots=True)
class _Number:
    year: int
    sequence: int
    issue: int

    def __str__(self) -> str:
        return f"{self.year}-{self.sequence:04}"


def _next_number(commission: Commission, now: datetime) -> _Number:
    """The next issue of this commission's newest proposal, or the next proposal of the year."""
    known = commission.proposals.order_by("-place").first()
    if known:
        return _Number(known.year, known.sequence, known.issues.count() + 1)
    year = timezone.localdate(now).year
    return _Number(year, next_of_year(year), 1)


def _prepare(sending: Sending, number: _Number) -> tuple[Frozen, bytes]:
    studio = sending.studio
    heading = Heading(
        number=str(number),
        issue=number.issue,
        issued_on=timezone.localdate(sending.now),
        valid_until=sending.valid_until,
        locale=studio.locale,
        units=voice_of(studio).units,
        paper=studio.paper,
        terms_text=studio.terms_text,
    )
    frozen = freeze(heading, sending.options, sending.parties, secrets.token_hex(16), annex=sending.annex)
    return frozen, render_pdf(frozen, sending.options)


@transaction.atomic
def _write(
    sending: Sending, number: _Number, frozen: Frozen, pdf: bytes, takes: Amounts, after: int | None
) -> ProposalIssue:
    commission = locked_commission(sending.commission.pk)
    # after the lock: while the PDF was drawn another may have issued, approved or erased
    _refuse_if_moved(commission, after)
    _refuse_if_settled(commission)
    client = commission.client
    if client is None or client.pk != sending.commission.client_id or client.erased_at:
        raise Conflict.because("client", "the client was changed meanwhile", "look at it, then issue again")
    proposal = _proposal(commission, sending.by, number)
    before = _supersede(proposal, sending.now)
    issue = ProposalIssue.objects.create(
        proposal=proposal,
        client=client,
        number=number.issue,
        figures=frozen.figures,
        parties=frozen.parties,
        drawings=frozen.drawings,
        making=frozen.making,
        costs=frozen.costs,
        pdf=pdf,
        figures_sha256=frozen.figures_sha256,
        parties_sha256=frozen.parties_sha256,
        pdf_sha256=sha256(pdf).hexdigest(),
        seal=frozen.seal,
        schema=SCHEMA,
        engine=ENGINE,
        issued_at=sending.now,
        by=sending.by,
        valid_until=sending.valid_until,
    )
    IssuedOption.objects.bulk_create(_offered(issue, sending.options))
    Link.objects.create(issue=issue)
    offer(issue, takes, before, sending.by)
    if not is_varied(commission):
        Commission.objects.filter(pk=commission.pk).update(stage=Commission.Stage.PROPOSED)
    tell(issue, "issued", sending.by, sending.now)
    return issue


def _proposal(commission: Commission, by: User | None, number: _Number) -> Proposal:
    """The one whose number is on the paper."""
    known = commission.proposals.order_by("-place").first()
    if known is None:
        return Proposal.objects.create(
            commission=commission, year=number.year, sequence=number.sequence, by=by
        )
    if (known.year, known.sequence) != (number.year, number.sequence):
        raise Conflict.because("issue", "a variation was begun meanwhile", "look at it, then issue again")
    return known


def _offered(issue: ProposalIssue, options: tuple[OptionSent, ...]) -> Iterator[IssuedOption]:
    for option in options:
        price = option.estimate.price
        gross_minor = to_minor(price.gross, price.currency)
        yield IssuedOption(
            issue=issue, letter=option.letter, currency=price.currency, gross_minor=gross_minor
        )


def _supersede(proposal: Proposal, now: datetime) -> ProposalIssue | None:
    """The one that stood until now."""
    Link.objects.filter(issue__proposal=proposal, revoked_at=None).update(revoked_at=now)
    take_back_letters(proposal.issues.all(), now)
    standing = proposal.issues.filter(state=ProposalIssue.State.ISSUED).select_related("proposal__commission")
    before = standing.only("public_id", "proposal").first()
    standing.update(state=ProposalIssue.State.SUPERSEDED)
    return before


def _refuse_if_settled(commission: Commission) -> None:
    settled = newest_yes(commission)
    if settled and commission.stage == Commission.Stage.CANCELLED:
        raise Refused.because("commission", "this commission is cancelled", "start a new one")
    if settled and not is_varied(commission):
        raise Refused.because(
            "commission",
            f"option {settled.letter} is approved, and what was approved does not change",
            "begin a variation, or start a new commission for anything more",
        )


@transaction.atomic
def withdraw_issue(issue: ProposalIssue, by: User | None, now: datetime) -> bool:
    """False when there is nothing to take back: it is decided, replaced or withdrawn."""
    locked_commission(issue.proposal.commission_id)
    if Decision.objects.filter(issue=issue).exists():
        return False
    standing = ProposalIssue.objects.filter(pk=issue.pk, state=ProposalIssue.State.ISSUED)
    taken_back = standing.update(state=ProposalIssue.State.WITHDRAWN)
    issue.links.filter(revoked_at=None).update(revoked_at=now)
    take_back_letters(ProposalIssue.objects.filter(pk=issue.pk), now)
    if taken_back:
        end_offers([issue], by)
        tell(issue, "withdrawn", by, now)
    return bool(taken_back)
