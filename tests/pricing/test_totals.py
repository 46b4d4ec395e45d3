"""Every total can be recomputed from its working."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from studio.pricing.totals import totals
from tests.pricing.priced import BOOK, TERMS, sheet_of


def amounts(working):
    return {item.name: Decimal(item.value.split()[0]) for item in working.inputs}


def test_totals_follow_from_one_another():
    sheet = sheet_of()
    found = {name: (amount, working) for name, amount, working in totals(sheet, BOOK, TERMS)}
    cost, working = found["Cost"]
    assert cost == sum(amounts(working).values()) == sheet.cost
    net, working = found["Net"]
    assert net == sum(amounts(working).values()) == sheet.net
    gross, working = found["Gross"]
    assert gross == sum(amounts(working).values()) == sheet.gross


def test_tax_names_its_rate_and_where_it_comes_from():
    sheet = sheet_of()
    _, tax, working = next(t for t in totals(sheet, BOOK, TERMS) if t[0].endswith("%"))
    given = amounts(working)
    assert (given["net"] * given["rate"] / 100).quantize(Decimal("0.01")) == tax
    assert working.inputs[1].origin == "example rate"
    ours = replace(BOOK, set_on={"tax": date(2026, 3, 1)})
    _, _, working = next(t for t in totals(sheet, ours, TERMS) if t[0].endswith("%"))
    assert working.inputs[1].origin == "your rate of 2026-03-01"


def test_deposits_say_their_net_and_tax():
    sheet = sheet_of()
    parts = [working for _, _, working in totals(sheet, BOOK, TERMS) if "part of the plan" in working.formula]
    assert len(parts) == len(sheet.deposits)
    assert sum(amounts(working)["net of it"] for working in parts) == sheet.net
    assert sum(amounts(working)["tax of it"] for working in parts) == sheet.tax


def test_deposits_name_each_rate_where_there_are_two():
    sheet = sheet_of()
    (first, *_) = sheet.deposits
    for taxes, rates in ((first.taxes, 0), (first.taxes * 2, 2)):
        found = totals(replace(sheet, deposits=(replace(first, taxes=taxes),)), BOOK, TERMS)
        (working,) = (working for _, _, working in found if "part of the plan" in working.formula)
        assert sum(each.name.startswith("tax at ") for each in working.inputs) == rates


def test_the_margin_left_is_what_the_sheet_says():
    sheet = sheet_of()
    name, left, working = totals(sheet, BOOK, TERMS)[-1]
    assert name == "Margin left"
    assert (100 * left / sheet.net).quantize(Decimal("0.01")) == sheet.margin_percent
    assert amounts(working)["margin aimed at"] == BOOK.basis_percent
