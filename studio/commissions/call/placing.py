"""Problems of a brief or of its rates at the words of the call page that they are about."""

from collections.abc import Iterable

from django.urls import reverse

from studio.forms import Form, Linked
from studio.problem import Problem

__all__ = ["placed"]


def placed(problems: Iterable[Problem], form: Form) -> list[Problem]:
    """Problems of a brief or of its rates at the fields of the page that they are about."""
    return [each for problem in problems for each in (_unpriced(problem, form) or [_at(problem, form)])]


def _unpriced(problem: Problem, form: Form) -> list[Problem]:
    """A colour without a price, at every word that chooses it, with a way to where its price is set."""
    if not problem.field.startswith("rate_book.filaments."):
        return []
    name = problem.field.removeprefix("rate_book.filaments.").removesuffix(".price_per_spool")
    asked = ("design.", "cell.") if form["change"] == "set cell" else ("design.",)
    colours = {field: text for field, text in form.values.items() if field.endswith("filament")}
    fields = [field for field, text in colours.items() if text == name and field.startswith(asked)]
    told = problem.reason, problem.remedy, reverse("workshop-rates", args=["filaments"]), "To the filaments"
    return [Linked(field, *told) for field in fields or [problem.field]]


def _at(problem: Problem, form: Form) -> Problem:
    field = problem.field.removeprefix("brief.")
    if field not in form.values:
        field = next((name for name in form.values if name.startswith(f"{field}.")), field)
    return Problem(field, problem.reason, problem.remedy)
