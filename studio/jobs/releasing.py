"""The release of what is sold to the workshop, with its final day and what the client hears of it."""

from collections.abc import Iterator
from datetime import date, datetime
from typing import Annotated, Literal

from django.db import transaction
from django.template.loader import render_to_string
from pydantic import Field

from studio.commissions.locks import locked_commission
from studio.commissions.models import Commission
from studio.document import document
from studio.jobs.facts import Facts, facts_of
from studio.people.models import User
from studio.problem import Conflict, Problem, refuse_all
from studio.proposals import selling
from studio.proposals.appointments import visits_of
from studio.proposals.job_letters import letter_problems, write_about
from studio.proposals.models import Decision, Release
from studio.proposals.newest import newest_yes
from studio.proposals.shown import voice_in
from studio.proposals.stored import Stored, read
from studio.proposals.telling import tell
from studio.workshop.books import the_studio

__all__ = ["Released", "final_words", "release_sold"]


@document
class Released:
    """What is typed of a release. `seen` is what its page showed of deposit and colours, `sold` the public id
    of the issue that it named. `heard` is what the client hears of the final day."""

    final_on: date
    seen: Annotated[str, Field(max_length=100)]
    sold: Annotated[str, Field(max_length=12)]
    heard: Literal["", "letter", "nothing"] = ""
    words: Annotated[str, Field(max_length=100_000)] = ""
    anyway: bool = False


@transaction.atomic
def release_sold(commission: Commission, given: Released, by: User | None, now: datetime) -> Release:
    """Raises Conflict where deposit, colours or what is sold changed since the page was made, or it is
    released already; Refused where the size is not taped by us, where one of the two is missing and it is
    not said that this is meant, where it is not chosen what the client hears of another day than the agreed
    one, for a letter that cannot be."""
    commission = locked_commission(commission.pk)
    yes = newest_yes(commission)
    if yes is None or yes.issue.public_id != given.sold:
        raise Conflict.because("final_on", "another option is sold by now", "look at it, then go on")
    facts, stored = facts_of(yes), read(yes.issue)
    made = None
    if not hasattr(yes, "release"):
        if facts.seen != given.seen:
            reason = "the deposit, the colours or the calendar changed meanwhile"
            raise Conflict.because("final_on", reason, "look at the day that follows now, then release")
        refuse_all(_problems(yes, facts, stored, given))
    made = selling.release(commission, given.final_on, by, now, given.sold)
    if given.heard == "letter":
        write_about(yes, stored, "final day", given.words, by, now)
    tell(yes.issue, _told(yes, given, stored), by, now)
    return made


def _problems(yes: Decision, facts: Facts, stored: Stored, given: Released) -> Iterator[Problem]:
    if facts.missing and not given.anyway:
        yield Problem("anyway", facts.missing, "wait for it, or tick that the work begins all the same")
    early = [row for row in visits_of(yes.proposal.commission) if row.day and row.day < given.final_on]
    if early:
        reason = f"this is agreed for before that day: {early[0].in_words(voice_in(stored.figures))}"
        yield Problem("final_on", reason, "agree on a later day for it first")
    if given.final_on != yes.agreed_on and not given.heard:
        yield Problem("heard", "the final day is not the one that was agreed", "choose what the client hears")
    if given.heard == "letter":
        yield from letter_problems(yes, given.words, "words", voice_in(stored.figures).day(given.final_on))


def _told(yes: Decision, given: Released, stored: Stored) -> str:
    day = voice_in(stored.figures).day
    final = f"the final day is {day(given.final_on)}"
    if yes.agreed_on and yes.agreed_on != given.final_on:
        final += f", where {day(yes.agreed_on)} was agreed"
    return f"{final}; {'a' if given.heard == 'letter' else 'no'} letter about it was written to the client"


def final_words(yes: Decision, facts: Facts, stored: Stored) -> str:
    """What a letter about the final day begins with; the studio changes it as it likes. Empty while no final
    day follows."""
    if facts.final_on is None or facts.colours is None:
        return ""
    voice = voice_in(stored.figures)
    days = {
        "final": voice.day(facts.final_on),
        "agreed": voice.day(yes.agreed_on) if yes.agreed_on not in (None, facts.final_on) else "",
        "cleared": voice.day(facts.cleared_on or facts.final_on),
        "colours": voice.day(facts.colours.approved_on),
        "working_days": voice.count(facts.agreed_days or 0, "working day"),
    }
    words = {"days": days, "parties": stored.parties, "studio": the_studio(), "client": yes.issue.client}
    return render_to_string("jobs/final_letter.txt", words)
