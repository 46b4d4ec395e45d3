"""A month in the simulated studio with every test, ten years of it in `make hunt`."""

from collections.abc import Callable
from datetime import date, datetime

import pytest
from django.db import transaction
from django.utils import timezone

from studio.people.models import User
from studio.proposals import issuing
from tests.proposals.rendered import render_once
from tests.year.base import Kept
from tests.year.checks import faults
from tests.year.studio_year import Year

pytestmark = pytest.mark.django_db
MONDAY = date(2027, 1, 4)
SEEDS = range(1, 11)

Begin = Callable[..., Year]


@pytest.fixture
def begin(owner: User, monkeypatch: pytest.MonkeyPatch) -> Begin:
    """A studio on a Monday; what reads the time reads the simulation's."""
    now = [timezone.now()]
    monkeypatch.setattr(timezone, "now", lambda: now[0])

    def set_clock(moment: datetime) -> None:
        now[0] = moment

    return lambda seed, **more: Year(seed, owner, MONDAY, set_clock, **more)


def test_a_month(begin: Begin, monkeypatch: pytest.MonkeyPatch) -> None:
    render_once(monkeypatch)
    month = begin(3, rings_a_day=0.3)
    month.run(30)
    assert faults(month) == []
    assert month.yeses >= 2


@pytest.mark.hunt
def test_ten_years(begin: Begin, monkeypatch: pytest.MonkeyPatch) -> None:
    """Final days hold in 9 of 10, as promised."""
    monkeypatch.setattr(issuing, "render_pdf", lambda *_: b"%PDF-1.7 of a simulated year")
    kept, told, found = list[Kept](), list[str](), list[str]()
    for seed in SEEDS:
        with transaction.atomic():
            year = begin(seed)
            year.run(365)
            kept += year.kept
            told.append(year.told())
            found += [f"seed {seed}, {fault}" for fault in faults(year)]
            transaction.set_rollback(True)
    assert not found, "\n".join(found)
    share = sum(each.held for each in kept) / len(kept)
    assert 0.85 <= share <= 0.95, "\n".join(told)
