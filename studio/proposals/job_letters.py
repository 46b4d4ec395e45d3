"""Letters about what is sold: the studio reads and changes their words before they are written."""

import hashlib
from collections.abc import Iterable
from datetime import datetime
from functools import reduce
from operator import or_

from django.db.models import Q, QuerySet

from studio.letters.models import Letter as Outbox
from studio.letters.writing import write_letter
from studio.people.models import User
from studio.problem import Problem
from studio.proposals.models import Decision, ProposalIssue
from studio.proposals.stored import Stored
from studio.workshop.books import the_studio

__all__ = ["about_jobs", "letter_problems", "write_about"]

LONGEST = 4000


def about_jobs(issues: Iterable[ProposalIssue], what: str = "") -> QuerySet[Outbox]:
    """What was written about what was sold with them, or of that the letters about one thing."""
    sources = [_source(issue) for issue in issues]
    found = Outbox.objects.filter(source__in=sources)
    if not what:
        return found
    return found.filter(reduce(or_, (Q(key__startswith=f"{source}, {what},") for source in sources)))


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
    among those about the yes; the same words to the same person are written once."""
    source, receiver = _source(yes.issue), yes.issue.client.email
    told = hashlib.sha256(f"{receiver}\n{words}".encode()).hexdigest()[:16]
    letter, _new = write_letter(
        key=f"{source}, {what}, {told}",
        source=source,
        receiver=receiver,
        subject=f"Proposal {stored.sheet.number}: {stored.parties.get('title', '')}",
        body=words.replace("\r\n", "\n"),
        reply_to=the_studio().email,
        by=by,
        now=now,
    )
    return letter


def _source(issue: ProposalIssue) -> str:
    return f"job of issue {issue.public_id}"
