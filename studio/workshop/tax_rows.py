"""The lines of taxes on the price page: several taxes on one base, and what a page of them may not say."""

from collections.abc import Iterator
from contextlib import suppress
from decimal import Decimal
from typing import Any

from studio.document import parse
from studio.forms import Form, flat
from studio.pricing.rate_book import RateBook, TaxPart
from studio.problem import Problem, Refused

__all__ = ["add_part", "name_problems", "taxes_typed"]


def add_part(form: Form, place: str) -> Form:
    """One named tax more at `place`, such as "tax.0.parts"; the form as it is where no tax is there."""
    typed, (_kind, index, *inside) = form.document(), place.split(".", 3)
    rows = typed.get("tax")
    if inside != ["parts"] or not isinstance(rows, list) or index not in map(str, range(len(rows))):
        return form
    row = rows[int(index)]
    if isinstance(row, dict) and isinstance(parts := row.setdefault("parts", []), list):
        parts.append({"text": "", "percent": ""})
    return Form(flat(typed))


def taxes_typed(rows: list[dict[str, Any]]) -> None:
    """Several taxes say what they are together, where nothing else is typed."""
    for row in rows:
        if row.get("parts") and not row.get("percent"):
            with suppress(Refused):  # what is wrong with one of them is said there
                row["percent"] = str(sum((parse(TaxPart, part).percent for part in row["parts"]), Decimal(0)))


def name_problems(book: RateBook) -> Iterator[Problem]:
    """Two taxes of one name could not be told apart on a document."""
    names = [tax.text for tax in book.tax]
    for index, name in enumerate(names):
        if name in names[:index]:
            yield Problem(f"tax.{index}.text", f"{name} is there twice", "rename one of them")
