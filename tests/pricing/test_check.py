"""Rate books and terms that make no price: the field, what was found, what would be right."""

from dataclasses import replace
from decimal import Decimal

import pytest

from studio.document import dump, parse
from studio.making.equipment import Filament, Printer
from studio.pricing.asked import asked
from studio.pricing.price import price
from studio.pricing.quantities import Parcel
from studio.pricing.rate_book import Carrier, Deposit, Operation, RateBook
from studio.pricing.tax import heading_taxes
from studio.pricing.terms import Discount, Terms
from studio.problem import Problem, Refused
from tests.pricing.by_hand import a_book, quantities

D = Decimal
PANEL = quantities(grams={"Tea": ("100", "2", "3")}, minutes={"Small bed": "60"})


def refused(book: RateBook, terms: Terms) -> tuple[Problem, ...]:
    with pytest.raises(Refused) as caught:
        price(PANEL, book, terms)
    return caught.value.problems


def discount(kind, value) -> Terms:
    return Terms(discount=Discount(kind=kind, value=D(value), reason="a trial"))


SWAP = Operation(code="swap", text="Swapping", role="maker", minutes=None, per="plate")


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"filaments": (Filament(name="Moss", colour="#6b7a45"),)}, "rate_book.filaments", "uses Tea"),
        (
            {"filaments": (Filament(name="Tea", colour="#b98a5a"),)},
            "rate_book.filaments.Tea.price_per_spool",
            "no price yet",
        ),
        ({"filaments": a_book().filaments * 2}, "rate_book.filaments", "Tea is there 2 times"),
        ({"operations": a_book().operations * 3}, "rate_book.operations", "make is there 3 times"),
        ({"printers": (Printer(name="Other"),)}, "rate_book.printers", "plates are on Small bed"),
        (
            {"printers": (Printer(name="Small bed", purchase=D(5), scrap_value=D(6)),)},
            "rate_book.printers.Small bed.scrap_value",
            "above the purchase price 5",
        ),
        ({"roles": {"designer": D(20)}}, "rate_book.operations.make.role", "no role maker"),
        (
            {"operations": (replace(a_book().operations[0], minutes=None),)},
            "rate_book.operations.make.minutes",
            "nothing is given",
        ),
        (
            {"operations": (SWAP, replace(SWAP, code="again"))},
            "rate_book.operations.again.minutes",
            "those of Swapping already",
        ),
        ({"quoting_role": "clerk"}, "rate_book.quoting_role", "no role clerk"),
        ({"deposits": (Deposit(text="All", percent=D(90)),)}, "rate_book.deposits", "make 90 %"),
        ({"basis_percent": D(100)}, "rate_book.basis_percent", "take 100 %"),
        ({"basis_percent": D(88), "card_percent": D(10)}, "rate_book.basis_percent", "take 100 %"),
        ({"rounding_step": D("0.005")}, "rate_book.rounding_step", "smallest amount"),
        (
            {"rounding_step": D(1), "rounding_ending": D("0.995")},
            "rate_book.rounding_ending",
            "smallest amount",
        ),
        ({"rounding_ending": D("0.99")}, "rate_book.rounding_ending", "larger step than 0"),
        (
            {"rounding_step": D(1), "rounding_ending": D(1)},
            "rate_book.rounding_ending",
            "larger step than 1",
        ),
        ({"heading_tax": {"delivery": "none"}}, "rate_book.heading_tax.delivery", "no tax category none"),
        ({"heading_tax": {"tea": "standard"}}, "rate_book.heading_tax.tea", "no heading tea"),
        ({"currency": "ZZZ"}, "rate_book.currency", "no currency in use"),
    ],
)
def test_a_rate_book_that_makes_no_price(changes, field, says) -> None:
    terms = Terms(currency=changes.get("currency", "GBP"))
    (problem,) = refused(a_book(**changes), terms)
    assert problem.field == field
    assert says in problem.reason
    assert problem.remedy


@pytest.mark.parametrize(
    ("terms", "field"),
    [
        (Terms(currency="EUR"), "brief.terms.currency"),
        (Terms(tax="reduced"), "brief.terms.tax"),
        (discount("percent", 100), "brief.terms.discount.value"),
        (discount("percent", "100.01"), "brief.terms.discount.value"),
        (discount("amount", 10**9), "brief.terms.discount.value"),
    ],
)
def test_terms_that_make_no_price(terms, field) -> None:
    assert [problem.field for problem in refused(a_book(), terms)] == [field]


def test_a_parcel_that_no_row_takes_is_told_at_the_choice() -> None:
    """Once for equal parcels; too long by 0.01 mm, or too heavy by 0.01 g."""
    row = Carrier(text="Parcel", up_to_mm=1200, up_to_g=2000, price=D(16))
    long, heavy, fits = Parcel(1200.01, 10.0), Parcel(900.0, 2000.01), Parcel(1200.0, 2000.0)
    sent = replace(PANEL, parcels=(long, long, fits, heavy))
    with pytest.raises(Refused) as caught:
        price(sent, a_book(carrier=(row,)), Terms(delivery="sent by carrier"))
    assert [problem.field for problem in caught.value.problems] == 2 * ["brief.terms.delivery"]
    whole = replace(PANEL, parcels=(fits,))
    assert price(whole, a_book(carrier=(row,)), Terms(delivery="sent by carrier")).net > 0


def test_a_discount_just_below_the_price_is_the_studios_business() -> None:
    whole = price(PANEL, a_book(), Terms()).gross
    assert price(PANEL, a_book(), discount("amount", whole - D("0.01"))).gross == D("0.01")


def test_shares_alone_can_take_everything_under_markup() -> None:
    book = a_book(basis="markup", basis_percent=D(200), referral_percent=D(60), card_percent=D(40))
    (problem,) = refused(book, Terms(referral=True))
    assert problem.field == "rate_book.card_percent"
    assert price(PANEL, book, Terms()).net > 0  # without the referral there is a price


def test_every_problem_is_named_at_once() -> None:
    book = a_book(roles={}, deposits=(Deposit(text="All", percent=D(50)),))
    fields = {problem.field for problem in refused(book, Terms(tax="none"))}
    assert fields == {
        "rate_book.operations.make.role",
        "rate_book.quoting_role",
        "brief.terms.tax",
        "rate_book.deposits",
    }


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("overhead_per_hour", "-1"),
        ("basis_percent", "501"),
        ("currency", "pounds"),
        ("tax", [{"code": "standard", "text": "VAT", "percent": "2000"}]),
        ("roles", {"maker": "-18"}),
        ("deposits", []),
        ("heading_tax", {"tea": "standard"}),
        ("heading_tax", {"delivery": "no code"}),
        ("deposit_is_tax_point", "perhaps"),
    ],
)
def test_numbers_out_of_range_are_refused_where_the_document_is_read(key, value) -> None:
    with pytest.raises(Refused) as caught:
        parse(RateBook, dump(a_book()) | {key: value})
    assert caught.value.problems[0].field.startswith(key)


def test_a_role_that_nobody_uses_does_no_harm() -> None:
    book = replace(a_book(), roles={"maker": D(10), "designer": D(0), "spare": D(1)})
    assert price(PANEL, book, Terms()).net > 0


def test_a_price_beyond_all_panels_is_a_slip() -> None:
    """A cost of 100 at a margin of 99.9999 % gives 10^8, one of a million gives 10^12, the most there is."""
    book = a_book(basis_percent=D("99.9999"))
    assert asked({"panel": D(100)}, heading_taxes(book, Terms()), book, Terms()).target == 10**8
    with pytest.raises(Refused) as refused:
        asked({"panel": D(1_000_001)}, heading_taxes(book, Terms()), book, Terms())
    assert refused.value.problems[0].field == "rate_book"
