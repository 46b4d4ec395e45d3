"""The workings that a client may be given with an issue, when the studio chose so, cost and margin too."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from studio.voice import Voice

__all__ = ["ShownWorking", "workings"]


@dataclass(frozen=True, slots=True)
class ShownWorking:
    """A line or a total of the studio's own with how it comes about."""

    text: str
    quantity: str
    amount: str
    formula: str
    inputs: str
    total: bool


def workings(costs: dict[str, Any], voice: Voice) -> Iterator[ShownWorking]:
    """Of one option's frozen costs: the studio's lines, then the totals."""
    for line in costs["lines"]:
        quantity, price = voice.quantity(line["quantity"], 5), voice.rate(line["unit_price"])
        yield _working(line, f"{quantity} {line['unit']} × {price}" if line["unit"] else "", voice)
    for total in costs["totals"]:
        yield _working(total, "", voice, total=True)


def _working(row: dict[str, Any], quantity: str, voice: Voice, total: bool = False) -> ShownWorking:
    inputs = [f"{i['name']} {voice.input(i['value'])} ({i['origin']})" for i in row["working"]["inputs"]]
    return ShownWorking(
        row["text"], quantity, voice.money(row["amount"]), row["working"]["formula"], "; ".join(inputs), total
    )
