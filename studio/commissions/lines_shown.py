"""Lines of a price with their workings, as texts."""

from dataclasses import dataclass

from studio.pricing.sheet import PriceLine, Working
from studio.voice import Voice

__all__ = ["LineShown", "inputs_shown", "shown_line"]


@dataclass(frozen=True)
class LineShown:
    text: str
    quantity: str
    amount: str
    formula: str
    inputs: tuple[tuple[str, str, str], ...]


def shown_line(line: PriceLine, voice: Voice) -> LineShown:
    return LineShown(
        text=line.text,
        quantity=f"{voice.quantity(line.quantity)} {line.unit}",
        amount=voice.money(line.amount),
        formula=line.working.formula,
        inputs=inputs_shown(line.working, voice),
    )


def inputs_shown(working: Working, voice: Voice) -> tuple[tuple[str, str, str], ...]:
    return tuple((item.name, voice.input(item.value), item.origin) for item in working.inputs)
