"""How a price is named by the tax in it."""

import pytest

from studio.pricing.price_words import price_words


@pytest.mark.parametrize(
    ("treatments", "named"),
    [
        (["taxed", "exempt"], "with tax"),
        (["exempt"], "exempt from tax"),
        (["reverse charge"], "without tax, reverse charge"),
        (["reverse charge", "exempt"], "without tax"),
        (["untaxed"], ""),
        ([], ""),
    ],
)
def test_one_reason_is_named_and_two_are_left_to_what_stands_beside(treatments, named):
    assert price_words(True, treatments) == named


def test_a_taxed_price_says_which_one_it_is():
    assert price_words(False, ["exempt", "taxed"]) == "without tax"
