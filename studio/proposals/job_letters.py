"""Letters about what is sold: the studio reads and changes their words before they are written."""

from collections.abc import Iterable
from datetime import datetime

from django.db.models import QuerySet

from studio.letters.models import Letter as Outbox
from studio.letters.writing import write_letter
from studio.people.models import User
from studio.problem import Problem
from studio.proposals.models import Decision, ProposalIssue
from studio.proposals.stored import Stored
from studio.workshop.books import the_studio

__all__ = ["about_jobs", "letter_problems", "write_about"]

LONGEST = 4000


def about_jobs(issues: Iterable[ProposalIssue]) -> QuerySet[Outbox]:
    """What was written about what was sold with them."""
    return Outbox.objects.filter(source__in=[_source(issue) for issue in issues])


def letter_problems(yes: Decision, words: str, field: str, must_name: str = "") -> Iterable[Problem]:
    """What keeps a letter from being written; `must_name` is a day as the client reads it."""
    client = yes.issue.client
    if client.erased_at or not client.email:
        yield Problem(field, "no e-mail address of the client is known", "tell them otherwise, or add it")
    if not words.strip():
        yield Problem(field, "the letter has no words", "write them, or send none")
    elif must_name not in words:
        yield Problem(field, f"the letter does not name {must_name}", "name that day in it")
    if len(words) > LONGEST:
        yield Problem(field, f"this text has {len(words)} characters", f"at most {LONGEST}")


def write_about(
    yes: Decision, stored: Stored, what: str, words: str, by: User | None, now: datetime
) -> Outbox:
    """To the person for whom the issue was made, as they are to be reached now. `what` names the letter
    among those about the yes: written once."""
    source = _source(yes.issue)
    letter, _new = write_letter(
        key=f"{source}, {what}",
        source=source,
        receiver=yes.issue.client.email,
        subject=f"Proposal {stored.sheet.number}: {stored.parties.get('title', '')}",
        body=words.replace("\r\n", "\n"),
        reply_to=the_studio().email,
        by=by,
        now=now,
    )
    return letter


def _source(issue: ProposalIssue) -> str:
    return f"job of issue {issue.public_id}"
