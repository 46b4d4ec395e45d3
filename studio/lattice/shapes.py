"""Shapes of cells, their hands and forms."""

from typing import Literal, assert_never, get_args

__all__ = ["HALF_HANDS", "QUARTER_HANDS", "SHAPES", "CellForm", "Shape", "form_of", "shape_in"]

CellForm = Literal["whole", "half", "half level", "half upright", "quarter"]
"""Shapes of cells, hands aside. A three-way lattice has whole cells and halves; a diamond one has halves cut
level (at the panel's bottom and top) or upright (at its sides) and quarters."""
Shape = Literal[
    "whole",
    "half, left hand",
    "half, right hand",
    "half, cut level",
    "half, cut upright",
    "quarter, left hand",
    "quarter, right hand",
]
"""Size classes: shape and hand. A left-hand half is not a right-hand half turned over: its front would lie
behind. Halves of a diamond cell are their own mirror images."""
SHAPES: tuple[Shape, ...] = get_args(Shape)
HALF_HANDS: tuple[Shape, ...] = (
    "half, left hand", "half, right hand", "half, right hand", "half, left hand",
)  # fmt: skip
"""Size class of a three-way half cell by its facing."""
QUARTER_HANDS: tuple[Shape, ...] = (
    "quarter, left hand", "quarter, right hand", "quarter, right hand", "quarter, left hand",
)  # fmt: skip
"""Size class of a diamond quarter cell by its facing."""


def form_of(shape: Shape) -> CellForm:
    match shape:
        case "whole":
            return "whole"
        case "half, left hand" | "half, right hand":
            return "half"
        case "half, cut level":
            return "half level"
        case "half, cut upright":
            return "half upright"
        case "quarter, left hand" | "quarter, right hand":
            return "quarter"
        case _:
            assert_never(shape)


def shape_in(form: CellForm, facing: int) -> Shape:
    """The shape of a form that faces so."""
    match form:
        case "whole":
            return "whole"
        case "half":
            return HALF_HANDS[facing]
        case "half level":
            return "half, cut level"
        case "half upright":
            return "half, cut upright"
        case "quarter":
            return QUARTER_HANDS[facing]
        case _:
            assert_never(form)
