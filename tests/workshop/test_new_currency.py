"""Another currency is another rate book: no amount is taken over, and none counts as the studio's own."""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Annotated, Any, get_args, get_origin, get_type_hints

import pytest
from django.test import Client as Browser

from studio.making import equipment
from studio.pricing import rate_book
from studio.pricing.example_rates import example_rate_book
from studio.problem import Refused
from studio.workshop.books import current_book, save_book
from studio.workshop.clock import today
from studio.workshop.models import RateBookRevision
from studio.workshop.new_currency import in_currency
from studio.workshop.set_on import examples, rates_of
from tests.two_tabs import fields_of

MONEY = (rate_book.Money, equipment.Money)


def amounts(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """All that is declared as money, wherever it lies in a document."""
    if is_dataclass(value):
        hints = get_type_hints(type(value), include_extras=True)
        for each in fields(value):
            hint, part = hints[each.name], getattr(value, each.name)
            if is_money(hint):
                parts = part.items() if isinstance(part, dict) else [("", part)]
                yield from ((f"{path}{each.name}.{name}", amount) for name, amount in parts)
            else:
                yield from amounts(part, f"{path}{each.name}.")
    elif isinstance(value, tuple):
        for number, part in enumerate(value):
            yield from amounts(part, f"{path}{number}.")


def is_money(hint: Any) -> bool:
    inner = () if get_origin(hint) is Annotated else get_args(hint)
    return hint in MONEY or any(is_money(each) for each in inner)


def own_book() -> rate_book.RateBook:
    book = replace(example_rate_book(), day_weight=Decimal(40), rounding_ending=Decimal("0.99"))
    return replace(book, set_on=dict.fromkeys(rates_of(book), date(2026, 2, 1)))


def test_no_amount_is_taken_over():
    book = own_book()
    found = dict(amounts(book))
    assert {"roles.maker", "printers.1.purchase.", "carrier.0.price.", "minimum_charge."} <= found.keys()
    assert sum(1 for amount in found.values() if amount) > 30
    assert not any(dict(amounts(in_currency(book, "EUR"))).values())


def test_what_is_no_amount_stays_the_studios_own():
    book, new = own_book(), in_currency(own_book(), "EUR")
    assert (new.currency, new.hours, new.operations, new.tax) == (
        "EUR",
        book.hours,
        book.operations,
        book.tax,
    )
    left = {key.partition(".")[0] for key in examples(new)}
    assert left == {
        "filaments", "printers", "roles", "bought", "carrier", "lighting", "energy_per_kwh",
        "overhead_per_hour", "price",
    }  # fmt: skip


@pytest.mark.parametrize(("currency", "told"), [("XTS", "no currency in use"), ("GBP", "in GBP already")])
def test_no_currency_or_the_same_is_refused(currency, told):
    with pytest.raises(Refused, match=told):
        in_currency(own_book(), currency)


def start(browser: Browser, **typed: str):
    fields = fields_of(browser.get("/workshop/price/"), **typed)
    return browser.post("/workshop/price/new-currency/", fields, follow=True)


def test_a_new_book_is_started_on_the_price_page(signed_in: Browser):
    book = current_book(today())[1]
    save_book(book, None, today(), frozenset(rates_of(book)))
    ahead = today() + timedelta(days=9)
    answer = start(signed_in, new_currency=" eur", effective_from=ahead.isoformat())
    assert answer.redirect_chain == [(f"/workshop/filaments/?on={ahead.isoformat()}", 302)]
    page = answer.content.decode()
    assert "A new rate book in EUR holds from" in page
    assert "Amounts are in EUR." in page
    assert current_book(today())[1].currency == "GBP"
    new = current_book(ahead)[1]
    assert (new.currency, new.filaments[0].price_per_spool, new.roles["maker"]) == ("EUR", None, 0)
    assert "roles.maker" in examples(new)


@pytest.mark.parametrize(
    ("changed", "told"),
    [({"new_currency": "florins"}, "is no currency in use"), ({"new_currency": ""}, "is no currency in use"),
     ({"effective_from": "soon"}, "is no date")],
)  # fmt: skip
def test_a_slip_leaves_the_book_and_what_was_typed(signed_in: Browser, changed, told):
    answer = start(signed_in, **{"new_currency": "EUR", "card_percent": "2.75", **changed})
    page = answer.content.decode()
    assert (answer.status_code, RateBookRevision.objects.count()) == (422, 1)
    assert told in page
    assert 'value="2.75"' in page


def test_saving_the_page_changes_no_currency(signed_in: Browser):
    typed = fields_of(signed_in.get("/workshop/price/"), currency="EUR", card_percent="2")
    assert signed_in.post("/workshop/price/", typed).status_code == 302
    assert (current_book(today())[1].currency, current_book(today())[1].card_percent) == ("GBP", 2)
