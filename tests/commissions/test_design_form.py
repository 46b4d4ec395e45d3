"""A design from its words."""

import pytest

from studio.commissions.design_form import design_form, read_design
from studio.estimate.example import example_question
from studio.forms import Form, sentence
from studio.problem import Refused


def test_a_bound_is_told_by_what_was_typed() -> None:
    words = design_form(example_question().brief.design, "metric").values
    with pytest.raises(Refused) as refused:
        read_design(Form({**words, "design.cell_side_mm": "1,2 m"}))
    (problem,) = refused.value.problems
    assert (problem.field, sentence(problem)) == (
        "design.cell_side_mm",
        "“1,2 m” is 1200 mm. Give at most 400 mm.",
    )
