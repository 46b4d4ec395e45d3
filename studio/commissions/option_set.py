"""The options of a commission: added, taken away, brought back, undone."""

from datetime import date

from django.db import transaction
from django.utils import timezone

from studio.commissions.closed import refuse_closed
from studio.commissions.estimating import design_of, note_change, reprice, save_design
from studio.commissions.locks import locked_commission
from studio.commissions.models import LETTERS, Commission, Option, OptionChange
from studio.people.models import User
from studio.problem import Refused
from studio.stored.kinds import DESIGN

__all__ = ["add_option", "bring_back", "change_before", "options_of", "remove_option", "undo"]


def options_of(commission: Commission) -> tuple[list[Option], list[str]]:
    """The standing options in order of their letters, and under which letters removed ones can come back."""
    every = list(Option.every.filter(commission=commission).select_related("rate_book"))
    for each in every:
        each.commission = commission  # asked for once
    return [each for each in every if not each.removed_at], sorted({o.letter for o in every if o.removed_at})


def add_option(source: Option, by: User | None, on: date) -> Option:
    """A copy of an option, at the same rates, under the first free letter. Raises Refused when all four are
    there."""
    with transaction.atomic():
        refuse_closed(locked_commission(source.commission_id))
        letter, design = _free_letters(source.commission)[0], design_of(source)
        option = Option(
            commission=source.commission, letter=letter, design=source.design, rate_book=source.rate_book
        )
        reprice(option, on)
        option.save()
        note_change(option, design, by)
    return option


def _free_letters(commission: Commission) -> list[str]:
    taken = set(commission.options.values_list("letter", flat=True))
    free = [letter for letter in LETTERS if letter not in taken]
    if not free:
        raise Refused.because("options", "there are four options already", "remove one first")
    return free


def remove_option(option: Option) -> None:
    """Out of sight, with its history, until it is brought back. Raises Refused for the last one: a commission
    has at least one option."""
    with transaction.atomic():
        refuse_closed(locked_commission(option.commission_id))
        if option.commission.options.count() == 1:
            raise Refused.because("options", "this is the only option", "change its words instead")
        option.removed_at = timezone.now()
        option.save(update_fields=["removed_at"])


def bring_back(commission: Commission, letter: str, on: date) -> Option:
    """The option removed last under a letter, under another one if that is taken, with the space and terms as
    they are now. Raises Refused when none is there, or when there are four options."""
    with transaction.atomic():
        refuse_closed(locked_commission(commission.pk))
        removed = Option.every.filter(commission=commission, letter=letter).exclude(removed_at=None)
        option = removed.select_related("commission__space", "rate_book").order_by("-removed_at").first()
        if option is None:
            raise Refused.because(
                "options", f"no option {letter} is removed", "go on with those that are here"
            )
        free = _free_letters(commission)
        option.letter = letter if letter in free else free[0]
        option.removed_at, option.revision = None, option.revision + 1
        reprice(option, on)
        option.save()
    return option


def undo(option: Option, revision: int, by: User | None, on: date) -> None:
    """Go back by one change of the design; once more goes back further. Raises Refused when there is none,
    and Stale when the option is no longer at `revision`: another step would be undone than the one that was
    read."""
    refuse_closed(option.commission)
    target = change_before(option)
    if target is None:
        raise Refused.because("options", "nothing is left to undo", "go on from here")
    save_design(option, DESIGN.read(target.design), revision, by, on, back_to=target.sequence)


def change_before(option: Option) -> OptionChange | None:
    """The last change before the one that the option is at that can be read, undone ones passed over."""
    changes = {change.sequence: change for change in option.changes.all()}
    if not changes:
        return None
    at = _real(changes, max(changes))
    earlier = (changes[_real(changes, sequence)] for sequence in range(at - 1, 0, -1))
    return next((each for each in earlier if DESIGN.readable(each.design)), None)


def _real(changes: dict[int, OptionChange], sequence: int) -> int:
    """Where the design of a change was first made: an undo made none of its own."""
    return changes[sequence].back_to or sequence
