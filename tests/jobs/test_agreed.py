"""What was agreed is read from the frozen figures of every schema."""

import json
from pathlib import Path

import pytest

from studio.estimate.report import for_client
from studio.jobs.agreed import Taxed, agreed_in, agreed_of
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
