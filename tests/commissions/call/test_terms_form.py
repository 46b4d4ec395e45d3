"""Terms as they are typed."""

import pytest

from studio.commissions.call.terms_form import read_terms
from studio.forms import Form
from studio.problem import Refused
from studio.voice import PLAIN


def test_a_discount_that_no_page_posts() -> None:
    with pytest.raises(Refused) as refused:
        read_terms(Form({"terms.tax": "standard", "terms.discount": "1"}), "GBP", PLAIN)
    assert [problem.field for problem in refused.value.problems] == ["terms.discount"]
