"""Whatever the rates, discount, rounding, currency and tax mode: everything adds up."""

from dataclasses import replace
from decimal import Decimal
from typing import get_args

from hypothesis import assume, example, given, reject
from hypothesis import strategies as st

from studio.making.equipment import Filament, Printer
from studio.money import minor_unit, round_money, split
from studio.pricing.asked import asked
from studio.pricing.client import client_lines, weigh
from studio.pricing.costs import costs
from studio.pricing.price import price
from studio.pricing.quantities import Quantities
from studio.pricing.rate_book import Bought, Deposit, Heading, Operation, RateBook, TaxCategory
from studio.pricing.rounding import to_step
from studio.pricing.sheet import PriceSheet
from studio.pricing.tax import heading_taxes, tax_lines
from studio.pricing.terms import Discount, Terms
from studio.problem import Refused
from tests.pricing.by_hand import a_book, quantities

D = Decimal
OURS = ("margin", "shares", "adjustment")

CATEGORIES = ("standard", "reduced", "zero")
CURRENCIES = st.sampled_from(("GBP", "JPY", "KWD", "CLF"))


def decimals(low: float, high: float, places: int = 4) -> st.SearchStrategy[Decimal]:
    return st.decimals(D(str(low)), D(str(high)), places=places)


@st.composite
def counted(draw: st.DrawFn) -> Quantities:
    grams = decimals(0, 9000, 2)
    return quantities(
        grams={"Tea": (draw(grams), draw(grams), draw(grams))},
        minutes={"Small bed": draw(decimals(0, 30_000, 2))},
        reprints={"Small bed": draw(decimals(0, 3_000, 2))},
        infill=draw(st.integers(0, 4000)),
        seam_key=draw(st.integers(0, 400)),
        light_metre=draw(decimals(0, 40, 2)),
        kilometre=draw(decimals(0, 2000, 2)),
        delivery=draw(st.integers(0, 1)),
        hanging=draw(st.integers(0, 1)),
    )


@st.composite
def deposit_plans(draw: st.DrawFn) -> tuple[Deposit, ...]:
    weights = [D(weight) for weight in draw(st.lists(st.integers(1, 50), min_size=1, max_size=5))]
    shares = split(D(100), weights, "CLF")  # four decimals, as a rate book allows
    return tuple(Deposit(text="Part", percent=share) for share in shares if share)


@st.composite
def rate_books(draw: st.DrawFn) -> RateBook:
    currency = draw(CURRENCIES)
    money = decimals(0, 5000)
    jobs = ("infill", "seam key", "light metre", "kilometre", "delivery", "hanging", "commission")
    return a_book(
        currency=currency,
        filaments=(Filament(name="Tea", colour="#b98a5a", spool_g=750, price_per_spool=draw(money)),),
        printers=(Printer(name="Small bed", purchase=draw(money), upkeep_per_hour=draw(decimals(0, 3))),),
        roles={"maker": draw(money), "designer": draw(money)},
        operations=tuple(
            Operation(code=f"op-{i}", text=per, role="maker", minutes=draw(decimals(0, 3)), per=per)
            for i, per in enumerate(jobs)
        ),
        bought=(
            Bought(
                code="glue",
                text="Glue",
                price=draw(money),
                quantity=draw(decimals(0, 1)),
                per="seam key",
                whole=True,
            ),
            Bought(code="strip", text="Strip", price=draw(money), per="light metre", group="light"),
        ),
        overhead_per_hour=draw(money),
        quoting_minutes=D(90),
        basis=draw(st.sampled_from(("margin", "markup"))),
        basis_percent=draw(decimals(0, 70)),
        referral_percent=draw(decimals(0, 20)),
        card_percent=draw(decimals(0, 9)),
        minimum_charge=draw(money),
        rounding_step=draw(st.integers(0, 2000)) * minor_unit(currency),
        rounding_way=draw(st.sampled_from(("nearest", "up"))),
        tax=tuple(TaxCategory(code=code, text="Tax", percent=draw(decimals(0, 100))) for code in CATEGORIES),
        heading_tax=draw(
            st.dictionaries(st.sampled_from(get_args(Heading)), st.sampled_from(CATEGORIES), max_size=5)
        ),
        tax_rounding=draw(st.sampled_from(("per category", "per line"))),
        deposits=draw(deposit_plans()),
    )


discounts = st.none() | st.builds(
    Discount,
    kind=st.sampled_from(("percent", "amount")),
    value=decimals(0, 99),
    reason=st.just("a trial"),
)
kinds = st.sampled_from(("consumer", "business"))
codes = st.sampled_from(CATEGORIES[:2])


def priced(
    counted, book: RateBook, kind: str, discount: Discount | None, referral: bool, tax: str = "standard"
) -> PriceSheet:
    """The sheet; a discount that leaves nothing of a small price (half of one yen is one yen) is no case."""
    terms = Terms(currency=book.currency, client_kind=kind, discount=discount, referral=referral, tax=tax)
    try:
        return price(counted, book, terms)
    except Refused as refused:
        if discount and {problem.field for problem in refused.problems} == {"brief.terms.discount.value"}:
            reject()
        raise


@given(
    counted=counted(), book=rate_books(), kind=kinds, discount=discounts, referral=st.booleans(), tax=codes
)
@example(
    counted=quantities(), book=a_book("0"), kind="consumer", discount=None, referral=False, tax="standard"
)
@example(
    counted=quantities(), book=a_book("0.01"), kind="consumer", discount=None, referral=True, tax="standard"
)
def test_everything_adds_up(counted, book, kind, discount, referral, tax) -> None:
    found = priced(counted, book, kind, discount, referral, tax)
    assert sum(line.amount for line in found.lines) == found.net
    assert sum(line.amount for line in found.client_lines) == found.net
    assert sum(line.amount for line in found.lines if line.group not in OURS) == found.cost
    assert found.net + found.tax == found.gross
    assert sum(line.net for line in found.taxes) == found.net
    assert sum(line.tax for line in found.taxes) == found.tax
    for part in ("gross", "net", "tax"):
        assert sum(getattr(deposit, part) for deposit in found.deposits) == getattr(found, part)
    for number, line in enumerate(found.taxes):
        shares = [deposit.taxes[number] for deposit in found.deposits]
        assert {share.code for share in shares} == {line.code}
        assert sum(share.net for share in shares) == line.net
        assert sum(share.tax for share in shares) == line.tax
    for deposit in found.deposits:
        assert sum(share.net for share in deposit.taxes) == deposit.net
        assert sum(share.tax for share in deposit.taxes) == deposit.tax


@given(counted=counted(), book=rate_books(), kind=kinds, discount=discounts)
def test_a_commission_outside_the_first_category_stays_there(counted, book, kind, discount) -> None:
    found = priced(counted, book, kind, discount, False, "reduced")
    assert {line.tax for line in found.client_lines} == {"reduced"}
    assert [line.code for line in found.taxes] == ["reduced"]


@given(counted=counted(), book=rate_books(), kind=kinds, discount=discounts, referral=st.booleans())
def test_each_amount_is_rounded_once_and_halves_go_up(counted, book, kind, discount, referral) -> None:
    found = priced(counted, book, kind, discount, referral)
    for line in found.lines:
        if line.group not in OURS:
            assert line.amount == round_money(line.quantity * line.unit_price, book.currency)
    percents = {"referral": book.referral_percent, "card": book.card_percent}
    for line in found.lines:
        if line.group == "shares":
            assert line.amount == round_money(found.net * percents[line.code] / 100, book.currency)
    for amount in amounts_of(found):
        assert amount == round_money(amount, book.currency)
    assert found.tax == expected_tax(found, book)


def amounts_of(found: PriceSheet) -> list[Decimal]:
    return [
        *(line.amount for line in (*found.lines, *found.client_lines)),
        *(amount for part in found.deposits for amount in (part.gross, part.net, part.tax)),
        *(found.cost, found.net, found.tax, found.gross),
    ]


def expected_tax(found: PriceSheet, book: RateBook) -> Decimal:
    """From the lines that the client sees, each with the category that it names."""
    total = D(0)
    for category in book.tax:
        bases = [line.amount for line in found.client_lines if line.tax == category.code]
        if book.tax_rounding == "per category":
            bases = [sum(bases, D(0))]
        total += sum((round_money(base * category.percent / 100, book.currency) for base in bases), D(0))
    return total


@given(counted=counted(), book=rate_books(), kind=kinds, discount=discounts, referral=st.booleans())
def test_the_rounded_figure_is_on_the_step_or_as_near_as_tax_allows(
    counted, book, kind, discount, referral
) -> None:
    """Tax of at most 100 % raises gross by at most two minor units for each of net: a miss is one at most."""
    assume(book.rounding_step and book.tax_rounding == "per category")
    book = replace(book, heading_tax={})
    found = priced(counted, book, kind, discount, referral)
    if kind == "business":
        assert found.net % book.rounding_step == 0
    else:
        goal = to_step(found.gross, book.rounding_step, "nearest")
        assert abs(found.gross - goal) <= minor_unit(book.currency)


@given(counted=counted(), book=rate_books(), discount=discounts)
def test_no_other_net_comes_nearer_to_the_step(counted, book, discount) -> None:
    """Mixed rates, either rounding of tax: of the nets around, as lines and tax make them, none has a gross
    that is nearer to the step."""
    assume(book.rounding_step and book.heading_tax)
    found = priced(counted, book, "consumer", discount, False)
    assume(found.net)
    made, weights, taxes = parts_of(found, book, counted, discount)
    goal = to_step(
        gross_at(made.asked, made, weights, taxes, book, discount), book.rounding_step, book.rounding_way
    )
    assert gross_at(found.net, made, weights, taxes, book, discount) == found.gross
    unit = minor_unit(book.currency)
    around = [found.net + k * unit for k in range(-40, 41) if found.net + k * unit >= 0]
    nearest = min(abs(gross_at(net, made, weights, taxes, book, discount) - goal) for net in around)
    assert abs(found.gross - goal) == nearest


def parts_of(found: PriceSheet, book: RateBook, counted, discount: Discount | None):
    terms = Terms(currency=book.currency, discount=discount)
    return asked(found.cost, book, terms), weigh(costs(counted, book)), heading_taxes(book, terms)


def gross_at(net: Decimal, made, weights, taxes, book: RateBook, discount: Discount | None) -> Decimal:
    by_code = {category.code: category for category in book.tax}
    lines = client_lines(net, made, discount, weights, taxes, book.currency)
    pairs = [(by_code[line.tax], line.amount) for line in lines]
    return net + sum(line.tax for line in tax_lines(pairs, book.tax_rounding, book.currency))


@given(counted=counted(), book=rate_books(), discount=discounts, kind=kinds)
def test_nothing_is_negative_but_a_discount_and_a_rounding(counted, book, discount, kind) -> None:
    found = priced(counted, book, kind, discount, False)
    lines = [line for line in found.client_lines if line.code not in ("discount", "rounding")]
    assert all(line.amount >= 0 for line in lines)
    assert all(line.net >= 0 for line in found.taxes)
    for part in found.deposits:
        assert min(part.gross, part.net, part.tax) >= 0
        assert all(min(share.net, share.tax) >= 0 for share in part.taxes)


@given(counted=counted(), book=rate_books(), discount=discounts, kind=kinds)
def test_the_clients_rounding_is_the_studios(counted, book, discount, kind) -> None:
    found = priced(counted, book, kind, discount, False)
    ours = sum(line.amount for line in found.lines if line.code == "rounding")
    assert sum(line.amount for line in found.client_lines if line.code == "rounding") == ours
