"""Formulas of workings, read as a person with a pocket calculator reads them.

sum := product (+ or − product)*; product := factor (× or ÷ factor)*; factor := − factor, a figure, the name
of an input, or a sum in brackets, which may end in ", to N decimals" (halves up) or ", rounded up".
"""

import re
from collections.abc import Mapping
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

from studio.pricing.sheet import Working

__all__ = ["evaluated", "value_of"]

FIGURE = re.compile(r"\d+(\.\d+)?")
TO_PLACES = re.compile(r", to (\d+) decimals")
ROUNDED_UP = ", rounded up"


def value_of(text: str) -> Decimal:
    """What stands before the unit; of a percentage, the share."""
    figure, _, unit = text.partition(" ")
    return Decimal(figure) / 100 if unit == "%" else Decimal(figure)


def evaluated(formula: str, working: Working) -> Decimal:
    """The value of a formula, or of the part of one, with the inputs of its working. Raises AssertionError
    for what is no formula, or names no input."""
    reader = _Reader(
        formula, {each.name: value_of(each.value) for each in working.inputs if _is_figure(each.value)}
    )
    value = reader.sum()
    assert not reader.left, f"“{reader.left}” is left of “{formula}”"
    return value


def _is_figure(text: str) -> bool:
    return bool(re.match(r"-?\d", text))


class _Reader:
    def __init__(self, formula: str, inputs: Mapping[str, Decimal]) -> None:
        self.left, self.inputs = formula, dict(sorted(inputs.items(), key=lambda each: -len(each[0])))

    def takes(self, text: str) -> bool:
        if not self.left.startswith(text):
            return False
        self.left = self.left[len(text) :]
        return True

    def sum(self) -> Decimal:
        value = self.product()
        while True:
            if self.takes(" + "):
                value += self.product()
            elif self.takes(" − "):
                value -= self.product()
            else:
                return value

    def product(self) -> Decimal:
        value = self.factor()
        while True:
            if self.takes(" × "):
                value *= self.factor()
            elif self.takes(" ÷ "):
                value /= self.factor()
            else:
                return value

    def factor(self) -> Decimal:
        if self.takes("−"):
            return -self.factor()
        if self.takes("("):
            return self.brackets()
        for name, value in self.inputs.items():
            if self.takes(name):
                return value
        figure = FIGURE.match(self.left)
        assert figure, f"“{self.left}” is neither a figure nor one of {list(self.inputs)}"
        self.takes(figure[0])
        return Decimal(figure[0])

    def brackets(self) -> Decimal:
        value = self.sum()
        if places := TO_PLACES.match(self.left):
            self.takes(places[0])
            value = value.quantize(Decimal(1).scaleb(-int(places[1])), ROUND_HALF_UP)
        elif self.takes(ROUNDED_UP):
            value = value.to_integral_value(ROUND_CEILING)
        assert self.takes(")"), f"a bracket is open before “{self.left}”"
        return value
