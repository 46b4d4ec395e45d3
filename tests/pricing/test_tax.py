"""Tax as EN 16931 has it, on its public examples (examples 2 and 5 of the electronic invoicing validation
artefacts)."""

from decimal import Decimal

import pytest

from studio.money import round_money
from studio.pricing.rate_book import TaxCategory
from studio.pricing.tax import net_from_gross, tax_lines

D = Decimal


def category(percent: int) -> TaxCategory:
    return TaxCategory(code=f"rate-{percent}", text=f"{percent} %", percent=D(percent))


def test_whole_document_with_allowance_charge_and_exempt_line() -> None:
    """EN 16931 public example 2 (NOK); totals by BR-CO-10 to BR-CO-17."""
    lines = [(25, "1273.00"), (15, "-3.96"), (15, "4.96"), (0, "-25.00"), (25, "187.50")]
    document_level = [(25, "-100.00"), (25, "100.00")]
    taxed = [(category(percent), D(amount)) for percent, amount in lines + document_level]
    found = tax_lines(taxed, False, "per category", "NOK")

    assert [(line.percent, line.net, line.tax) for line in found] == [
        (25, D("1460.50"), D("365.13")),
        (15, D("1.00"), D("0.15")),
        (0, D("-25.00"), D("0.00")),
    ]
    net, tax = sum(line.net for line in found), sum(line.tax for line in found)
    assert (net, tax, net + tax) == (D("1436.50"), D("365.28"), D("1801.78"))
    assert net + tax - D(1000) == D("801.78")  # BT-115: due = gross - prepaid


def test_two_rates_and_half_prepaid() -> None:
    """EN 16931 public example 5 (DKK)."""
    found = tax_lines(
        [(category(25), D("1500.00")), (category(12), D("2500.00"))], False, "per category", "DKK"
    )
    assert [line.tax for line in found] == [D("375.00"), D("300.00")]
    gross = sum(line.net + line.tax for line in found)
    assert (gross, round_money(gross / 2, "DKK")) == (D("4675.00"), D("2337.50"))


def test_the_two_modes_differ_where_halves_add_up() -> None:
    """EN 16931 rounds per category; rounding each of two taxes of 0.005 up gives a cent more. By hand: 0.10
    at 5 %."""
    taxed = [(category(5), D("0.10")), (category(5), D("0.10"))]
    assert tax_lines(taxed, False, "per category", "EUR")[0].tax == D("0.01")
    assert tax_lines(taxed, False, "per line", "EUR")[0].tax == D("0.02")


def test_tax_out_of_gross_lines_once_for_each_category() -> None:
    """The United Kingdom's VAT fraction at 20 % is 1/6 (VAT guide, Notice 700; from memory): of 60.00 and
    39.99 together 16.66, since the net is 83.325, rounded up (check value M6). At 5 % it is 1/21: of 21.00 it
    is 1.00. By hand; the sums of EN 16931 (BR-CO-13 to 15) hold. Line by line the net of 0.10 is 0.08, of
    twice as much 0.17."""
    lines = [(category(20), D("60.00")), (category(5), D("21.00")), (category(20), D("39.99"))]
    found = tax_lines(lines, True, "per category", "GBP")
    assert [(line.net, line.tax) for line in found] == [(D("83.33"), D("16.66")), (D("20.00"), D("1.00"))]
    assert sum(line.net + line.tax for line in found) == D("120.99")
    tenths = [(category(20), D("0.10"))] * 2
    assert tax_lines(tenths, True, "per category", "GBP")[0].net == D("0.17")
    assert tax_lines(tenths, True, "per line", "GBP")[0].net == D("0.16")


@pytest.mark.parametrize(
    ("gross", "percent", "net", "tax"),
    [
        ("120.00", 20, "100.00", "20.00"),
        ("99.99", 20, "83.33", "16.66"),
        ("100.00", 19, "84.03", "15.97"),
        ("49.99", 21, "41.31", "8.68"),
    ],
)
def test_net_from_gross(gross, percent, net, tax) -> None:
    """Reverse percentage, net = gross/(1 + r); 99.99/1.2 is 83.325 exactly and separates half up from half
    even."""
    assert net_from_gross(D(gross), D(percent), "GBP") == D(net)
    assert D(gross) - D(net) == D(tax)
