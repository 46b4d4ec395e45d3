"""What a working says gives the amount that it stands under."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.money import round_money
from studio.pricing.price import price
from studio.pricing.quantities import Parcel
from studio.pricing.rate_book import Carrier, Operation, TaxCategory
from studio.pricing.sheet import PriceLine, PriceSheet
from studio.pricing.terms import Discount, Terms
from studio.pricing.totals import totals
from tests.pricing import test_adds_up as drawn
from tests.pricing.by_hand import a_book, quantities
from tests.pricing.evaluated import evaluated, value_of

D = Decimal
RATES = tuple(TaxCategory(code=f"rate-{p}", text=f"{p} %", percent=D(p)) for p in (20, 5, 0))


def sheet(several: bool, terms: Terms, **changes) -> PriceSheet:
    making = Operation(code="make", text="Make", role="maker", minutes=D(311), per="commission")
    bring = Operation(code="bring", text="Bring", role="maker", minutes=D(67), per="delivery", stage="site")
    book = a_book(
        "23.7",
        operations=(making, bring),
        tax=RATES,
        heading_tax={"delivery": "rate-5"} if several else {},
        **changes,
    )
    return price(quantities(delivery=1), book, terms)


def line(found: PriceSheet, code: str) -> PriceLine:
    return next(line for line in found.lines if line.code == code)


@pytest.mark.parametrize("several", [False, True])
@pytest.mark.parametrize("basis", ["margin", "markup"])
@pytest.mark.parametrize("card", [D(0), D("1.9")])
@pytest.mark.parametrize("referral", [False, True])
@pytest.mark.parametrize("kind", ["consumer", "business"])
def test_margin_and_target_price_evaluate(several, basis, card, referral, kind) -> None:
    terms = Terms(client_kind=kind, tax="rate-20", referral=referral)
    found = sheet(several, terms, basis=basis, card_percent=card, referral_percent=D(7))
    margin = line(found, "margin")
    own, target_by = margin.working.formula.split("; target price = ")
    assert evaluated(own, margin.working) == margin.amount
    (target,) = (D(i.value.split()[0]) for i in margin.working.inputs if i.name == "target price")
    assert round_money(evaluated(target_by, margin.working), "GBP") == target
    for each in found.lines:
        if each.group == "shares":
            assert round_money(evaluated(each.working.formula, each.working), "GBP") == each.amount


@pytest.mark.parametrize("kind", ["consumer", "business"])
def test_least_charge_and_rounding_evaluate(kind) -> None:
    terms = Terms(client_kind=kind, tax="rate-20")
    found = sheet(True, terms, minimum_charge=D(333), rounding_step=D(10))
    for each in (line(found, "minimum"), line(found, "rounding")):
        own, *_ = each.working.formula.split("; ")
        assert evaluated(own, each.working) == each.amount


@pytest.mark.parametrize("kind", ["consumer", "business"])
@pytest.mark.parametrize(("how", "value"), [("percent", "7"), ("amount", "33.33"), ("amount", "228")])
def test_a_discount_evaluates(kind, how, value) -> None:
    """Of two rates, each gives its share."""
    discount = Discount(kind=how, value=D(value), reason="a trial")
    found = sheet(True, Terms(client_kind=kind, tax="rate-20", discount=discount))
    off = line(found, "discount")
    assert round_money(evaluated(off.working.formula, off.working), "GBP") == off.amount
    assert -off.amount == pytest.approx(off_by_hand(found), abs=D("0.01"))


def off_by_hand(found: PriceSheet) -> Decimal:
    """From what the client reads, each part at its rate."""
    factor = {"rate-20": D("1.2"), "rate-5": D("1.05")} if found.lines_with_tax else {}
    given = (line for line in found.client_lines if line.code == "discount")
    return sum((-line.amount / factor.get(line.tax, D(1)) for line in given), D(0))


@given(
    counted=drawn.counted(),
    plates=st.integers(0, 40),
    again=drawn.decimals(0, 4, 2),
    energy=drawn.decimals(0, 90, 2),
    book=drawn.rate_books(),
    kind=drawn.kinds,
    discount=drawn.discounts,
    referral=st.booleans(),
    tax=drawn.codes,
)
def test_every_working_evaluates_to_its_amount(
    counted, plates, again, energy, book, kind, discount, referral, tax
) -> None:
    """Cost lines, adjustments and totals, over random rates and panels. What follows a semicolon is a note,
    or another equation: its left side is an input, to the smallest amount."""
    counted = replace(
        counted,
        counts=counted.counts | {"plate": D(plates)},
        reprinted_plates=again,
        energy_kwh=energy,
        change_minutes={"Small bed": again},
        grams={name: replace(grams, starts=energy) for name, grams in counted.grams.items()},
        parcels=(Parcel(900.0, 1000.0), Parcel(900.0, 1000.0), Parcel(1000.0, 3000.0)),
    )
    book = replace(book, operations=(*book.operations, SWAP), carrier=ROWS)
    sheet = drawn.priced(counted, book, kind, discount, referral, tax)
    terms = Terms(currency=book.currency, client_kind=kind, discount=discount, referral=referral, tax=tax)
    told = [(each.code, each.amount, each.working) for each in sheet.lines]
    told += totals(sheet, book, terms)
    for what, amount, working in told:
        own, *notes = working.formula.split("; ")
        assert round_money(evaluated(own, working), book.currency) == amount, what
        for note in notes:
            name, is_equation, rule = note.partition(" = ")
            if is_equation:
                (wanted,) = (value_of(each.value) for each in working.inputs if each.name == name)
                assert round_money(evaluated(rule, working), book.currency) == wanted, what


SWAP = Operation(code="swap", text="Swap", role="maker", minutes=None, per="plate")
ROWS = (
    Carrier(text="Small", up_to_mm=900, up_to_g=1000, price=D("12.3456")),
    Carrier(text="Large", up_to_mm=1000, up_to_g=3000, price=D(30)),
)
