"""What of a commission is sold, as its proposal page shows it."""

from dataclasses import dataclass

from django.utils import timezone

from studio.commissions.closed import is_varied
from studio.commissions.models import Commission
from studio.commissions.price_first import sold_price
from studio.proposals.appointments import visits_of
from studio.proposals.models import Decision
from studio.proposals.newest import newest_yes
from studio.proposals.others import owed_of
from studio.voice import Voice

__all__ = ["SoldShown", "sold_shown"]


@dataclass(frozen=True, slots=True)
class SoldShown:
    """`seen` names the yes in the forms, so that a page from before a later one cannot act on it. The two
    days of being ready are apart: what was agreed, what is final; `appointments` are those that stand.
    `ended` says how it was called off; `variation` is the number of the open one; `open` tells whether one
    may begin, cancel or release."""

    appointments: tuple[str, ...]
    seen: str
    what: str
    price: str
    taxed: bool
    agreed: str
    final: str
    ended: str
    variation: str
    open: bool
    currency: str


def sold_shown(commission: Commission, voice: Voice) -> SoldShown | None:
    """None while nothing is sold."""
    sold = newest_yes(commission)
    if sold is None:
        return None
    money, release = voice.using(sold.currency), getattr(sold, "release", None)
    minor, words = sold_price(commission, sold.letter, sold.sold_minor or 0)
    varied = commission.proposals.order_by("-place")[0].number if is_varied(commission) else ""
    return SoldShown(
        appointments=tuple(row.in_words(voice) for row in visits_of(commission)),
        seen=sold.issue.public_id,
        what=f"Option {sold.letter} of proposal {sold.proposal.number}, issue {sold.issue.number}"
        + _refitted(sold),
        price=f"{money.minor(minor)} {words}".rstrip(),
        taxed=bool(words),
        agreed=voice.day(sold.agreed_on) if sold.agreed_on else "",
        final=voice.day(release.final_on) if release else "",
        ended=_ended(sold, money, bool(words)),
        variation=varied,
        open=commission.stage in (Commission.Stage.APPROVED, Commission.Stage.MAKING),
        currency=sold.currency,
    )


def _refitted(sold: Decision) -> str:
    taping = getattr(sold, "taping", None)
    return ", fitted anew to the size that we taped" if taping and taping.said_on else ""


def _ended(sold: Decision, money: Voice, taxed: bool) -> str:
    ended = getattr(sold, "cancellation", None)
    if ended is None:
        return ""
    who = ended.who or "a person since erased"
    why = f": “{ended.why}”" if ended.why else ""
    owed = money.money(owed_of(sold))
    called_off = f"Called off on {money.day(timezone.localdate(ended.at))} by {who}{why}."
    return f"{called_off} {owed} is owed{', with tax' if taxed else ''}."
