"""Figures as texts: the same for screen and paper, in the studio's locale."""

import json
from dataclasses import replace
from decimal import Decimal

import pytest

from studio.pricing.sheet import TaxedPart, TaxLine
from studio.proposals.freeze import unpacked
from studio.proposals.shown import Payment, SheetShown, Sum, shown
from studio.proposals.workings import workings
from tests.proposals.by_hand import HEADING, frozen, option, sheet, two_taxes

pytestmark = pytest.mark.one_engine


def show(*options, **heading):
    return shown(json.loads(frozen(*options, heading=replace(HEADING, **heading)).figures))


def test_a_consumer_reads_the_price_with_tax_first():
    found = show(option()).options[0]
    assert (found.price, found.also) == (
        Sum("Price with tax", "£1,200.00"),
        Sum("Price without tax", "£1,000.00"),
    )


def test_a_business_reads_the_price_without_tax_first():
    found = show(option(kind="business")).options[0]
    assert (found.price.amount, found.also.amount) == ("£1,000.00", "£1,200.00")


def test_lines_lead_to_the_price():
    found = show(option()).options[0]
    assert [(s.text, s.amount) for s in (*found.lines, *found.totals)] == [
        ("Lattice panel, made to measure", "£900.00"),
        ("Delivery", "£100.00"),
        ("Price without tax", "£1,000.00"),
        ("VAT, 20\u00a0%", "£200.00"),
        ("Price with tax", "£1,200.00"),
    ]
    assert found.deposits[0] == Payment("On approval, 50\u00a0%", "£600.00", tax="£100.00")


def test_lines_that_hold_their_tax_add_up_to_what_is_paid():
    """The price as frozen here is that of the lines above with 20 % on them."""
    price = sheet()
    lines = tuple(replace(line, amount=line.amount * 6 / 5) for line in price.client_lines)
    found = show(option(price=replace(price, client_lines=lines, lines_with_tax=True))).options[0]
    assert [(s.text, s.amount) for s in (*found.lines, *found.totals)] == [
        ("Lattice panel, made to measure", "£1,080.00"),
        ("Delivery", "£120.00"),
        ("Price with tax", "£1,200.00"),
        ("in it: VAT, 20\u00a0%", "£200.00"),
        ("Price without tax", "£1,000.00"),
    ]


def test_an_unmeasured_space_shows_a_range():
    found = show(option(measured=False)).options[0]
    assert "£1,080.00 to £1,320.00" in found.range
    assert show(option()).options[0].range == ""


def test_the_price_of_an_unmeasured_space_is_never_one_figure():
    found = show(option(measured=False)).options[0]
    assert found.price == Sum("Price with tax, unmeasured", "£1,080.00 to £1,320.00")
    assert found.also == Sum("Price without tax, unmeasured", "£900.00 to £1,100.00")
    assert found.totals[-1] == Sum("Price with tax, for the size as said", "£1,200.00")


def test_the_reason_of_a_discount_comes_from_the_parties():
    made = frozen(option(discount="an old friend"))
    figures, parties = json.loads(made.figures), json.loads(made.parties)
    lines = [shown(figures, reason).options[0].lines[-1] for reason in (parties["discount"], "")]
    assert lines == [Sum("Discount: an old friend", "-£50.00"), Sum("Discount", "-£50.00")]


def test_dates_and_their_condition():
    """The day that holds in 8 of 10 courses is promised, not the 20th, when the panel is expected to be
    ready."""
    sheet_ = show(option())
    assert (sheet_.issued_on, sheet_.valid_until) == ("2 March 2026", "1 April 2026")
    assert sheet_.options[0].ready == "24 March 2026"
    assert sheet_.options[0].ready_if == (
        "14 working days from cleared deposit and approved colours, if that is by 5 March 2026"
    )


def test_documents_without_a_day_that_holds_promise_the_expected_one():
    figures = json.loads(frozen(option()).figures)
    for key in ("held_on", "held_working_days"):
        del figures["options"][0]["estimate"][key]
    found = shown(figures).options[0]
    assert (found.ready, found.ready_if[:15]) == ("20 March 2026", "12 working days")


def test_several_taxes_stand_on_lines_totals_and_payments():
    found = show(option(price=two_taxes())).options[0]
    assert [(s.text, s.amount) for s in (*found.lines, *found.totals)] == [
        ("Lattice panel, made to measure (20\u00a0% tax)", "£900.00"),
        ("Delivery (5\u00a0% tax)", "£100.00"),
        ("Price without tax", "£1,000.00"),
        ("VAT, 20\u00a0% of £900.00", "£180.00"),
        ("Reduced VAT, 5\u00a0% of £100.00", "£5.00"),
        ("Price with tax", "£1,185.00"),
    ]
    assert found.deposits[0] == Payment(
        "On approval, 50\u00a0%",
        "£592.50",
        tax="£92.50",
        by_rate=(Sum("20\u00a0% tax", "£90.00"), Sum("5\u00a0% tax", "£2.50")),
    )


def test_when_tax_is_due_is_said_once_or_by_option():
    assert "Tax is due on each payment when it is received" in show(option(tax_point=True)).tax_points[0]
    at_the_end = show(option(), option("B"))
    assert len(at_the_end.tax_points) == 1
    assert "invoiced at hand-over" in at_the_end.tax_points[0]
    mixed = show(option(), option("B", tax_point=True)).tax_points
    assert [text[:21] for text in mixed] == ["Option A: Tax on the ", "Option B: Tax is due "]
    assert all("ocal tax rules decide" in text for text in (*mixed, *at_the_end.tax_points))
    assert show(option(price=sheet(tax="0.00"))).tax_points == ()


def test_workings_are_there_only_when_they_were_chosen():
    plain, made = frozen(option()), frozen(option(), annex=True)
    assert [shown(json.loads(each.figures)).annex for each in (plain, made)] == [False, True]
    assert plain.costs == made.costs
    costs = json.loads(unpacked(made.costs))["options"]["A"]
    labour, margin, *totals, left = workings(costs, HEADING.voice)
    assert (labour.quantity, labour.amount) == ("1 each × 650.00", "£650.00")
    assert labour.inputs == "rate 30.00 an hour (example rate)"
    assert (margin.text, margin.quantity, margin.total) == ("Margin", "", False)
    assert [total.text for total in totals][:2] == ["Cost", "Net"]
    assert (left.text, left.amount, left.total) == ("Margin left", "£350.00", True)


def test_a_currency_without_decimals():
    price = sheet("150000", "15000", currency="JPY")
    found = show(option(price=price), locale="en_US").options[0]
    assert [line.amount for line in found.lines] == ["¥135,000", "¥15,000"]


@pytest.mark.parametrize(
    ("units", "size", "mass"), [("metric", "252.6 mm", "0.4 kg"), ("imperial", '9 15/16"', "0.9 lb")]
)
def test_units_of_the_studio(units, size, mass):
    """252.6 mm are 9.945 inches, nearest 9 15/16; 420 g are 0.926 lb."""
    found = show(option(), units=units).options[0]
    assert found.size.startswith(f"{size} wide")
    assert found.mass == mass


def test_numbers_as_the_locale_writes_them():
    found = show(option(), locale="de_DE").options[0]
    assert found.price.amount == "1.200,00\xa0£"
    assert found.ready == "24 March 2026"


def test_colours_are_named_once():
    assert [swatch.filament for swatch in show(option()).options[0].colours] == ["Walnut", "Tea"]


def taxed_as(**line) -> SheetShown:
    """One option of a price of 1,000.00 whose only tax category is `line`."""
    plain = sheet(tax=line.pop("tax", "0.00"))
    (old,) = plain.taxes
    price = replace(
        plain,
        taxes=(replace(old, **line),),
        deposits=tuple(replace(part, taxes=(replace(part.taxes[0], **line),)) for part in plain.deposits),
    )
    return show(option(price=price, tax_point=True))


def test_two_taxes_on_one_base_each_have_a_line() -> None:
    parts = (
        TaxedPart("First tax", Decimal(5), Decimal("50.00")),
        TaxedPart("Second tax", Decimal(10), Decimal(100)),
    )
    sheet_ = taxed_as(tax="150.00", percent=Decimal(15), parts=parts)
    found = sheet_.options[0]
    assert [(s.text, s.amount) for s in found.totals] == [
        ("Price without tax", "£1,000.00"),
        ("First tax, 5\u00a0%", "£50.00"),
        ("Second tax, 10\u00a0%", "£100.00"),
        ("Price with tax", "£1,150.00"),
    ]
    assert [each.text for each in found.deposits[0].by_rate] == [
        "First tax, 5\u00a0%",
        "Second tax, 10\u00a0%",
    ]
    assert "shows its share of First tax and Second tax" in sheet_.tax_points[0]


@pytest.mark.parametrize(
    ("treatment", "reason", "price", "said"),
    [
        ("reverse charge", "Article 194", "Price without tax, reverse charge",
         ("Reverse charge: Article 194.",)),
        ("reverse charge", "Reverse charge, Article 194.", "Price without tax, reverse charge",
         ("Reverse charge, Article 194.",)),
        ("exempt", "Article 132", "Price exempt from tax", ("Exempt from tax: Article 132.",)),
        ("untaxed", "", "Price", ()),
        ("untaxed", "A small business.", "Price", ("A small business.",)),
    ],
)  # fmt: skip
def test_no_tax_is_named_as_what_it_is(treatment, reason, price, said) -> None:
    """The words "Reverse charge" as Council Directive 2006/112/EC, Article 226 (11a), has them (from
    memory)."""
    sheet_ = taxed_as(percent=Decimal(0), treatment=treatment, reason=reason)
    found = sheet_.options[0]
    assert (found.price.text, found.also, found.reasons) == (price, None, said)
    assert [total.text for total in found.totals] == [price]
    assert (sheet_.tax_points, [part.tax for part in found.deposits]) == ((), ["", ""])


def test_a_reverse_charge_says_the_clients_tax_number() -> None:
    figures = json.loads(frozen(option(price=replace(sheet(tax="0.00"), taxes=(REVERSED,)))).figures)
    assert shown(figures, tax_number="XX 123").options[0].reasons == (
        "Reverse charge: Article 194. Your tax number: XX 123.",
    )


REVERSED = TaxLine(
    "standard", "VAT", Decimal(0), Decimal(1000), Decimal(0), (), "reverse charge", "Article 194"
)


def test_a_consumer_before_tax_reads_the_net_first() -> None:
    figures = json.loads(frozen(option()).figures)
    assert shown(figures).options[0].price.text == "Price with tax"
    for each in figures["options"]:
        each["terms"]["prices"] = "without tax"
    found = shown(figures).options[0]
    assert (found.price, found.also) == (
        Sum("Price without tax", "£1,000.00"),
        Sum("Price with tax", "£1,200.00"),
    )
