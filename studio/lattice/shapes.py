"""Shapes of cells, their hands and forms, for each kind of lattice."""

from studio.lattice.design import LatticeKind
from studio.lattice.pattern import Family, Form

__all__ = ["FORMS", "HALF_HANDS", "QUARTER_HANDS", "SHAPES", "family_of", "form_of", "shape_of", "shapes_of"]

SHAPES = (
    "whole",
    "half, left hand",
    "half, right hand",
    "half, cut level",
    "half, cut upright",
    "quarter, left hand",
    "quarter, right hand",
)
"""Size classes: shape and hand. A left-hand half is not a right-hand half turned over: its front would lie
behind. Halves of a diamond cell are their own mirror images."""
HALF_HANDS = {0: "half, left hand", 1: "half, right hand", 2: "half, right hand", 3: "half, left hand"}
"""Size class of a three-way half cell by its facing."""
QUARTER_HANDS = {facing: half.replace("half", "quarter") for facing, half in HALF_HANDS.items()}
"""Size class of a diamond quarter cell by its facing."""

FORMS: dict[Family, tuple[Form, ...]] = {
    "three-way": ("whole", "half"),
    "square": ("whole",),
    "diamond": ("whole", "half level", "half upright", "quarter"),
}


def family_of(lattice: LatticeKind) -> Family:
    return "three-way" if lattice == "three-way turned" else lattice


def form_of(shape: str) -> Form:
    """Raises KeyError for what is not a shape."""
    return {
        "whole": "whole",
        "half, left hand": "half",
        "half, right hand": "half",
        "half, cut level": "half level",
        "half, cut upright": "half upright",
        "quarter, left hand": "quarter",
        "quarter, right hand": "quarter",
    }[shape]  # type: ignore[return-value]


def shape_of(lattice: LatticeKind, form: Form) -> str:
    """The shape of a form in facing 0. Raises StopIteration for a form that the lattice does not have."""
    return next(shape for shape, facing in shapes_of(lattice) if form_of(shape) == form and facing == 0)


def shapes_of(lattice: LatticeKind) -> tuple[tuple[str, int], ...]:
    """Every shape that the lattice has, with each of its facings."""
    whole = (("whole", 0), ("whole", 1))
    if lattice == "square":
        return whole
    if lattice == "diamond":
        halves = tuple((f"half, cut {way}", facing) for way in ("level", "upright") for facing in (0, 1))
        return *whole, *halves, *((shape, facing) for facing, shape in QUARTER_HANDS.items())
    return *whole, *((shape, facing) for facing, shape in HALF_HANDS.items())
