"""Two taxes on one base, no tax with its reason, prices before tax, the least charge: by hand."""

from contextlib import nullcontext
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.document import parse
from studio.pricing.check import problems_in
from studio.pricing.price import price
from studio.pricing.rate_book import TaxCategory, TaxPart
from studio.pricing.tax import tax_lines
from studio.pricing.terms import Discount, Terms
from studio.pricing.totals import totals
from studio.problem import Refused
from tests.pricing.by_hand import a_book, quantities
from tests.pricing.evaluated import evaluated

D = Decimal
TWO = TaxCategory(
    code="both",
    text="Both taxes",
    percent=D("14.975"),
    parts=(TaxPart(text="First tax", percent=D(5)), TaxPart(text="Second tax", percent=D("9.975"))),
)
NONE = TaxCategory(code="none", text="None", percent=D(0), treatment="untaxed")


def parts(found) -> list[tuple[str, Decimal]]:
    return [(part.text, part.tax) for line in found.taxes for part in line.parts]


def test_each_of_two_taxes_is_rounded_once_on_the_net() -> None:
    """By hand: of 1234.50, 5 % is 61.725 and 9.975 % is 123.141375: 61.73 and 123.14, together 184.87, where
    14.975 % at once is 184.866375, the same. Of 10.10 they are 0.505 and 1.007475: 0.51 and 1.01, 1.52
    together, and 1.51 at once."""
    for net, first, second in (("1234.50", "61.73", "123.14"), ("10.10", "0.51", "1.01")):
        (line,) = tax_lines([(TWO, D(net))], False, "per category", "CAD")
        assert [part.tax for part in line.parts] == [D(first), D(second)]
        assert (line.net, line.tax) == (D(net), D(first) + D(second))


def test_two_taxes_are_taken_out_of_a_gross_together_and_then_divided() -> None:
    """By hand: 1000/1.14975 is 869.754…, so the net is 869.75 and 130.25 are tax; 5/14.975 of that is
    43.4891…, the rest 86.7608…: the 130.25 lack one cent after 43.48 and 86.76, which the larger remainder
    gets, 0.91 against 0.08."""
    (line,) = tax_lines([(TWO, D(1000))], True, "per category", "CAD")
    assert (line.net, line.tax) == (D("869.75"), D("130.25"))
    assert [part.tax for part in line.parts] == [D("43.49"), D("86.76")]


def test_payments_hold_their_share_of_each_tax() -> None:
    """By hand: 100 net has 5.00 and 9.98 (9.975); half of 114.98 is 57.49 twice with 7.49 of tax each. Of
    5.00 and 9.98 the first half takes 2.50 and 4.99."""
    found = price(
        quantities(), a_book("100", basis_percent=D(0), tax=(TWO,)), Terms(tax="both", prices="without tax")
    )
    assert (found.net, found.tax, found.lines_with_tax) == (100, D("14.98"), False)
    for part in found.deposits:
        (tax,) = part.taxes
        assert [(each.text, each.tax) for each in tax.parts] == [
            ("First tax", D("2.50")),
            ("Second tax", D("4.99")),
        ]


@pytest.mark.parametrize("prices", ["with tax", "without tax"])
@pytest.mark.parametrize("rounding", ["per category", "per line"])
def test_every_tax_has_a_working_that_gives_it(prices, rounding) -> None:
    discount = Discount(kind="percent", value=D("3.3"), reason="a trial")
    terms = Terms(tax="both", prices=prices, discount=discount)
    book = a_book("1234.56", tax=(TWO,), tax_rounding=rounding)
    found = price(quantities(), book, terms)
    told = {name: (amount, working) for name, amount, working in totals(found, book, terms)}
    for text, amount in parts(found):
        (name,) = (each for each in told if text in each)
        shown, working = told[name]
        assert shown == amount == evaluated(working.formula, working)


def test_a_consumer_before_tax_has_the_net_on_the_step_and_the_ending() -> None:
    """By hand: 153.85 (100 at a margin of 35 %) to the nearest 10 and 9 is 149; tax is 29.80."""
    book = a_book(rounding_step=D(10), rounding_ending=D(9))
    found = price(quantities(), book, Terms(prices="without tax"))
    assert (found.net, found.tax, found.gross) == (D("149.00"), D("29.80"), D("178.80"))
    assert price(quantities(), book, Terms()).gross == D("189.00")  # 184.62 with tax
    assert price(quantities(), book, Terms(client_kind="business", prices="with tax")).gross == D("180.00")


@pytest.mark.parametrize(("kind", "net"), [("business", "310.00"), ("consumer", "308.33")])
def test_rounding_goes_up_where_the_nearest_step_is_below_the_least_charge(kind, net) -> None:
    """By hand: 302 is charged at least. A business's 302 goes to 310, not to 300; a consumer's 362.40 to 370,
    of which 308.33 are net. At 306 the nearest step is 310 anyway."""
    book = a_book("1", minimum_charge=D(302), rounding_step=D(10))
    assert price(quantities(), book, Terms(client_kind=kind)).net == D(net)
    given = Discount(kind="amount", value=D(20), reason="a trial")
    off = price(quantities(), book, Terms(client_kind="business", discount=given))
    assert off.net == D("280.00")  # a discount is the studio's own wish


def test_a_tax_on_every_line_is_never_less_than_nothing() -> None:
    """By hand at 5 %: tax on 0.09 and 0.09 is nothing each, on the discount of 0.10 it is −0.01 (0.005): on
    their sum of 0.08 it is nothing (0.004)."""
    tax = TaxCategory(code="five", text="Five", percent=D(5))
    (line,) = tax_lines([(tax, D("0.09")), (tax, D("0.09")), (tax, D("-0.10"))], False, "per line", "EUR")
    assert (line.net, line.tax) == (D("0.08"), 0)


@given(
    amounts=st.lists(st.decimals(D("0.00"), D(5), places=2), min_size=1, max_size=6),
    off=st.decimals(D(0), D(1), places=3),
    percents=st.lists(st.decimals(D("0.001"), D(33), places=3), min_size=1, max_size=3),
    holding=st.booleans(),
    rounding=st.sampled_from(("per category", "per line")),
)
def test_no_tax_of_what_is_left_is_negative(amounts, off, percents, holding, rounding) -> None:
    whole = sum(amounts)
    lines = [*amounts, -(whole * off).quantize(D("0.01"))]
    named = tuple(TaxPart(text=str(i), percent=percent) for i, percent in enumerate(percents))
    category = TaxCategory(code="all", text="All", percent=sum(percents), parts=named)
    (line,) = tax_lines([(category, amount) for amount in lines], holding, rounding, "EUR")
    assert line.net + line.tax == sum(lines) if holding else line.net == sum(lines)
    assert sum(part.tax for part in line.parts) == line.tax
    assert min(line.net, line.tax, *(part.tax for part in line.parts)) >= 0
    assert sum(lines) or not line.tax


def test_an_untaxed_studio_has_no_word_of_tax_in_any_working() -> None:
    book = a_book(
        tax=(NONE,), card_percent=D(2), referral_percent=D(5), minimum_charge=D(99), rounding_step=D(5)
    )
    for kind in ("consumer", "business"):
        given = Discount(kind="percent", value=D(5), reason="a trial")
        terms = Terms(client_kind=kind, tax="none", referral=True, discount=given)
        found = price(quantities(), book, terms)
        assert found.net == found.gross
        told = [(line.text, line.working) for line in found.lines]
        told += [(name, working) for name, _, working in totals(found, book, terms)]
        words = " ".join(
            f"{text} {working.formula} {' '.join(each.name for each in working.inputs)}"
            for text, working in told
        ).lower()
        assert not {"tax", "net", "gross", "vat"} & set(words.replace("(", " ").replace(")", " ").split())


GOOD = {
    "code": "one",
    "text": "One",
    "percent": "15",
    "parts": [{"text": "a", "percent": "5"}, {"text": "b", "percent": "10"}],
}


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"percent": "14"}, "percent"),
        ({"parts": [{"text": "a", "percent": "5"}, {"text": "a", "percent": "10"}]}, "parts.1.text"),
        ({"treatment": "exempt", "reason": "so it is"}, "percent"),
        ({"treatment": "untaxed"}, "percent"),
        ({"treatment": "reverse charge", "percent": "0", "parts": []}, "reason"),
        ({"treatment": "exempt", "percent": "0", "parts": [], "reason": "  "}, "reason"),
    ],
)
def test_a_tax_that_says_two_things_or_gives_no_reason_is_refused(change, field) -> None:
    def found(values) -> list[str]:
        book = a_book(tax=(parse(TaxCategory, values),))
        return [problem.field for problem in problems_in(quantities(), book, Terms(tax="one"))]

    assert found(GOOD) == []
    assert f"rate_book.tax.one.{field}" in found(GOOD | change)


@given(
    percents=st.lists(st.decimals(-50, 150, places=2), min_size=1, max_size=4),
    names=st.lists(st.sampled_from(("", "a", "b", "c", "d")), min_size=4, max_size=4),
)
def test_only_named_taxes_between_0_and_100_make_a_price(percents, names) -> None:
    """Anything else is a problem that names the tax, when it is read or when it is priced."""
    rows = [{"text": name, "percent": str(p)} for name, p in zip(names, percents, strict=False)]
    named, found = names[: len(rows)], None
    good = (
        all(p > 0 for p in percents) and sum(percents) <= 100 and all(named) and len(set(named)) == len(rows)
    )
    with nullcontext() if good else pytest.raises(Refused, match=r"percent|text|parts"):
        values = {"code": "one", "text": "One", "percent": str(sum(percents)), "parts": rows}
        category = parse(TaxCategory, values)
        found = price(quantities(), a_book(tax=(category,)), Terms(tax="one", prices="without tax"))
    assert not good or (found and [part.text for part in found.taxes[0].parts] == named)


def test_an_untaxed_part_of_a_taxed_price_is_refused() -> None:
    book = a_book()
    mixed = replace(book, tax=(*book.tax, NONE), heading_tax={"delivery": "none"})
    assert "rate_book.heading_tax.delivery" in [p.field for p in problems_in(quantities(), mixed, Terms())]
