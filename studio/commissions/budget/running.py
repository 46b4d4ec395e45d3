"""Budget searches that go on: each is gone on with for a moment by every request that asks for it, so that no
request waits long, and no other one waits at all.

They are kept in the process. Another process, or this one after its start, begins anew and comes to the same
answer.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from threading import Lock
from time import monotonic

from studio.commissions.estimating import Asked
from studio.document import digest
from studio.estimate.brief import Brief
from studio.estimate.budget import Budget, Finding, Found, looking
from studio.estimate.dates import dates_of
from studio.estimate.estimate import question_digest
from studio.estimate.priced import Made, Priced, price_up
from studio.making.shop import ShopState
from studio.memo import memo
from studio.pricing.rate_book import RateBook

__all__ = ["MOMENT_S", "Running", "running"]

MOMENT_S = 0.4
"""How long a request goes on with a search, but for the price that it is at then."""


@dataclass(frozen=True)
class _Sought(Asked):
    budget: Budget = field(compare=False)


class Running:
    """One search, as far as it has come. What was found last is kept, what was made on the way is not."""

    def __init__(self, asked: _Sought) -> None:
        self._asked, self._lock = asked, Lock()
        self._steps: Iterator[Found] | None = None
        self._latest: Found | None = None
        self._held_on: dict[Finding, date] = {}

    def go_on(self, seconds: float) -> Found:
        """What is known after so long, or when the search is over. Raises Refused where the option has no
        price."""
        with self._lock:
            until = monotonic() + seconds
            while self._latest is None or not self._latest.over:
                self._latest = self._step()
                if monotonic() >= until:
                    break
            return self._latest

    def held_on(self, finding: Finding) -> date:
        """The day that holds, worked out once."""
        _, book, shop, on = self._asked.question
        if finding not in self._held_on:
            self._held_on[finding] = dates_of(finding.priced, book, shop, on).held_on
        return self._held_on[finding]

    def _step(self) -> Found:
        brief, book, shop, _ = self._asked.question
        if self._steps is None:
            made: Made = {}

            def pricer(brief: Brief) -> Priced:
                return price_up(brief, book, shop, made)

            self._steps = looking(brief, self._asked.budget, pricer)
        try:
            found = next(self._steps)
        except BaseException:
            self._steps = None  # whoever asks next hears the same
            raise
        if found.over:
            self._steps = None
        return found


def running(brief: Brief, budget: Budget, book: RateBook, shop: ShopState, on: date) -> Running:
    """The search for this question: the same one for all who ask it."""
    question = brief, book, shop, on
    return _kept(_Sought(f"{question_digest(*question)}/{digest(budget)}", question, budget))


@memo
def _kept(asked: _Sought) -> Running:
    return Running(asked)
