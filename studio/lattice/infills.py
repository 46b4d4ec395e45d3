"""The infills that a design names."""

from studio.lattice.design import (
    AllOver,
    Alternating,
    Arrangement,
    Bands,
    BorderAndField,
    Design,
    Drift,
    Infill,
    Rings,
    Rosettes,
)

__all__ = ["infills_of"]


def infills_of(design: Design) -> dict[str, Infill]:
    """Each infill by its field within the design, in the order in which arranging counts them: those of the
    arrangement, then those of the touch-ups."""
    arranged = {f"arrangement.{field}": infill for field, infill in _arranged(design.arrangement).items()}
    return arranged | {f"touch_ups.{i}.infill": touch.infill for i, touch in enumerate(design.touch_ups)}


def _arranged(arrangement: Arrangement) -> dict[str, Infill]:
    match arrangement:
        case AllOver():
            return {"infill": arrangement.infill}
        case Bands():
            return {f"bands.{i}.infill": band.infill for i, band in enumerate(arrangement.bands)}
        case BorderAndField():
            return {"border": arrangement.border, "field": arrangement.field}
        case Rings():
            return {f"rings.{i}.infill": band.infill for i, band in enumerate(arrangement.rings)}
        case Rosettes():
            return {"rosette": arrangement.rosette, "field": arrangement.field}
        case Drift() | Alternating():
            return {"first": arrangement.first, "second": arrangement.second}
