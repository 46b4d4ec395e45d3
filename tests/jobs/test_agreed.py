"""What was agreed is read from the frozen figures of every schema."""

import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from studio.estimate.report import for_client
from studio.jobs.agreed import Taxed, _settled, agreed_in, agreed_of
from studio.pricing.sheet import TaxedPart, TaxLine
from tests.proposals import by_hand

GOLDEN = Path(__file__).parent.parent / "proposals" / "golden"


def golden(schema: int) -> dict:
    return json.loads((GOLDEN / f"figures-schema-{schema}.json").read_text())


def by_price(price, currency: str) -> dict:
    option = {"letter": "A", "estimate": for_client(by_hand.estimate(price=price))}
    return {"currency": currency, "issued_on": "2026-03-02", "options": [option]}


@pytest.mark.parametrize("schema", [1, 2])
def test_half_and_half(schema):
    """£1,000 and 20 % tax, in two payments."""
    agreed = agreed_in(golden(schema), "A")
    assert not agreed.deposit_is_tax_point
    assert [(each.place, each.text, each.gross_minor) for each in agreed.stages] == [
        (1, "On approval", 60000),
        (2, "On hand-over", 60000),
    ]
    assert agreed.stage(2).taxes == (Taxed("standard", "VAT", "20", 50000, 10000),)
    assert agreed.stage(3) is None


def test_two_taxes():
    """£900 at 20 % and £100 at 5 %."""
    stage = agreed_in(by_price(by_hand.two_taxes(), "GBP"), "A").stage(1)
    assert (stage.net_minor, stage.tax_minor, stage.gross_minor) == (50000, 9250, 59250)
    assert [(tax.percent, tax.net_minor, tax.tax_minor) for tax in stage.taxes] == [
        ("20", 45000, 9000),
        ("5", 5000, 250),
    ]


def test_several_taxes_on_one_base_are_told_apart_and_fall_on_the_last_payment_with_a_refit():
    """By hand: 1,000.00 at 5 % and 10 %, in halves of 25.00 and 50.00; of 1,100.00 afterwards, 30.00 and
    60.00 are left for the last payment."""

    def priced(net: int) -> dict:
        parts = tuple(
            TaxedPart(name, Decimal(p), Decimal(net * p) / 100) for name, p in (("a", 5), ("b", 10))
        )
        plain = by_hand.sheet(str(net), str(net * Decimal("0.15")))
        halves = (TaxLine("both", "Both", Decimal(15), Decimal(net) / 2, Decimal(net) * 15 / 200,
                          tuple(replace(part, tax=part.tax / 2) for part in parts)),)  # fmt: skip
        whole = (replace(halves[0], net=Decimal(net), tax=Decimal(net) * 15 / 100, parts=parts),)
        deposits = tuple(replace(part, taxes=halves) for part in plain.deposits)
        return by_price(replace(plain, taxes=whole, deposits=deposits), "GBP")

    first, refit = agreed_in(priced(1000), "A"), agreed_in(priced(1100), "A")
    assert first.stage(1).taxes == (
        Taxed("both", "Both", "15", 50000, 7500, (("a", "5", 2500), ("b", "10", 5000))),
    )
    (last,) = _settled(first, refit).stage(2).taxes
    assert (last.net_minor, last.tax_minor, last.parts) == (
        60000,
        9000,
        (("a", "5", 3000), ("b", "10", 6000)),
    )
    assert last.opposite().parts == (("a", "5", -3000), ("b", "10", -6000))


def test_an_early_payment_of_one_tax_is_all_of_that_one_and_one_of_several_is_left():
    figures = golden(1)
    estimate = figures["options"][0]["estimate"]
    del estimate["deposits"][0]["taxes"]
    assert agreed_in(figures, "A").stage(1).taxes == (Taxed("standard", "VAT", "20", 50000, 10000),)
    estimate["taxes"] *= 2
    assert agreed_in(figures, "A").stage(1).taxes == ()


def test_a_currency_without_smaller_coins():
    figures = by_price(by_hand.sheet("1000", "200", "JPY"), "JPY")
    assert [stage.gross_minor for stage in agreed_in(figures, "A").stages] == [600, 600]


def test_a_real_yes_is_paid_whole_by_its_stages(yes):
    agreed = agreed_of(yes)
    assert sum(stage.gross_minor for stage in agreed.stages) == yes.gross_minor
    for stage in agreed.stages:
        assert stage.gross_minor == stage.net_minor + stage.tax_minor
        assert sum(tax.net_minor for tax in stage.taxes) == stage.net_minor
        assert sum(tax.tax_minor for tax in stage.taxes) == stage.tax_minor
