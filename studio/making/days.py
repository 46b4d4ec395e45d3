"""The working days ahead on one line of minutes that pass, clock changes included."""

from bisect import bisect_left
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from studio.making.shop import ShopState
from studio.making.working_days import DAY, WorkingDays
from studio.memo import memo
from studio.problem import Refused

__all__ = ["Days", "zone_of"]

MINUTE = timedelta(minutes=1)


class Days:
    """Working days from `starts_on`, which is number 0, for as long as `calendar` looks ahead.

    Minutes are those that pass from midnight before `starts_on`: the night on which clocks go forward has 60
    fewer. Opening and closing are the workshop's clock hours.
    """

    def __init__(self, calendar: WorkingDays, starts_on: date, shop: ShopState) -> None:
        self.starts_on = starts_on
        self._ahead: Iterator[date] = calendar.since(starts_on)
        self._zone = zone_of(shop)
        self._hours = shop.attended_from_hour, shop.attended_to_hour
        self._zero = datetime.combine(starts_on, time(), self._zone).astimezone(UTC)
        self.dates: list[date] = []
        self.opening: list[float] = []
        self.closing: list[float] = []

    def reach(self, number: int) -> bool:
        """Whether there is a day of this number; it is known from then on."""
        while len(self.dates) <= number:
            if (day := next(self._ahead, None)) is None:
                return False
            self._add(day)
        return True

    def on_or_after(self, day: date) -> int | None:
        """The number of the first working day that is not before `day`, None beyond the last."""
        while not self.dates or self.dates[-1] < day:
            if not self.reach(len(self.dates)):
                return None
        return bisect_left(self.dates, day)

    def clock(self, minutes: float) -> datetime:
        """What the workshop's clock shows, without a zone."""
        return (self._zero + minutes * MINUTE).astimezone(self._zone).replace(tzinfo=None, fold=0)

    def _add(self, day: date) -> None:
        self.dates.append(day)
        opens, closes = (self._at(day, hour) for hour in self._hours)
        self.opening.append(opens)
        self.closing.append(closes)

    def _at(self, day: date, hour: float) -> float:
        """Whole hours of the clock, then minutes: 24 is the midnight after."""
        clock = datetime.combine(day + int(hour) // 24 * DAY, time(int(hour) % 24), self._zone)
        return (clock.astimezone(UTC) - self._zero) / MINUTE + 60 * (hour % 1)


def zone_of(shop: ShopState) -> ZoneInfo:
    """Raises Refused for a time zone that nobody keeps."""
    try:
        return _zone(shop.time_zone)
    except (OSError, ValueError, KeyError):
        reason = f"no time zone is called “{shop.time_zone}”"
        raise Refused.because("shop_state.time_zone", reason, "a name such as Europe/London") from None


@memo
def _zone(name: str) -> ZoneInfo:
    return ZoneInfo(name)
