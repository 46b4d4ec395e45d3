"""Prices whose lines have different taxes, by hand and on the public examples of EN 16931 (examples 2 and 5
of the electronic invoicing validation artefacts)."""

from decimal import Decimal

import pytest

from studio.pricing.price import price
from studio.pricing.rate_book import Operation, TaxCategory
from studio.pricing.sheet import PriceSheet
from studio.pricing.tax import heading_taxes
from studio.pricing.terms import Discount, Terms
from tests.pricing.by_hand import a_book, quantities

D = Decimal
PERS = {"panel": "commission", "light": "lit panel", "delivery": "delivery"}


def sheet(
    amounts: dict[str, str], percents: dict[str, int], currency="GBP", terms=None, **changes
) -> PriceSheet:
    """`amounts` are what the headings cost, sold without margin; `percents` are their taxes, of which the
    first is also the commission's."""
    codes = {percent: f"rate-{percent}" for percent in percents.values()}
    book = a_book(
        "1",
        currency=currency,
        basis_percent=D(0),
        operations=tuple(
            Operation(code=heading, text=heading, role="maker", minutes=60 * D(amount), per=PERS[heading])
            for heading, amount in amounts.items()
        ),
        tax=tuple(TaxCategory(code=code, text=code, percent=D(p)) for p, code in codes.items()),
        heading_tax={heading: codes[percent] for heading, percent in percents.items()},
        **changes,
    )
    terms = terms or Terms(currency=currency, client_kind="business", tax=next(iter(codes.values())))
    return price(quantities(lit_panel=1, delivery=1), book, terms)


def taxes(found: PriceSheet) -> list[tuple[Decimal, Decimal, Decimal]]:
    return [(line.percent, line.net, line.tax) for line in found.taxes]


def off(value: str, kind="business", **more) -> Terms:
    discount = Discount(kind="amount", value=D(value), reason="a trial")
    return Terms(client_kind=kind, discount=discount, tax="rate-20", **more)


def test_one_rate_with_its_half_rounded_up() -> None:
    """EN 16931 public example 2: 1460.50 at 25 % is 365.125, rounded to 365.13."""
    found = sheet({"panel": "1460.50"}, {"panel": 25}, "NOK")
    assert taxes(found) == [(25, D("1460.50"), D("365.13"))]


def test_two_rates_and_an_exempt_line() -> None:
    """EN 16931 public example 2, its three categories: bases 1460.50, 1.00 and 25.00 exempt (there −25.00:
    our lines are never negative), so net is 50.00 more and tax is the same 365.28."""
    found = sheet(
        {"panel": "1460.50", "light": "1.00", "delivery": "25.00"},
        {"panel": 25, "light": 15, "delivery": 0},
        "NOK",
    )
    assert taxes(found) == [(25, D("1460.50"), D("365.13")), (15, 1, D("0.15")), (0, 25, 0)]
    assert (found.net, found.tax, found.gross) == (D("1486.50"), D("365.28"), D("1851.78"))


def test_a_deposit_of_half_over_two_rates() -> None:
    """EN 16931 public example 5: 1500.00 at 25 % and 2500.00 at 12 %, half of 4675.00 prepaid."""
    found = sheet({"panel": "1500", "light": "2500"}, {"panel": 25, "light": 12}, "DKK")
    assert taxes(found) == [(25, 1500, 375), (12, 2500, 300)]
    assert found.gross == D("4675.00")
    for part in found.deposits:
        assert (part.gross, part.net, part.tax) == (D("2337.50"), D("2000.00"), D("337.50"))
        assert [(line.percent, line.net, line.tax) for line in part.taxes] == [
            (25, 750, D("187.50")),
            (12, 1250, D("150.00")),
        ]


def test_a_discount_is_given_off_each_rate_by_what_it_comes_to() -> None:
    """By hand: 100 off 900 at 20 % and 100 at 0 % are 90 and 10; tax is 20 % of 810."""
    found = sheet({"panel": "900", "delivery": "100"}, {"panel": 20, "delivery": 0}, terms=off("100"))
    assert [(line.code, line.amount, line.tax) for line in found.client_lines] == [
        ("panel", 900, "rate-20"),
        ("delivery", 100, "rate-0"),
        ("discount", -90, "rate-20"),
        ("discount", -10, "rate-0"),
    ]
    assert taxes(found) == [(20, 810, 162), (0, 90, 0)]
    assert sum(line.amount for line in found.lines if line.code == "discount") == -100


def test_a_discount_of_odd_pence_goes_by_the_largest_remainder() -> None:
    """By hand: 10.00 off 200 and 100 are 6.666… and 3.333…: 6.67 and 3.33. A consumer's is off 240 and 100
    with tax: 7.0588… and 2.9411…, so 7.06 and 2.94."""
    amounts, percents = {"panel": "200", "delivery": "100"}, {"panel": 20, "delivery": 0}
    for terms, shares in ((off("10"), ["-6.67", "-3.33"]), (off("10", "consumer"), ["-7.06", "-2.94"])):
        found = sheet(amounts, percents, terms=terms)
        assert [line.amount for line in found.client_lines if line.code == "discount"] == list(map(D, shares))


def test_a_discount_is_one_line_of_the_panels_category_where_all_have_one_rate() -> None:
    found = sheet({"panel": "900", "delivery": "100"}, {"panel": 20, "delivery": 20}, terms=off("100"))
    assert [(line.amount, line.tax) for line in found.client_lines if line.code == "discount"] == [
        (-100, "rate-20")
    ]


def test_a_rounding_is_one_line_of_the_panels_category() -> None:
    """By hand: 1000 is rounded up to 1200, and 200 more are the panel's."""
    found = sheet(
        {"panel": "900", "delivery": "100"},
        {"panel": 20, "delivery": 0},
        rounding_step=D(600),
        rounding_way="up",
    )
    assert [(line.amount, line.tax) for line in found.client_lines if line.code == "rounding"] == [
        (200, "rate-20"),
    ]
    assert taxes(found) == [(20, 1100, 220), (0, 100, 0)]


def test_gross_is_rounded_for_consumers_over_mixed_rates() -> None:
    """By hand: 900 at 20 % and 100 at 0 % are 1080 and 100 gross, and 20 more make 1200: of 1100 at 20 % the
    net is 916.67 (reverse percentage) and the tax the rest."""
    consumer = Terms(client_kind="consumer", tax="rate-20")
    found = sheet(
        {"panel": "900", "delivery": "100"},
        {"panel": 20, "delivery": 0},
        terms=consumer,
        rounding_step=D(200),
    )
    assert [(line.code, line.amount) for line in found.client_lines] == [
        ("panel", 1080),
        ("delivery", 100),
        ("rounding", 20),
    ]
    assert (found.net, found.tax, found.gross) == (D("1016.67"), D("183.33"), D("1200.00"))
    assert taxes(found) == [(20, D("916.67"), D("183.33")), (0, 100, 0)]


def test_card_fees_are_priced_by_the_rate_of_each_line() -> None:
    """By hand, no margin, card 10 %: panel 880/(1 − 0.1 × 1.2) = 1000 and delivery 90/(1 − 0.1) = 100 are
    1100 net and 1300 gross, of which the card takes 130 and leaves the 970 that both cost. So they solve
    970/(1 − 0.1 × (1 + mean rate)) with the mean rate of the lines, 200/1100."""
    found = sheet({"panel": "880", "delivery": "90"}, {"panel": 20, "delivery": 0}, card_percent=D(10))
    assert [line.amount for line in found.client_lines] == [1000, 100]
    assert (found.net, found.gross, found.margin_percent) == (1100, 1300, 0)
    (card,) = (line.amount for line in found.lines if line.code == "card")
    assert card == 130


def test_tax_on_every_line_takes_discounts_as_lines() -> None:
    """By hand at 5 %: 0.30 less 0.10 is 0.20 with 0.01 tax; by line 0.015 and −0.005 are 0.02 and −0.01."""
    terms = Terms(
        client_kind="business",
        tax="rate-5",
        discount=Discount(kind="amount", value=D("0.10"), reason="a trial"),
    )
    plain = ({"panel": "0.30"}, {"panel": 5})
    assert sheet(*plain, terms=terms, tax_rounding="per category").tax == D("0.01")
    assert taxes(sheet(*plain, terms=terms, tax_rounding="per line")) == [(5, D("0.20"), D("0.01"))]


@pytest.mark.parametrize(
    ("tax", "light"), [("rate-20", "rate-0"), ("rate-0", "rate-0"), ("rate-5", "rate-5")]
)
def test_headings_have_their_own_tax_where_the_commission_has_the_first(tax: str, light: str) -> None:
    categories = tuple(TaxCategory(code=f"rate-{p}", text="Tax", percent=D(p)) for p in (20, 5, 0))
    book = a_book(tax=categories, heading_tax={"light": "rate-0"})
    found = heading_taxes(book, Terms(tax=tax))
    assert (found["light"].code, found["panel"].code) == (light, tax)
