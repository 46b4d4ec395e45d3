"""A sensible first design for a space: something to talk about, from which the words are changed. Pure."""

from decimal import Decimal

from studio.lattice.design import BorderAndField, Design, Infill, Space
from studio.lattice.fit import best_fit
from studio.lattice.patterns import usual_patterns
from studio.pricing.rate_book import RateBook
from studio.problem import Refused

__all__ = ["first_design"]

SIDES_MM = (44, 60, 36, 30, 80, 24, 20)
"""Wanted cell sides, the preferred first."""
FEWEST, MOST = 8, 60
"""Columns between which a panel shows its pattern and can still be assembled by hand."""


def first_design(space: Space, book: RateBook) -> Design:
    """Hemp leaf all over with a two-cell border, in the first colours of the rate book that have a price;
    cells of a size that gives a number of columns fit to look at."""
    colours = [filament.name for filament in book.filaments if filament.price_per_spool is not None]
    colours = colours or [filament.name for filament in book.filaments]
    field, border, ground = (colours[index % len(colours)] for index in (0, 1, 3))
    main, second = usual_patterns("three-way")
    design = {
        "lattice_filament": ground,
        "edging_filament": ground,
        "arrangement": BorderAndField(
            field=Infill(pattern=main, filament=field),
            border=Infill(pattern=second, filament=border),
            border_cells=2,
        ),
    }
    tried = [Design(cell_side_mm=Decimal(side), **design) for side in SIDES_MM]  # type: ignore[arg-type]
    return next((found for found in tried if _suits(found, space)), tried[0])


def _suits(design: Design, space: Space) -> bool:
    try:
        fit = best_fit(design, space)
    except Refused:
        return False
    return FEWEST <= fit.columns <= MOST and fit.rows >= FEWEST
