"""Prices that can be checked by hand."""

from datetime import date
from decimal import Decimal

import pytest

from studio.pricing.asked import target_price
from studio.pricing.price import price
from studio.pricing.rate_book import Deposit, Operation, TaxCategory
from studio.pricing.sheet import PriceLine, PriceSheet
from studio.pricing.terms import Discount, Terms
from tests.pricing.by_hand import a_book, quantities

D = Decimal
BUSINESS = Terms(client_kind="business")


def sheet(terms=BUSINESS, cost="65", counted=None, **changes) -> PriceSheet:
    return price(counted or quantities(), a_book(cost, **changes), terms)


def line(found: PriceSheet, code: str) -> PriceLine:
    return next(line for line in found.lines if line.code == code)


def off(kind, value) -> Terms:
    return Terms(
        client_kind="business", discount=Discount(kind=kind, value=D(value), reason="returning client")
    )


@pytest.mark.parametrize(
    ("cost", "basis", "percent", "expected"),
    [(75, "margin", 25, "100"), (100, "margin", 20, "125"), (40, "markup", 50, "60")],
)
def test_margin_is_a_share_of_the_price_and_markup_of_the_cost(cost, basis, percent, expected) -> None:
    """price = cost/(1 - margin) = cost × (1 + markup): printed solutions of a school mathematics page (the
    first two), the third by the same formula."""
    assert target_price(D(cost), basis, D(percent), D(0)) == D(expected)


def test_a_markup_of_50_is_a_margin_of_a_third() -> None:
    found = sheet(cost="40", basis="markup", basis_percent=D(50))
    assert (found.net, found.margin_percent) == (D("60.00"), D("33.33"))


def test_margin_is_over_all_that_takes_a_share_of_the_price() -> None:
    """Cost 1,400, margin 35 %, commission 15 %, card 2 % of a gross at 20 % tax, which is 2.4 % of net:
    1400/0.476 (the studio's own rule, by hand). Gross is 3529.42, and 2 % of it are 70.59."""
    terms = Terms(client_kind="business", referral=True)
    found = sheet(terms, cost="1400", referral_percent=D(15), card_percent=D(2))
    assert found.net == D("2941.18")
    assert line(found, "referral").amount == D("441.18")
    assert line(found, "card").amount == D("70.59")
    assert line(found, "margin").amount == D("1029.41")
    assert found.margin_percent == D("35.00")


def test_markup_is_over_the_shares_too() -> None:
    """Cost 100, markup 22 %, 2 % card: 122/0.976 = 125, which is 150 gross, of which 3 are the card's and 22
    are left."""
    found = sheet(cost="100", basis="markup", basis_percent=D(22), card_percent=D(2))
    assert (found.net, line(found, "card").amount, line(found, "margin").amount) == (125, 3, 22)


def test_card_fees_without_tax_are_of_the_net() -> None:
    """Cost 63 at 0 %: 63/(1 − 0.35 − 0.02) = 100, of which 2 are the card's."""
    zero = (TaxCategory(code="standard", text="Outside VAT", percent=D(0)),)
    found = sheet(cost="63", card_percent=D(2), tax=zero)
    assert (found.net, found.gross, line(found, "card").amount) == (100, 100, 2)


def test_card_fees_follow_what_is_paid() -> None:
    """Cost 62 at 35 % and a card of 2.5 % (3 % of net) sells at 100; brought up to 240 net it is 288 gross,
    and the card takes 7.20, which leaves 170.80; rounded to 300 for a consumer it takes 7.50."""
    least = sheet(cost="62", card_percent=D("2.5"), minimum_charge=D(240))
    assert (least.net, least.gross, line(least, "card").amount) == (240, 288, D("7.20"))
    assert least.margin_percent == D("71.17")  # 170.80 of 240
    rounded = sheet(
        Terms(),
        cost="62",
        card_percent=D("2.5"),
        minimum_charge=D(240),
        rounding_step=D(50),
        rounding_way="up",
    )
    assert (rounded.net, rounded.gross, line(rounded, "card").amount) == (250, 300, D("7.50"))


def test_no_referral_no_commission() -> None:
    assert sheet(referral_percent=D(15)).net == D("100.00")


def test_a_discount_restates_margin_and_shares() -> None:
    """Cost 65 sells at 100; 10 % off leaves 25 on 90. With a card fee of 2.5 % on gross the fee falls
    as well, from 3.00 to 2.70 of 108."""
    found = sheet(off("percent", 10))
    assert (found.net, found.margin_percent, line(found, "discount").amount) == (90, D("27.78"), D("-10.00"))
    card = sheet(off("amount", 10), cost="62", card_percent=D("2.5"))
    assert (card.net, line(card, "card").amount) == (90, D("2.70"))
    assert (line(card, "margin").amount, card.margin_percent) == (D("35.30"), D("28.11"))


@pytest.mark.parametrize(("kind", "value", "off"), [("percent", "10", "-12.00"), ("amount", "12", "-12.00")])
def test_a_consumers_discount_is_of_the_price_with_tax(kind, value, off) -> None:
    """100 net are 120; 10 % or 12 off leaves 108, of which 90 are net."""
    terms = Terms(discount=Discount(kind=kind, value=D(value), reason="returning client"))
    found = sheet(terms)
    assert (found.net, found.tax, found.gross) == (90, 18, 108)
    assert [(each.code, each.amount) for each in found.client_lines] == [("panel", 120), ("discount", D(off))]
    assert line(found, "discount").amount == -10


def test_a_discount_can_make_a_loss_and_says_so() -> None:
    assert sheet(off("percent", 50)).margin_percent == D("-30.00")


def test_minimum_charge_is_a_line() -> None:
    found = sheet(minimum_charge=D(240))
    assert (found.net, line(found, "minimum").amount) == (240, 140)
    assert found.margin_percent == D("72.92")
    assert "minimum" not in {line.code for line in sheet(minimum_charge=D(50)).lines}


@pytest.mark.parametrize(
    ("kind", "step", "way", "net", "gross"),
    [
        ("consumer", "50", "nearest", "83.33", "100.00"),
        ("consumer", "50", "up", "125.00", "150.00"),
        ("consumer", "0", "up", "100.00", "120.00"),
        ("business", "30", "nearest", "90.00", "108.00"),
        ("business", "30", "up", "120.00", "144.00"),
        ("business", "500", "nearest", "500.00", "600.00"),
        ("consumer", "99.99", "nearest", "83.33", "99.99"),
        ("business", "99.99", "nearest", "99.99", "119.99"),
    ],
)
def test_rounding_is_on_gross_for_consumers_and_on_net_for_businesses(kind, step, way, net, gross) -> None:
    """100 net and 120 gross before rounding, at 20 %. A price is never rounded to nothing (500). 99.99 is a
    consumer's price although no net has that gross by tax on net: 83.33 and 16.66 (check value M6)."""
    found = sheet(Terms(client_kind=kind), rounding_step=D(step), rounding_way=way)
    assert (str(found.net), str(found.gross)) == (net, gross)
    assert sum(line.amount for line in found.lines if line.code == "rounding") == D(net) - 100


@pytest.mark.parametrize(
    ("step", "ending", "way", "gross"),
    [
        ("1", "0.99", "nearest", "119.99"),
        ("1", "0.95", "up", "120.95"),
        ("10", "9.99", "nearest", "119.99"),
        ("100", "95", "nearest", "95.00"),
        ("100", "95", "up", "195.00"),
        ("500", "499", "nearest", "499.00"),
    ],
)
def test_a_consumers_price_may_have_an_ending(step, ending, way, gross) -> None:
    """Of 120: a step down and the ending on it, or the next one. A business's price has whole steps."""
    book = {"rounding_step": D(step), "rounding_ending": D(ending), "rounding_way": way}
    assert str(sheet(Terms(), **book).gross) == gross
    assert sheet(BUSINESS, **book).net % D(step) == 0


def test_tax_per_line_and_per_category() -> None:
    """Panel and delivery at 0.12 each: 12.5 % of 0.24 is 0.03, of 0.12 it is 0.015, which goes up twice. By
    hand."""
    counted = quantities(delivery=1)
    operations = tuple(
        Operation(code=code, text=code, role="maker", minutes=D(60), per=per)
        for code, per in (("make", "commission"), ("bring", "delivery"))
    )
    tax = (TaxCategory(code="standard", text="VAT", percent=D("12.5")),)
    plain = {"operations": operations, "tax": tax, "basis_percent": D(0), "counted": counted, "cost": "0.12"}
    assert sheet(tax_rounding="per category", **plain).tax == D("0.03")
    assert sheet(tax_rounding="per line", **plain).tax == D("0.04")


def test_deposits_add_up_and_split_their_tax() -> None:
    """Largest remainder, ties to the first: 801.78 at 50/30/20 is 400.89, 240.53, 160.36."""
    plan = tuple(Deposit(text=f"{share} %", percent=D(share)) for share in (50, 30, 20))
    found = sheet(cost="668.15", basis_percent=D(0), deposits=plan)
    assert (found.net, found.tax, found.gross) == (D("668.15"), D("133.63"), D("801.78"))
    assert [part.gross for part in found.deposits] == [D("400.89"), D("240.53"), D("160.36")]
    assert sum(part.tax for part in found.deposits) == found.tax
    assert all(part.net + part.tax == part.gross for part in found.deposits)


def test_half_of_a_deposit_in_a_public_example() -> None:
    """EN 16931 public example 5: half of a gross of 4675.00 is 2337.50 (here at one rate)."""
    zero = (TaxCategory(code="standard", text="Exempt", percent=D(0)),)
    halves = sheet(cost="4675", basis_percent=D(0), tax=zero).deposits
    assert [(part.gross, part.net, part.tax) for part in halves] == [(D("2337.50"), D("2337.50"), D(0))] * 2


def test_a_currency_without_minor_unit() -> None:
    yen = Terms(currency="JPY", client_kind="consumer")
    tax = (TaxCategory(code="standard", text="Consumption tax", percent=D(10)),)
    found = sheet(yen, cost="65000", currency="JPY", tax=tax, rounding_step=D(1000))
    assert (str(found.net), str(found.tax), str(found.gross)) == ("100000", "10000", "110000")
    assert str(sheet(yen, cost="100", currency="JPY", tax=tax).net) == "154"  # 153.85


def test_the_client_sees_headings_that_add_up_and_no_margin() -> None:
    """Making 60 and hanging 5 at cost, sold at 100: 92.31 and 7.69; then the discount."""
    making = a_book().operations[0]
    hanging = Operation(code="hang", text="Hang", role="maker", minutes=D(5), per="hanging", stage="site")
    found = sheet(off("amount", 10), cost="60", counted=quantities(hanging=1), operations=(making, hanging))
    assert [(line.code, line.amount) for line in found.client_lines] == [
        ("panel", D("92.31")),
        ("hanging", D("7.69")),
        ("discount", D("-10.00")),
    ]
    shown = " ".join(line.text for line in found.client_lines).lower()
    assert "returning client" in shown
    assert not any(word in shown for word in ("margin", "cost", "overhead", "commission"))


def test_no_rates_make_no_price_unless_there_is_a_minimum() -> None:
    nothing = sheet(cost="0")
    assert (nothing.net, nothing.gross, nothing.margin_percent) == (0, 0, 0)
    assert [part.gross for part in nothing.deposits] == [0, 0]
    least = sheet(cost="0", minimum_charge=D(50))
    assert [(line.code, line.amount) for line in least.client_lines] == [("panel", D("50.00"))]


def test_the_working_of_the_margin_names_its_rate() -> None:
    inputs = line(sheet(set_on={"price": date(2026, 3, 1)}), "margin").working.inputs
    assert [(item.name, item.value) for item in inputs[:2]] == [
        ("target price", "100.00 GBP"),
        ("cost", "65.00 GBP"),
    ]
    assert ("margin", "35 %", "your rate of 2026-03-01") in [(i.name, i.value, i.origin) for i in inputs]
