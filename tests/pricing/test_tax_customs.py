"""What is usual by country, as published guidance has it (quoted in the module, from memory)."""

import pytest

from studio.pricing.tax_customs import EU, before_tax, due_with_payments


@pytest.mark.parametrize(
    ("locale", "due"),
    [("en_GB", True), ("en-IE", True), ("nl_NL", True), ("el_GR", True), ("en_US", False), ("fr_CA", False),
     ("de_CH", False), ("nb_NO", False), ("en", False)],
)  # fmt: skip
def test_a_payment_on_account_is_a_tax_point_where_the_rules_make_it_one(locale, due) -> None:
    """Council Directive 2006/112/EC, Article 65, and HMRC's VAT guide (Notice 700), the section on tax
    points; from memory. Elsewhere nothing is presumed, and what a studio says holds everywhere."""
    assert due_with_payments(None, locale) is due
    assert due_with_payments(not due, locale) is not due


def test_the_union_has_27_members() -> None:
    assert len(EU) == 27


@pytest.mark.parametrize(
    ("locale", "before"), [("en_US", True), ("fr-CA", True), ("en_GB", False), ("de_DE", False)]
)
def test_prices_are_named_before_tax_where_that_is_the_custom(locale, before) -> None:
    assert before_tax(locale) is before
