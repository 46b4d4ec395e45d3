"""What a commission's entries tell of its proposals: what clients wrote by their links, and what happened to
an issue. An entry's `about` starts with the issue's public id, and ends with the link where there was one."""

from collections import defaultdict
from datetime import datetime

from django.db.models import QuerySet

from studio.commissions.entries import write_entry
from studio.commissions.models import Commission, Entry
from studio.people.models import User
from studio.proposals.models import Link, ProposalIssue

__all__ = ["issue_of", "keep_message", "messages_about", "messages_by", "tell"]

FROM_CLIENT = Entry.Kind.FROM_CLIENT


def tell(issue: ProposalIssue, what: str, by: User | None, at: datetime) -> Entry:
    """That something happened to the issue; `what` says nothing personal, as it is never erased."""
    words = f"Proposal {issue.proposal.number}, issue {issue.number}: {what}"
    commission = issue.proposal.commission
    return write_entry(commission, words, by, kind=Entry.Kind.EVENT, about=issue.public_id, at=at)


def keep_message(link: Link, text: str) -> Entry:
    """A question or a wish for a change; it decides nothing."""
    commission = link.issue.proposal.commission
    return write_entry(commission, text, None, kind=FROM_CLIENT, about=_by(link))


def messages_by(link: Link) -> QuerySet[Entry]:
    return Entry.objects.filter(
        commission__proposals__issues=link.issue_id, kind=FROM_CLIENT, about=_by(link)
    )


def messages_about(commission: Commission) -> dict[str, list[Entry]]:
    """By the public id of the issue."""
    found = defaultdict(list)
    for entry in commission.entries.filter(kind=FROM_CLIENT):
        found[issue_of(entry.about)].append(entry)
    return found


def issue_of(about: str) -> str:
    """The public id of the issue that an entry is about."""
    return about.partition(" ")[0]


def _by(link: Link) -> str:
    return f"{link.issue.public_id} by link {link.pk}"
