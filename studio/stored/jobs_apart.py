"""The first schema of the calendar also held the stock and the promised jobs, which are movements now."""

from typing import Any

from studio.document import document, parse
from studio.making.shop import Promise, Stock

__all__ = ["HeldOnce", "held_once", "without_jobs"]


@document
class HeldOnce:
    stock: tuple[Stock, ...] = ()
    promised: tuple[Promise, ...] = ()


def held_once(values: dict[str, Any]) -> HeldOnce:
    """From the values of the first schema. Raises Refused for what nobody can carry over."""
    held = {name: values[name] for name in HeldOnce.__dataclass_fields__ if name in values}
    return parse(HeldOnce, held, decimal_commas=False)


def without_jobs(values: dict[str, Any]) -> dict[str, Any]:
    """From the first schema to the second. Where it is not known what is promised, no date may be named:
    that raises Refused as before."""
    held_once(values)
    return {name: value for name, value in values.items() if name not in HeldOnce.__dataclass_fields__}
