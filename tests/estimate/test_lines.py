"""What a client reads beside a part of the work is what that part costs, whatever lies around it."""

from dataclasses import replace
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from studio.estimate.brief import Brief
from studio.estimate.example import example_question
from studio.estimate.priced import Made, Priced, price_up
from studio.lattice.design import AllOver, Infill
from studio.pricing.rate_book import RateBook, TaxCategory
from studio.pricing.sheet import ClientLine
from studio.pricing.terms import Terms
from tests.lattice.cast import PATTERN

QUESTION = example_question()
EXAMPLES = 8
"""Each prices a small panel two to four times."""


@st.composite
def books(draw: st.DrawFn) -> RateBook:
    """Any wages, overhead, margin, card fee, step and taxes, without a least charge, which is the panel's
    alone."""
    book = QUESTION.rate_book
    tax = [TaxCategory(code=f"rate-{p}", text=f"{p} %", percent=Decimal(p)) for p in (20, 5, 0)]
    codes = st.sampled_from([category.code for category in tax])
    return replace(
        book,
        roles={role: Decimal(draw(st.integers(10, 80))) for role in book.roles},
        overhead_per_hour=Decimal(draw(st.integers(0, 40))),
        basis=draw(st.sampled_from(("margin", "markup"))),
        basis_percent=Decimal(draw(st.integers(0, 50))),
        card_percent=Decimal(draw(st.integers(0, 4))),
        minimum_charge=Decimal(0),
        rounding_step=Decimal(draw(st.sampled_from((0, 1, 10)))),
        tax=tuple(tax),
        heading_tax=draw(st.dictionaries(st.sampled_from(("light", "delivery", "hanging")), codes)),
    )


@st.composite
def briefs(draw: st.DrawFn) -> Brief:
    lattice = draw(st.sampled_from(sorted(PATTERN)))
    design = replace(
        QUESTION.brief.design,
        lattice=lattice,
        cell_side_mm=Decimal(draw(st.integers(40, 60))),
        arrangement=AllOver(infill=Infill(pattern=PATTERN[lattice], filament="Tea")),
        backing="diffuser",
        lit=True,
    )
    space = replace(
        QUESTION.brief.space,
        widths_mm=(Decimal(draw(st.integers(250, 500))),),
        heights_mm=(Decimal(draw(st.integers(250, 500))),),
    )
    terms = Terms(
        client_kind=draw(st.sampled_from(("consumer", "business"))),
        tax="rate-20",
        distance_km=Decimal(draw(st.integers(0, 60))),
    )
    return replace(QUESTION.brief, design=design, space=space, terms=terms)


def lines(found: Priced) -> dict[str, ClientLine]:
    return {line.code: line for line in found.sheet.client_lines}


def net_of(line: ClientLine, found: Priced) -> Decimal:
    (percent,) = (tax.percent for tax in found.sheet.taxes if tax.code == line.tax)
    return line.amount / (1 + percent / 100) if found.sheet.lines_with_tax else line.amount


def before_rounding(found: Priced) -> Decimal:
    return sum((line.amount for line in found.sheet.lines if line.code != "rounding"), Decimal(0))


@settings(max_examples=EXAMPLES)
@given(brief=briefs(), other=briefs(), book=books())
def test_delivery_hanging_and_light_read_the_same_in_every_option(brief, other, book) -> None:
    """To the cent, for one client and one way: of another panel, of this one with nothing behind it, and in
    another colour, which leaves the light as it is."""
    briefs_of_one = [
        brief,
        replace(brief, design=other.design, space=other.space),
        replace(brief, design=replace(brief.design, lit=False, backing="none")),
        replace(brief, design=replace(brief.design, lattice_filament="Chalk")),
    ]
    read = [lines(price_up(each, book, QUESTION.shop_state)) for each in briefs_of_one]
    for heading in ("delivery", "hanging"):
        assert len({each[heading].amount for each in read}) == 1
    assert read[0]["light"] == read[-1]["light"]


@settings(max_examples=EXAMPLES)
@given(brief=briefs(), book=books())
def test_a_line_is_what_leaving_it_out_saves(brief, book) -> None:
    """Within a tenth, before rounding. Exempt are a delivery that hanging goes with, whose trip both need,
    and a least charge, which makes up for what is left out: neither is here."""
    dark, made = replace(brief.design, lit=False), Made()
    delivered = replace(brief, terms=replace(brief.terms, delivery="delivered"))
    collected = replace(brief, terms=replace(brief.terms, delivery="collected"))
    pairs = {
        "light": (brief, replace(brief, design=dark)),
        "backing": (replace(brief, design=dark), replace(brief, design=replace(dark, backing="none"))),
        "hanging": (brief, delivered),
        "delivery": (delivered, collected),
    }
    for heading, (whole, less) in pairs.items():
        found, without = (price_up(each, book, QUESTION.shop_state, made) for each in (whole, less))
        line = lines(found)[heading]
        saved = before_rounding(found) - before_rounding(without)
        assert abs(saved - net_of(line, found)) <= abs(line.amount) / 10
        assert heading not in lines(without)
