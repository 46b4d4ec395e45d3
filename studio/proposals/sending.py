"""The letter with the link and the PDF: written into the outbox, and taken back while it waits there."""

from datetime import datetime

from django.db import transaction
from django.db.models import QuerySet
from django.template.loader import render_to_string
from django.utils.timezone import localdate

from studio.commissions.locks import locked_commission
from studio.letters.models import Letter as Outbox
from studio.letters.settling import take_back
from studio.letters.writing import Enclosed, write_letter
from studio.people.models import User
from studio.problem import Conflict, Refused
from studio.proposals.days import days_shown
from studio.proposals.deciding import standing_of
from studio.proposals.models import Letter, Link, ProposalIssue
from studio.proposals.standing import why_closed
from studio.proposals.stored import Stored, pdf_of, read
from studio.proposals.telling import tell

__all__ = ["live_link", "outbox_of", "send_issue", "take_back_letters"]


def live_link(issue: ProposalIssue) -> Link | None:
    return issue.links.filter(revoked_at=None).first()


def outbox_of(issues: QuerySet[ProposalIssue]) -> QuerySet[Outbox]:
    """What was written about them."""
    return Outbox.objects.filter(pk__in=Letter.objects.filter(link__issue__in=issues).values("outbox"))


def take_back_letters(issues: QuerySet[ProposalIssue], now: datetime) -> None:
    """What has not left does not leave any more: its link is closed."""
    take_back(outbox_of(issues), now)


@transaction.atomic
def send_issue(link: Link, address: str, by: User | None, now: datetime, after: int | None = None) -> Letter:
    """Write to the client of the link's issue; `address` is the link's whole address. It leaves once the
    transaction is committed. `after` is how many letters about the issue the page showed where it was asked
    for; None asks for no such thing.

    Raises Conflict when one was written since then; Refused when nothing can be decided on the issue any
    more, when it holds no e-mail address, or its person is erased; Damaged.
    """
    locked_commission(link.issue.proposal.commission_id)
    link = Link.objects.select_related("issue__proposal__commission").get(pk=link.pk)
    issue, stored, pdf = link.issue, read(link.issue), pdf_of(link.issue)
    closed = why_closed(standing_of(issue, stored, link), localdate(now))
    if closed:
        raise Refused(closed)
    if pdf is None or not stored.parties.get("client", {}).get("email"):
        raise Refused.because(
            "client",
            "no e-mail address was known when this was issued",
            "copy the link, or add the address and issue again",
        )
    written = Letter.objects.filter(link__issue=issue).count()
    if after is not None and after != written:
        raise Conflict.because("letter", "a letter was written meanwhile", "look at what became of it")
    outbox = _write(issue, stored, pdf, address, written + 1, by, now)
    tell(issue, "a letter to the client was written", by, now)
    return Letter.objects.create(link=link, outbox=outbox)


def _write(
    issue: ProposalIssue,
    stored: Stored,
    pdf: bytes,
    address: str,
    number: int,
    by: User | None,
    now: datetime,
) -> Outbox:
    source, parties, sheet = f"proposal issue {issue.public_id}", stored.parties, stored.sheet
    name = f"proposal-{sheet.number}-issue-{sheet.issue}.pdf"
    days = days_shown(issue, stored, localdate(now))  # as the page names them, should their start have passed
    options = [(option, days[option.letter]) for option in sheet.options]
    words = {"parties": parties, "sheet": sheet, "options": options, "address": address}
    outbox, _ = write_letter(
        key=f"{source}, letter {number}",
        source=source,
        receiver=parties["client"]["email"],
        subject=f"Proposal {sheet.number}, issue {sheet.issue}: {parties['title']}",
        body=render_to_string("proposals/letter.txt", words),
        reply_to=parties["studio"]["email"],
        enclosed=(Enclosed(name, "application/pdf", pdf),),
        by=by,
        now=now,
    )
    return outbox
