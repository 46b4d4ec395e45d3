"""Terms as they are typed."""

from decimal import Decimal

import pytest

from studio.commissions.call.terms_form import read_terms
from studio.forms import Form
from studio.problem import Refused
from studio.voice import PLAIN


def test_a_discount_that_no_page_posts() -> None:
    with pytest.raises(Refused) as refused:
        read_terms(Form({"terms.tax": "standard", "terms.discount": "1"}), "GBP", PLAIN)
    assert [problem.field for problem in refused.value.problems] == ["terms.discount"]


def test_a_price_of_electricity_may_be_unknown() -> None:
    typed = Form(
        {"terms.tax": "standard", "terms.light_price_per_kwh": " ", "terms.light_hours_a_day": "6,5"}
    )
    found = read_terms(typed, "GBP", PLAIN)
    assert (found.light_price_per_kwh, found.light_hours_a_day) == (None, Decimal("6.5"))
    with pytest.raises(Refused, match=r"terms\.light_hours_a_day: .*at most 24"):
        read_terms(Form({"terms.tax": "standard", "terms.light_hours_a_day": "25"}), "GBP", PLAIN)
