"""Whatever the rates, discount, rounding, currency and tax mode: everything adds up."""

from dataclasses import replace
from decimal import Decimal
from typing import get_args

from hypothesis import assume, example, given, reject
from hypothesis import strategies as st

from studio.making.equipment import Filament, Printer
from studio.money import minor_unit, round_money, split
from studio.pricing.price import price
from studio.pricing.quantities import Quantities
from studio.pricing.rate_book import Bought, Deposit, Heading, Operation, RateBook, TaxCategory, TaxPart
from studio.pricing.sheet import PriceSheet
from studio.pricing.tax import heading_taxes
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
def categories(draw: st.DrawFn, code: str) -> TaxCategory:
    """One tax, or several on one base."""
    if draw(st.booleans()):
        return TaxCategory(code=code, text=code, percent=draw(decimals(0, 100)))
    percents = draw(st.lists(decimals(0.0001, 30), min_size=1, max_size=3))
    parts = tuple(TaxPart(text=f"{code} {i}", percent=percent) for i, percent in enumerate(percents))
    return TaxCategory(code=code, text=code, percent=sum(percents), parts=parts)


@st.composite
def rate_books(draw: st.DrawFn) -> RateBook:
    currency = draw(CURRENCIES)
    money, step = decimals(0, 5000), draw(st.integers(0, 2000))
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
        rounding_step=step * minor_unit(currency),
        rounding_ending=draw(st.integers(0, max(step - 1, 0))) * minor_unit(currency),
        rounding_way=draw(st.sampled_from(("nearest", "up"))),
        tax=tuple(draw(categories(code)) for code in CATEGORIES),
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
    assert found.lines_with_tax == (kind == "consumer")
    price_shown = found.gross if found.lines_with_tax else found.net
    assert sum(line.amount for line in found.client_lines) == price_shown
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
        for place, part in enumerate(line.parts):
            assert sum(share.parts[place].tax for share in shares) == part.tax
    for line in (*found.taxes, *(share for deposit in found.deposits for share in deposit.taxes)):
        assert not line.parts or sum(part.tax for part in line.parts) == line.tax
        assert all(part.tax >= 0 for part in line.parts)
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
    shares = {"referral": found.net * book.referral_percent, "card": found.gross * book.card_percent}
    for line in found.lines:
        if line.group == "shares":
            assert line.amount == round_money(shares[line.code] / 100, book.currency)
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
    """From the lines that the client sees, each with the category that it names; where rounding every line
    leaves less than nothing of a tax, or a tax on nothing, its lines are one."""
    total = D(0)
    for category in book.tax:
        bases = [line.amount for line in found.client_lines if line.tax == category.code]
        whole = sum(bases, D(0))
        taxes = taxes_of([whole], category, found)
        if book.tax_rounding == "per line":
            by_line = taxes_of(bases, category, found)
            net = whole - sum(by_line) if found.lines_with_tax else whole
            if min(*by_line, net, D(0)) == 0 and (whole or not any(by_line)):
                taxes = by_line
        total += sum(taxes)
    return total


def taxes_of(bases: list[Decimal], category: TaxCategory, found: PriceSheet) -> list[Decimal]:
    """By tax of a category; out of a gross they are taken together."""
    if found.lines_with_tax:
        nets = [round_money(base / (1 + category.percent / 100), found.currency) for base in bases]
        return [sum(bases, D(0)) - sum(nets, D(0))]
    percents = [part.percent for part in category.parts] or [category.percent]
    return [sum((round_money(b * p / 100, found.currency) for b in bases), D(0)) for p in percents]


@given(counted=counted(), book=rate_books(), kind=kinds, discount=discounts, referral=st.booleans())
def test_the_rounded_figure_is_on_the_step(counted, book, kind, discount, referral) -> None:
    """Whatever the rates of tax: a consumer's gross ends as the studio wants it, a business's net is on the
    step."""
    assume(book.rounding_step)
    found = priced(counted, book, kind, discount, referral)
    if kind == "business":
        assert found.net % book.rounding_step == 0
    else:
        assert not found.gross or found.gross % book.rounding_step == book.rounding_ending


@given(counted=counted(), book=rate_books(), kind=kinds, discount=discounts)
def test_a_rounding_is_one_line_unless_that_falls_below_nothing(counted, book, kind, discount) -> None:
    found = priced(counted, book, kind, discount, False)
    ours = heading_taxes(book, Terms(currency=book.currency))["panel"].code
    lines = [line for line in found.client_lines if line.code == "rounding"]
    if len(lines) > 1:
        (emptied, *_), whole = lines, found.client_lines
        before = whole[: whole.index(emptied)]
        assert emptied.tax == ours
        assert sum(line.amount for line in (*before, emptied) if line.tax == ours) == 0
    if not discount:
        assert all(line.tax == ours for line in lines[:1] if has(found, ours))


@given(counted=counted(), book=rate_books(), kind=kinds, discount=discounts)
def test_a_discount_is_the_panels_or_each_rates_own_share(counted, book, kind, discount) -> None:
    """One line where nothing differs by it; otherwise within a smallest amount of the share of each."""
    found = priced(counted, book, kind, discount, False)
    percents = {category.code: category.percent for category in book.tax}
    sums: dict[str, Decimal] = {}
    for line in found.client_lines:
        if line.code not in ("discount", "rounding"):
            sums[line.tax] = sums.get(line.tax, D(0)) + line.amount
    given_off = {line.tax: line.amount for line in found.client_lines if line.code == "discount"}
    off, whole = sum(given_off.values()), sum(sums.values())
    if len({percents[code] for code in sums}) == 1:
        assert len(given_off) <= len(sums)
        return
    for code, amount in sums.items():
        share = off * amount / whole if whole else D(0)
        assert abs(given_off.get(code, D(0)) - share) < minor_unit(book.currency)


@given(counted=counted(), book=rate_books(), kind=kinds)
def test_rounding_goes_not_below_the_least_charge(counted, book, kind) -> None:
    """Of a consumer's net, but for the tax that is rounded when it is taken out of each category."""
    found = priced(counted, book, kind, None, False)
    slack = len(found.taxes) * minor_unit(book.currency) if found.lines_with_tax else 0
    if book.tax_rounding == "per category" and len(found.taxes) == 1:
        assert found.net >= round_money(book.minimum_charge, book.currency) - slack


def has(found: PriceSheet, code: str) -> bool:
    """Whether anything of the price without discount and rounding is of the category."""
    lines = [line for line in found.client_lines if line.code not in ("discount", "rounding")]
    return sum(line.amount for line in lines if line.tax == code) > 0


@given(first=counted(), second=counted(), book=rate_books(), kind=kinds, referral=st.booleans())
def test_the_same_delivery_light_and_hanging_cost_the_same_beside_another_panel(
    first, second, book, kind, referral
) -> None:
    """Whatever the panel, its tax and the least charge: a heading of its own reads the same to the cent."""
    same = ("light metre", "kilometre", "delivery", "hanging")
    second = replace(second, counts={**second.counts, **{per: first.counts[per] for per in same}})
    sheets = [priced(each, book, kind, None, referral) for each in (first, second)]
    lines = [{line.code: line.amount for line in found.client_lines} for found in sheets]
    for heading in ("light", "delivery", "hanging"):
        assert lines[0].get(heading) == lines[1].get(heading)


@given(first=counted(), second=counted(), book=rate_books(), kind=kinds, referral=st.booleans())
def test_the_same_panel_costs_the_same_beside_other_things(first, second, book, kind, referral) -> None:
    """Without a least charge, which is the panel's alone."""
    beside = ("light metre", "kilometre", "delivery", "hanging")
    second = replace(first, counts={**first.counts, **{per: second.counts[per] for per in beside}})
    book = replace(book, minimum_charge=D(0))
    sheets = [priced(each, book, kind, None, referral) for each in (first, second)]
    panels = [sum(line.amount for line in found.client_lines if line.code == "panel") for found in sheets]
    assert panels[0] == panels[1]


@given(counted=counted(), book=rate_books(), kind=kinds, referral=st.booleans())
def test_what_is_left_is_the_margin_that_was_aimed_at(counted, book, kind, referral) -> None:
    """Without least charge and rounding, over any mixture of taxes: net less commission and what the card
    takes of gross is cost and margin (or cost with markup), but for rounding a dozen amounts."""
    book = replace(book, minimum_charge=D(0), rounding_step=D(0), rounding_ending=D(0))
    found = priced(counted, book, kind, None, referral)
    commission = book.referral_percent if referral else D(0)
    kept = found.net * (100 - commission) / 100 - found.gross * book.card_percent / 100
    if book.basis == "margin":
        wanted = found.cost + found.net * book.basis_percent / 100
    else:
        wanted = found.cost * (100 + book.basis_percent) / 100
    assert abs(kept - wanted) <= 12 * minor_unit(book.currency)


@given(counted=counted(), book=rate_books(), discount=discounts)
def test_tax_taken_out_of_gross_misses_the_rule_on_net_by_one_unit_at_most(counted, book, discount) -> None:
    """BR-CO-17 of EN 16931 on each category, which gross prices meet but for one minor unit: net is out by
    half a unit at most, and its tax, at rates up to 100 %, by as much and its own rounding."""
    assume(book.tax_rounding == "per category")
    for line in priced(counted, book, "consumer", discount, False).taxes:
        by_rule = round_money(line.net * line.percent / 100, book.currency)
        assert abs(line.tax - by_rule) <= minor_unit(book.currency)


@given(counted=counted(), book=rate_books(), discount=discounts, kind=kinds)
def test_nothing_is_negative_but_a_discount_and_a_rounding(counted, book, discount, kind) -> None:
    found = priced(counted, book, kind, discount, False)
    lines = [line for line in found.client_lines if line.code not in ("discount", "rounding")]
    assert all(line.amount >= 0 for line in lines)
    assert all(line.net >= 0 for line in found.taxes)
    for part in found.deposits:
        assert min(part.gross, part.net, part.tax) >= 0
        assert all(min(share.net, share.tax) >= 0 for share in part.taxes)


@given(counted=counted(), book=rate_books(), discount=discounts)
def test_a_businesss_rounding_is_the_studios(counted, book, discount) -> None:
    """A consumer's holds its tax."""
    found = priced(counted, book, "business", discount, False)
    ours = sum(line.amount for line in found.lines if line.code == "rounding")
    assert sum(line.amount for line in found.client_lines if line.code == "rounding") == ours
