"""The lines of roles on the labour page."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Annotated, Any

from pydantic import Field

from studio.document import document, parse
from studio.problem import Problem, Refused

__all__ = ["bad_roles"]


@document
class _Role:
    name: Annotated[str, Field(min_length=1, max_length=80)]
    rate: Annotated[Decimal, Field(ge=0, le=10**9, decimal_places=4)]


def bad_roles(rows: list[dict[str, Any]]) -> Iterator[Problem]:
    names = [row.get("name", "") for row in rows]
    for index, row in enumerate(rows):
        if names[index] and names[index] in names[:index]:
            yield Problem(
                f"roles.{index}.name", f"{names[index]} is there twice", "keep one, or rename the other"
            )
        try:
            parse(_Role, row)
        except Refused as refused:
            yield from refused.under(f"roles.{index}").problems
