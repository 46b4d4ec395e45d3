"""Rate books in time: whole, append-only, each rate with the day on which the studio set it."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from studio.making.shop import Calendar, ShopState
from studio.people.models import User
from studio.pricing.example_rates import example_rate_book
from studio.workshop.books import current_book, later_books, save_book
from studio.workshop.models import RateBookRevision, ShopRevision
from studio.workshop.set_on import examples, rates_of, with_days
from studio.workshop.shop import current_shop, write_calendar

DAY = date(2026, 3, 2)


def test_first_use_has_the_example_rates(db: None) -> None:
    revision, book = current_book(DAY)
    assert book == example_rate_book()
    assert len(examples(book)) == len(rates_of(book))
    assert current_book(DAY)[0] == revision


def test_the_latest_start_holds(owner: User) -> None:
    book = current_book(DAY)[1]
    save_book(replace(book, spares_percent=Decimal(3)), owner, DAY)
    save_book(replace(book, spares_percent=Decimal(4)), owner, DAY)
    save_book(replace(book, spares_percent=Decimal(5)), owner, DAY + timedelta(days=7))
    held = [current_book(DAY + timedelta(days=days))[1].spares_percent for days in (-1, 0, 6, 7)]
    assert held == [2, 4, 4, 5]


def test_rates_saved_ahead_hold_from_their_own_day(owner: User) -> None:
    book = current_book(DAY)[1]
    save_book(replace(book, spares_percent=Decimal(5)), owner, DAY + timedelta(days=7))
    save_book(replace(book, spares_percent=Decimal(6)), owner, DAY + timedelta(days=7))
    save_book(replace(book, spares_percent=Decimal(3)), owner, DAY)
    held = [current_book(DAY + timedelta(days=days))[1].spares_percent for days in (0, 6, 7)]
    assert held == [3, 3, 6]
    assert [later.effective_from for later in later_books(DAY)] == [DAY + timedelta(days=7)]


def test_revisions_are_kept_as_they_were(owner: User) -> None:
    save_book(current_book(DAY)[1], owner, DAY)
    write_calendar(Calendar(), owner)
    for model in (RateBookRevision, ShopRevision):
        with pytest.raises(IntegrityError), transaction.atomic():
            model.objects.update(sha256="0" * 64)
        with pytest.raises(IntegrityError), transaction.atomic():
            model.objects.all()._raw_delete("default")


def test_the_newest_shop_counts(owner: User) -> None:
    assert current_shop(DAY) == ShopState()
    write_calendar(Calendar(curing_days=2), owner)
    write_calendar(Calendar(curing_days=3), owner)
    assert current_shop(DAY).curing_days == 3


def test_changed_rates_get_the_day_and_examples_stay_examples() -> None:
    before = example_rate_book()
    tea, *others = before.filaments
    book = replace(
        before, filaments=(replace(tea, price_per_spool=Decimal(25)), *others), card_percent=Decimal(2)
    )
    dated = with_days(book, before, DAY, frozenset())
    assert dated.set_on == {"filaments.Tea": DAY, "price": DAY}
    later = with_days(replace(dated, spares_percent=Decimal(3)), dated, DAY + timedelta(days=9), frozenset())
    assert later.set_on == {"filaments.Tea": DAY, "price": DAY, "spares_percent": DAY + timedelta(days=9)}


def test_rates_can_be_taken_over_as_they_are() -> None:
    before = example_rate_book()
    dated = with_days(before, before, DAY, frozenset({"roles.maker"}))
    assert dated.set_on == {"roles.maker": DAY}
    again = with_days(before, dated, DAY + timedelta(days=1), frozenset({"roles.maker"}))
    assert again.set_on == {"roles.maker": DAY}


def test_a_new_filament_is_the_studios_own_and_a_dropped_one_is_gone() -> None:
    before = example_rate_book()
    plum = replace(before.filaments[0], name="Plum")
    dated = with_days(replace(before, filaments=(plum,)), before, DAY, frozenset())
    assert dated.set_on == {"filaments.Plum": DAY}
    assert "filaments.Tea" not in examples(dated)
