"""Whatever the rates, discount, rounding, currency and tax mode: everything adds up."""

from decimal import Decimal

from hypothesis import assume, example, given, reject
from hypothesis import strategies as st

from studio.making.equipment import Filament, Printer
from studio.pricing.money import minor_unit, round_money, split
from studio.pricing.price import price
from studio.pricing.quantities import Quantities
from studio.pricing.rate_book import Bought, Deposit, Operation, RateBook, TaxCategory
from studio.pricing.rounding import to_step
from studio.pricing.sheet import PriceSheet
from studio.pricing.terms import Discount, Terms
from studio.problem import Refused
from tests.pricing.by_hand import a_book, quantities

D = Decimal
OURS = ("margin", "shares", "adjustment")

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
        tax=(TaxCategory(code="standard", text="Tax", percent=draw(decimals(0, 100))),),
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


def priced(counted, book: RateBook, kind: str, discount: Discount | None, referral: bool) -> PriceSheet:
    """The sheet; a discount that leaves nothing of a small price (half of one yen is one yen) is no case."""
    terms = Terms(currency=book.currency, client_kind=kind, discount=discount, referral=referral)
    try:
        return price(counted, book, terms)
    except Refused as refused:
        if discount and {problem.field for problem in refused.problems} == {"brief.terms.discount.value"}:
            reject()
        raise


@given(counted=counted(), book=rate_books(), kind=kinds, discount=discounts, referral=st.booleans())
@example(counted=quantities(), book=a_book("0"), kind="consumer", discount=None, referral=False)
@example(counted=quantities(), book=a_book("0.01"), kind="consumer", discount=None, referral=True)
def test_everything_adds_up(counted, book, kind, discount, referral) -> None:
    found = priced(counted, book, kind, discount, referral)
    assert sum(line.amount for line in found.lines) == found.net
    assert sum(line.amount for line in found.client_lines) == found.net
    assert sum(line.amount for line in found.lines if line.group not in OURS) == found.cost
    assert found.net + found.tax == found.gross
    assert sum(line.net for line in found.taxes) == found.net
    assert sum(line.tax for line in found.taxes) == found.tax
    for part in ("gross", "net", "tax"):
        assert sum(getattr(deposit, part) for deposit in found.deposits) == getattr(found, part)


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
    percent = book.tax[0].percent
    bases = (
        [found.net] if book.tax_rounding == "per category" else [line.amount for line in found.client_lines]
    )
    return sum((round_money(base * percent / 100, book.currency) for base in bases), D(0))


@given(counted=counted(), book=rate_books(), kind=kinds, discount=discounts, referral=st.booleans())
def test_the_rounded_figure_is_on_the_step_or_as_near_as_tax_allows(
    counted, book, kind, discount, referral
) -> None:
    """Tax of at most 100 % raises gross by at most two minor units for each of net: a miss is one at most."""
    assume(book.rounding_step and book.tax_rounding == "per category")
    found = priced(counted, book, kind, discount, referral)
    if kind == "business":
        assert found.net % book.rounding_step == 0
    else:
        goal = to_step(found.gross, book.rounding_step, "nearest")
        assert abs(found.gross - goal) <= minor_unit(book.currency)


@given(counted=counted(), book=rate_books(), discount=discounts)
def test_deposits_and_client_lines_are_never_negative_but_for_the_discount(counted, book, discount) -> None:
    found = priced(counted, book, "consumer", discount, False)
    assert all(line.amount >= 0 for line in found.client_lines if line.code != "discount")
    assert all(min(part.gross, part.net, part.tax) >= 0 for part in found.deposits)
