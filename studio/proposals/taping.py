"""The space is taped after a yes: work is released for no other size."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime
from hashlib import sha256
from typing import Annotated, Literal

from django.db import transaction
from django.utils import timezone
from pydantic import Field

from studio.clients.models import Space as SpaceRow
from studio.commissions.closed import is_varied
from studio.commissions.estimating import note_change, reprice_in
from studio.commissions.locks import locked_with_others
from studio.commissions.models import Commission
from studio.commissions.own_space import own_space
from studio.document import document
from studio.lattice.design import Space
from studio.money import to_minor
from studio.people.models import User
from studio.problem import Conflict, Problem, Refused, refuse_all
from studio.proposals.booking import book_refit
from studio.proposals.freeze import OptionSent
from studio.proposals.models import Decision, Taping
from studio.proposals.newest import newest_yes
from studio.proposals.refit import (
    agreed_option,
    fitted,
    frozen_refit,
    making_of_refit,
    option_of_refit,
    same_panel,
    untaped,
)
from studio.proposals.shown import voice_in
from studio.proposals.stored import Stored, read
from studio.proposals.tax_shown import price_read
from studio.proposals.telling import tell
from studio.stored.kinds import DESIGN, SPACE
from studio.typed_lengths import read_lengths

__all__ = ["Taped", "WordNeeded", "tape"]


@document
class Taped:
    """What is typed: the smallest width and height as people say lengths, and, where another panel fits, the
    word of the client to its price. `sold` is the public id of the issue that the page named, `price_minor`
    the price that it showed with the question."""

    sold: Annotated[str, Field(max_length=12)]
    width: Annotated[str, Field(min_length=1, max_length=40)]
    height: Annotated[str, Field(min_length=1, max_length=40)]
    taped_on: date
    price_minor: int | None = None
    who: Annotated[str, Field(max_length=200)] = ""
    how: Literal["", "telephone", "writing", "on the spot"] = ""
    said_on: date | None = None


class WordNeeded(Refused):
    """Another panel fits, at a price within the range that was agreed: the client is asked."""

    def __init__(self, sent: OptionSent, problems: tuple[Problem, ...]) -> None:
        self.sent = sent
        super().__init__(*problems)


@transaction.atomic
def tape(commission: Commission, given: Taped, by: User | None, now: datetime) -> Taping:
    """Write down what was taped of what is sold. The space is that from now on, one of its own where another
    panel is sold for it; where another panel is made than was agreed, the option is that one, as is what is
    sold, owed and booked.

    Raises Conflict where another option is sold by now, a variation is open, or the space is taped or the
    work released already; WordNeeded where another panel fits and the client's word to its price is not
    there; Refused for sizes that cannot be or that what was agreed does not hold; Damaged.
    """
    commission, together = locked_with_others(commission.pk)
    yes = _yes(commission, given)
    stored = read(yes.issue)
    _refuse_taped(yes, stored, commission)
    today = timezone.localdate(now)
    space = _taped_space(yes, stored, given)
    if not timezone.localdate(yes.issue.issued_at) <= given.taped_on <= today:
        raise Refused.because("taped_on", "this day is not between the proposal and today", "give that day")
    row = Taping(decision=yes, space=SPACE.write(space), taped_on=given.taped_on, at=now, by=by)
    sent = _sent(yes, stored, space, today)
    what = "the space was taped by us, and the panel that was agreed fits"
    if sent:
        what = _another(row, sent, stored, given, today)
    row.save(force_insert=True)
    if row.figures:
        book_refit(yes.issue, making_of_refit(row), by)
    if sent:
        _save_design(commission, sent, by)
    _save_space(own_space(commission, together), space, given, by, today)
    tell(yes.issue, what, by, now)
    return row


def _yes(commission: Commission, given: Taped) -> Decision:
    yes = newest_yes(commission)
    if yes is None or yes.issue.public_id != given.sold:
        raise Conflict.because("width", "another option is sold by now", "look at it, then go on")
    return yes


def _refuse_taped(yes: Decision, stored: Stored, commission: Commission) -> None:
    if is_varied(commission):
        raise Conflict.because("width", "a variation is open", "end it, or write the size down in it")
    if hasattr(yes, "release") or not untaped(yes, stored):
        raise Conflict.because("width", "the size is taped by us already", "what stands there stays")
    if commission.stage != Commission.Stage.APPROVED:
        raise Conflict.because("width", "no work is to begin on it", "look at what stands now")


def _taped_space(yes: Decision, stored: Stored, given: Taped) -> Space:
    """The space that was agreed, in the size that was typed. Raises Refused."""
    lengths = read_lengths({"width": given.width, "height": given.height})
    about = [
        Problem(side, "what was taped is not “about”", "the size itself") for side in lengths.approximate
    ]
    refuse_all([*lengths.problems, *about])
    agreed = {"schema": 2, **agreed_option(yes, stored)["space"]}
    sizes = {"widths_mm": [lengths.mm["width"]], "heights_mm": [lengths.mm["height"]]}
    ours = {"width_origin": "taped by us", "height_origin": "taped by us", "diagonals_mm": []}
    try:
        return SPACE.read({**agreed, **sizes, **ours})
    except Refused as refused:
        raise Refused(*(replace(each, field=_side(each.field)) for each in refused.problems)) from None


def _side(field: str) -> str:
    """What is wrong with the panel as a whole stands at the width."""
    return "height" if "height" in field else "width"


def _sent(yes: Decision, stored: Stored, space: Space, today: date) -> OptionSent | None:
    """The panel that fits, None where it is the one that was agreed. Raises Refused where there is none."""
    try:
        agreed = same_panel(agreed_option(yes, stored), space)
        return None if agreed else fitted(yes, stored, space, today)
    except Refused as refused:
        raise Refused(*(replace(each, field=_side(each.field)) for each in refused.problems)) from None


def _another(row: Taping, sent: OptionSent, stored: Stored, given: Taped, today: date) -> str:
    """Fill the row with another panel and the client's word to it. Raises WordNeeded without that."""
    price = sent.estimate.price
    minor = to_minor(price.gross, price.currency)
    if problems := tuple(_wordless(given, minor, today)):
        raise WordNeeded(sent, problems)
    row.figures, row.making = frozen_refit(sent, stored)
    row.figures_sha256 = sha256(row.figures).hexdigest()
    row.gross_minor, row.who, row.how, row.said_on = minor, given.who.strip(), given.how, given.said_on
    voice, fit = voice_in(stored.figures), sent.estimate.bill.fit
    size = f"{voice.length(fit.width_mm)} × {voice.length(fit.height_mm)}"
    read_as = price_read(option_of_refit(row), stored.figures["client_kind"], voice)
    return (
        f"the space was taped by us, and another panel fits: {size} for {read_as}, "
        f"within the range that was agreed; the client said yes to it {row.get_how_display()}"
    )


def _wordless(given: Taped, minor: int, today: date) -> Iterator[Problem]:
    if given.price_minor != minor:
        yield Problem(
            "who", "another panel fits than was agreed", "ask the client, then say who said yes to it"
        )
        return
    if not given.who.strip():
        yield Problem("who", "nobody is named", "say who said yes to it")
    if not given.how:
        yield Problem("how", "it is not said how", "choose one")
    if given.said_on is None or not given.taped_on <= given.said_on <= today:
        yield Problem("said_on", "this day is not between the taping and today", "give the day of saying it")


def _save_design(commission: Commission, sent: OptionSent, by: User | None) -> None:
    """A fixed seam that the panel has no place for is not in it."""
    design = sent.estimate.brief.design
    for option in commission.options.filter(letter=sent.letter):
        if not DESIGN.same(option.design, DESIGN.write(design)):
            note_change(option, design, by)
            option.design = DESIGN.write(design)
            option.save(update_fields=["design"])


def _save_space(row: SpaceRow, space: Space, given: Taped, by: User | None, today: date) -> None:
    row.document = SPACE.write(space)
    row.typed = {"widths_mm.0": given.width.strip(), "heights_mm.0": given.height.strip()}
    row.measured_by, row.measured_on = by.display_name if by else "", given.taped_on
    row.touch(
        (f"space.{name}" for name in ("widths_mm.0", "heights_mm.0", "width_origin", "height_origin")), by
    )
    row.save()
    reprice_in(row, today)
