"""An option in plain words: what the studio reads aloud and what the client reads back."""

from collections.abc import Sequence

from studio.drawing.figures import Units, size_text
from studio.estimate.brief import Brief
from studio.lattice.design import AllOver, Arrangement, Bands, Design, Infill, LatticeKind, Space
from studio.lattice.fit import Fit
from studio.lattice.patterns import OPEN, pattern
from studio.pricing.terms import Terms

__all__ = ["arrangement_words", "colour_word", "infill_words", "spoken_paragraph"]

NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
BACKING = {"none": "", "sheet": "on a backing sheet", "diffuser": "on a diffuser"}


def spoken_paragraph(brief: Brief, fit: Fit, units: Units = "metric") -> str:
    """The option as one paragraph, without its letter: size, arrangement, how it is made and delivered."""
    design = brief.design
    sentences = (
        _lattice(design, brief.space, fit, units),
        _panel(fit, units),
        arrangement_words(design.arrangement, design.lattice),
        _making(design, brief.terms, units),
    )
    return " ".join(f"{text[0].upper()}{text[1:]}." for text in sentences)


def infill_words(infill: Infill, lattice: LatticeKind) -> str:
    """Such as "hemp leaf in tea"; "open cells" where nothing is put in."""
    if infill.pattern == OPEN:
        return "open cells"
    return f"{pattern(infill.pattern, lattice).name.lower()} in {colour_word(infill.filament)}"


def colour_word(filament: str) -> str:
    """A filament within a sentence: "Tea" becomes "tea"; a name with capitals of its own keeps them."""
    return filament.lower() if filament.istitle() else filament


def arrangement_words(arrangement: Arrangement, lattice: LatticeKind) -> str:
    if isinstance(arrangement, AllOver):
        return f"{infill_words(arrangement.infill, lattice)} all over"
    if isinstance(arrangement, Bands):
        counted = [
            f"{_number(band.cells)} of {infill_words(band.infill, lattice)}" for band in arrangement.bands
        ]
        return f"{arrangement.direction} bands in turn, {_and(counted)}"
    field, border = infill_words(arrangement.field, lattice), infill_words(arrangement.border, lattice)
    return f"{field} all over, with a {_number(arrangement.border_cells)}-cell border of {border}"


def _lattice(design: Design, space: Space, fit: Fit, units: Units) -> str:
    several = len(space.widths_mm) > 1 or len(space.heights_mm) > 1
    about = "" if space.measured or several else "about "  # nobody says the smallest of several sizes
    width, height = (size_text(float(min(lengths)), units) for lengths in (space.widths_mm, space.heights_mm))
    cells = f"a {design.lattice} lattice of {size_text(fit.cell_side_mm, units)} cells"
    size = "" if design.columns or design.rows else ", as large as fits"
    return f"{cells} for an opening {about}{width} wide and {height} high{size}"


def _panel(fit: Fit, units: Units) -> str:
    return f"the panel itself is {size_text(fit.width_mm, units)} × {size_text(fit.height_mm, units)}"


def _making(design: Design, terms: Terms, units: Units) -> str:
    lit = "lit from behind" if design.lit else ""
    parts = (f"{size_text(float(design.depth_mm), units)} deep", BACKING[design.backing], lit, terms.delivery)
    return ", ".join(filter(None, parts))


def _number(count: int) -> str:
    return NUMBERS[count] if count < len(NUMBERS) else str(count)


def _and(parts: Sequence[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
