"""The letter with the link and the PDF."""

from django.core.mail import EmailMessage
from django.template.loader import render_to_string

from studio.problem import Refused
from studio.proposals.models import Link, ProposalIssue
from studio.proposals.stored import Stored

__all__ = ["live_link", "send_issue"]


def live_link(issue: ProposalIssue) -> Link | None:
    return issue.links.filter(revoked_at=None).first()


def send_issue(issue: ProposalIssue, stored: Stored, address: str) -> str:
    """Write to the client of the issue; `address` is the link's whole address. Returns the receiver.

    Raises Refused when the issue holds no e-mail address, or its person is erased.
    """
    client = stored.parties.get("client", {})
    if not client.get("email") or issue.pdf is None:
        raise Refused.because(
            "client",
            "no e-mail address was known when this was issued",
            "copy the link, or add the address and issue again",
        )
    letter = _letter(issue, stored, address)
    letter.send()
    return str(client["email"])


def _letter(issue: ProposalIssue, stored: Stored, address: str) -> EmailMessage:
    studio, sheet = stored.parties["studio"], stored.sheet
    context = {"parties": stored.parties, "sheet": sheet, "address": address}
    letter = EmailMessage(
        subject=_one_line(f"Proposal {sheet.number}, issue {sheet.issue}: {stored.parties['title']}"),
        body=render_to_string("proposals/letter.txt", context),
        to=[stored.parties["client"]["email"]],
        reply_to=[studio["email"]] if studio["email"] else None,
    )
    name = f"proposal-{sheet.number}-issue-{sheet.issue}.pdf"
    letter.attach(name, bytes(issue.pdf or b""), "application/pdf")
    return letter


def _one_line(text: str) -> str:
    """A line break in a name would be another header."""
    return " ".join(text.split())
