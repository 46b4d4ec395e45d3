"""What the options, terms and space of a sold commission were before a variation, and putting them back: the
options of a commission that is sold are those that were sold."""

from collections.abc import Iterable
from dataclasses import fields
from datetime import datetime

from django.utils import timezone

from studio.clients.space_form import space_words
from studio.commissions.entries import write_entry
from studio.commissions.estimating import reprice_in
from studio.commissions.models import Commission, Entry, Option, OptionChange
from studio.commissions.own_space import own_space
from studio.people.models import User
from studio.stored.before import Before, OptionBefore
from studio.stored.kinds import BEFORE, DESIGN, SPACE
from studio.voice import PLAIN

__all__ = ["forget_words", "keep_before", "put_back"]

NAMES = [field.name for field in fields(OptionBefore)]


def keep_before(commission: Commission) -> None:
    """Open the options to change, keeping what they were. Not saved."""
    options, space = Option.objects.filter(commission=commission), commission.space
    commission.before_variation = BEFORE.write(
        Before(
            terms=commission.terms,
            options={
                str(each.pk): OptionBefore(**{name: getattr(each, name) for name in NAMES})
                for each in options
            },
            space=space.document,
            typed=space.typed_texts,
            measured_by=space.measured_by,
            measured_on=space.measured_on,
        )
    )


def put_back(commission: Commission, together: Iterable[Commission], by: User | None, now: datetime) -> None:
    """The options, terms and space as they were kept: what came since is removed, what was changed gets its
    design back as a change of its own. `together` are the commissions in its space, locked. The commission
    itself is not saved. Raises Unreadable, and does nothing, where what was kept is damaged."""
    kept = BEFORE.read(commission.before_variation)
    commission.before_variation, commission.terms = None, kept.terms
    _space_back(commission, kept, together, by, now)
    Option.objects.filter(commission=commission).update(removed_at=now)  # letters may have moved
    for option in Option.every.filter(commission=commission, pk__in=filter(str.isdecimal, kept.options)):
        _back(option, kept.options[str(option.pk)], by)


def forget_words(commission: Commission, instead: str) -> None:
    """A person goes: what was kept holds no words of or about them. Not saved."""
    kept = commission.before_variation
    if isinstance(kept, dict):
        kept |= {"typed": {}, "measured_by": ""}
    for terms in (commission.terms, kept.get("terms") if isinstance(kept, dict) else None):
        if isinstance(terms, dict) and isinstance(terms.get("discount"), dict):
            terms["discount"]["reason"] = instead


def _space_back(
    commission: Commission, kept: Before, together: Iterable[Commission], by: User | None, now: datetime
) -> None:
    """The figures of others in it follow; under a panel that was sold for it meanwhile it stays, and this one
    gets a space of its own. What it was for the variation is said, since somebody may have measured it."""
    varied = commission.space
    if kept.space is None or SPACE.same(kept.space, varied.document):
        return
    told = f"For a variation the space was {space_words(varied, PLAIN)}. "
    space = own_space(commission, together)
    if space.pk == varied.pk:
        told += "It is again what it was when this was sold."
    else:
        told += "It stays so for the panel that was sold for it; this one has a space of its own again."
    changed = (name for name in kept.space if kept.space[name] != space.document.get(name))
    space.touch((f"space.{name}" for name in changed), by)
    space.document, space.typed = kept.space, kept.typed
    space.measured_by, space.measured_on = kept.measured_by, kept.measured_on
    space.save()
    reprice_in(space, timezone.localdate(now))
    write_entry(commission, told, by, kind=Entry.Kind.EVENT, at=now)


def _back(option: Option, before: OptionBefore, by: User | None) -> None:
    if not DESIGN.same(option.design, before.design):
        last = option.changes.order_by("-sequence").values_list("sequence", flat=True).first() or 0
        OptionChange.objects.create(option=option, sequence=last + 1, design=before.design, by=by)
    for name in NAMES:
        setattr(option, name, getattr(before, name))
    option.removed_at, option.revision = None, option.revision + 1
    option.save()
