"""Lines of a price with their workings, as texts."""

from dataclasses import dataclass

from studio.pricing.sheet import PriceLine, Working
from studio.workshop.house_style import HouseStyle

__all__ = ["LineShown", "inputs_shown", "shown_line"]


@dataclass(frozen=True)
class LineShown:
    text: str
    quantity: str
    amount: str
    formula: str
    inputs: tuple[tuple[str, str, str], ...]


def shown_line(line: PriceLine, style: HouseStyle) -> LineShown:
    return LineShown(
        text=line.text,
        quantity=f"{style.quantity(line.quantity)} {line.unit}",
        amount=style.money(line.amount),
        formula=line.working.formula,
        inputs=inputs_shown(line.working),
    )


def inputs_shown(working: Working) -> tuple[tuple[str, str, str], ...]:
    return tuple((item.name, item.value, item.origin) for item in working.inputs)
