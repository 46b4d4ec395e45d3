"""The letter with the link and the PDF."""

from datetime import datetime

from django.core.mail import EmailMessage
from django.template.loader import render_to_string
from django.utils.timezone import localdate

from studio.people.models import User
from studio.problem import Refused
from studio.proposals.deciding import standing_of
from studio.proposals.models import Letter, Link, ProposalIssue
from studio.proposals.standing import why_closed
from studio.proposals.stored import Stored, pdf_of, read

__all__ = ["live_link", "send_issue"]

LANGUAGE = "en-GB"
"""Of the words; figures are in the manner of the studio's own country."""


def live_link(issue: ProposalIssue) -> Link | None:
    return issue.links.filter(revoked_at=None).first()


def send_issue(link: Link, address: str, by: User | None, now: datetime) -> Letter:
    """Write to the client of the link's issue, then note that the letter left; `address` is the link's whole
    address.

    Raises Refused when nothing can be decided on the issue any more, when it holds no e-mail address, or its
    person is erased; Damaged; OSError.
    """
    stored, pdf = read(link.issue), pdf_of(link.issue)
    closed = why_closed(standing_of(link.issue, stored, link), localdate(now))
    if closed:
        raise Refused(closed)
    receiver = stored.parties.get("client", {}).get("email")
    if not receiver or pdf is None:
        raise Refused.because(
            "client",
            "no e-mail address was known when this was issued",
            "copy the link, or add the address and issue again",
        )
    _letter(stored, pdf, address).send()
    return Letter.objects.create(link=link, receiver=receiver, sent_at=now, by=by)


def _letter(stored: Stored, pdf: bytes, address: str) -> EmailMessage:
    studio, sheet = stored.parties["studio"], stored.sheet
    context = {"parties": stored.parties, "sheet": sheet, "address": address}
    letter = EmailMessage(
        subject=_one_line(f"Proposal {sheet.number}, issue {sheet.issue}: {stored.parties['title']}"),
        body=render_to_string("proposals/letter.txt", context),
        to=[stored.parties["client"]["email"]],
        reply_to=[studio["email"]] if studio["email"] else None,
        headers={"Content-Language": LANGUAGE},
    )
    name = f"proposal-{sheet.number}-issue-{sheet.issue}.pdf"
    letter.attach(name, pdf, "application/pdf")
    return letter


def _one_line(text: str) -> str:
    """A line break in a name would be another header."""
    return " ".join(text.split())
