"""What the options and terms of a sold commission were before a variation, and putting them back: the options
of a commission that is sold are those that were sold."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from studio.commissions.models import Commission, Option, OptionChange
from studio.people.models import User

__all__ = ["keep_before", "put_back"]

OF_AN_OPTION = (
    "letter", "design", "rate_book_id", "currency", "net_minor", "gross_minor", "ready_on", "digest",
)  # fmt: skip


def keep_before(commission: Commission) -> None:
    """Open the options to change, keeping what they were. Not saved."""
    options = Option.objects.filter(commission=commission)
    commission.before_variation = {
        "terms": commission.terms,
        "options": {str(option.pk): _values(option) for option in options},
    }


def put_back(commission: Commission, by: User | None, now: datetime) -> None:
    """The options and terms as they were kept: what came since is removed, what was changed gets its design
    back as a change of its own. The commission itself is not saved."""
    kept = commission.before_variation
    if kept is None:
        raise TypeError("nothing is kept")
    commission.before_variation, commission.terms = None, kept["terms"]
    Option.objects.filter(commission=commission).update(removed_at=now)  # letters may have moved
    for option in Option.every.filter(commission=commission, pk__in=map(int, kept["options"])):
        _back(option, kept["options"][str(option.pk)], by)


def _values(option: Option) -> dict[str, Any]:
    values = {name: getattr(option, name) for name in OF_AN_OPTION}
    return {**values, "ready_on": option.ready_on and option.ready_on.isoformat()}


def _back(option: Option, values: Mapping[str, Any], by: User | None) -> None:
    if option.design != values["design"]:
        last = option.changes.order_by("-sequence").values_list("sequence", flat=True).first() or 0
        OptionChange.objects.create(option=option, sequence=last + 1, design=values["design"], by=by)
    for name in OF_AN_OPTION:
        setattr(option, name, values[name])
    option.ready_on = date.fromisoformat(values["ready_on"]) if values["ready_on"] else None
    option.removed_at, option.revision = None, option.revision + 1
    option.save()
