"""Working days: the studio's weekdays less public holidays and days off."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

import holidays

from studio.making.shop import Calendar
from studio.memo import memo
from studio.problem import Refused

__all__ = ["WorkingDays", "working_days_of"]

DAY = timedelta(days=1)
HORIZON = timedelta(days=5 * 366)
"""A calendar that leads nowhere for this long leads nowhere."""


@dataclass(frozen=True)
class WorkingDays:
    """Public holidays are those of `country` and its `subdivision`; none where it is None."""

    weekdays: frozenset[int]
    days_off: frozenset[date]
    country: str | None
    subdivision: str | None

    def works(self, day: date) -> bool:
        """Whether the studio works on `day`."""
        return (
            day.isoweekday() in self.weekdays
            and day not in self.days_off
            and (not self.country or day not in _holidays(self.country, self.subdivision, day.year))
        )

    def since(self, day: date) -> Iterator[date]:
        """Working days from `day` on, itself included, for five years."""
        return (d for n in range(HORIZON.days) if self.works(d := day + n * DAY))

    def first(self, day: date) -> date:
        """The first working day on or after `day`. Raises Refused where five years have none."""
        found = next(self.since(day), None)
        if found is None:
            reason = "the studio works on no day of the five years that follow"
            raise Refused.because(
                "shop_state.working_days", reason, "at least one weekday that is no day off"
            )
        return found

    def between(self, start: date, end: date) -> int:
        """Working days after `start` up to and including `end`: `end` is `start` and so many working days."""
        return sum(self.works(start + n * DAY) for n in range(1, (end - start).days + 1))


def working_days_of(shop: Calendar) -> WorkingDays:
    """The calendar of a workshop. Raises Refused for a country or part of it that has no calendar of
    public holidays."""
    try:
        _holidays(shop.country, shop.subdivision, 2026)
    except NotImplementedError:
        raise _unknown(shop.country, shop.subdivision) from None
    return WorkingDays(
        frozenset(shop.working_days), frozenset(shop.days_off), shop.country, shop.subdivision or None
    )


def _unknown(country: str, subdivision: str | None) -> Refused:
    known = holidays.list_supported_countries(include_aliases=False)
    if country not in known:
        reason = f"no public holidays are known for “{country}”"
        return Refused.because(
            "shop_state.country", reason, "a two-letter country code (ISO 3166), such as GB"
        )
    reason = f"“{subdivision}” is no part of {country} with holidays of its own"
    some = f"one of {', '.join(known[country])}" if known[country] else "leave it out"
    return Refused.because("shop_state.subdivision", reason, some)


@memo
def _holidays(country: str, subdivision: str | None, year: int) -> frozenset[date]:
    return frozenset(holidays.country_holidays(country, subdiv=subdivision or None, years=year))
