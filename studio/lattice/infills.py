"""The infills that an arrangement names."""

from studio.lattice.design import AllOver, Arrangement, Bands, BorderAndField, Infill

__all__ = ["infills_of"]


def infills_of(arrangement: Arrangement) -> dict[str, Infill]:
    """Each infill by its field within the arrangement, in the order in which arranging counts them."""
    match arrangement:
        case AllOver():
            return {"infill": arrangement.infill}
        case Bands():
            return {f"bands.{i}.infill": band.infill for i, band in enumerate(arrangement.bands)}
        case BorderAndField():
            return {"border": arrangement.border, "field": arrangement.field}
