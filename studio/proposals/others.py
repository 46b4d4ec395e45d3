"""What a commission's other proposals mean for one: a variation of it, what it varies, its end."""

from decimal import Decimal

from django.utils import timezone

from studio.money import from_minor
from studio.proposals.models import Decision, ProposalIssue
from studio.proposals.newest import newest_yes
from studio.proposals.refit import agreed_option, option_of_refit
from studio.proposals.stored import read
from studio.proposals.tax_shown import price_read
from studio.voice import Voice

__all__ = ["of_the_others", "owed_of"]


def of_the_others(issue: ProposalIssue, decision: Decision | None, voice: Voice) -> str:
    """In sentences for the client; empty where nothing else bears on this issue."""
    sold = newest_yes(issue.proposal.commission)
    if decision is None:
        return _varies(issue, sold, voice) if sold and sold.proposal_id != issue.proposal_id else ""
    if sold is None or not decision.letter:
        return ""
    if sold.pk != decision.pk:
        return (
            f"A change was approved on {voice.day(sold.said_on)} in proposal {sold.proposal.number}: we make "
            "what that one shows."
        )
    return _ended(decision, voice) or _refitted(decision, voice) or _varied(issue)


def owed_of(decision: Decision) -> Decimal:
    """What is owed after a cancellation."""
    return from_minor(decision.cancellation.owed_minor, decision.cancellation.currency)


def _varies(issue: ProposalIssue, sold: Decision, voice: Voice) -> str:
    stored, taping = read(sold.issue), getattr(sold, "taping", None)
    option = option_of_refit(taping) if taping and taping.said_on else agreed_option(sold, stored)
    price = price_read(option, stored.figures["client_kind"], voice)
    return (
        f"This is a change to what was approved on {voice.day(sold.said_on)}: option {sold.letter} of "
        f"proposal {sold.proposal.number} for {price}. That stands until an option is approved "
        "here, and stays if you decline."
    )


def _refitted(decision: Decision, voice: Voice) -> str:
    taping = getattr(decision, "taping", None)
    if taping is None or taping.said_on is None:
        return ""
    option, stored = option_of_refit(taping), read(decision.issue)
    fit = option["estimate"]["fit"]
    size = f"{voice.length(fit['width_mm'])} wide, {voice.length(fit['height_mm'])} high"
    price = price_read(option, stored.figures["client_kind"], voice)
    return (
        f"We taped the space on {voice.day(taping.taped_on)}, and another panel fits: {size}, for {price}, "
        f"within the range that was agreed. You said yes to it {taping.get_how_display()} on "
        f"{voice.day(taping.said_on)}, and we make that one."
    )


def _ended(decision: Decision, voice: Voice) -> str:
    ended = getattr(decision, "cancellation", None)
    if ended is None:
        return ""
    owed = owed_of(decision)
    left = f"{voice.using(ended.currency).money(owed)} is owed" if owed else "Nothing is owed"
    return f"It was called off on {voice.day(timezone.localdate(ended.at))}, so it is not made. {left}."


def _varied(issue: ProposalIssue) -> str:
    later = ProposalIssue.objects.filter(
        proposal__commission=issue.proposal.commission_id,
        proposal__place__gt=issue.proposal.place,
        state=ProposalIssue.State.ISSUED,
        decision=None,
    ).select_related("proposal")
    found = later.first()
    if found is None:
        return ""
    return f"A change to it is proposed in {found.proposal.number}. Until one is approved there, this stands."
