"""Designs, spaces and fits for the tests of the lattice."""

from decimal import Decimal

from hypothesis import strategies as st

from studio.lattice.design import AllOver, Design, Infill, Space
from studio.lattice.fit import Fit, best_fit

STAR = Infill(pattern="hemp-leaf", filament="Tea")
OPEN = Infill(pattern="open", filament="Air")
PATTERN = {
    "three-way": "hemp-leaf",
    "three-way turned": "hemp-leaf",
    "square": "square-hemp-leaf",
    "diamond": "crossed-diamond",
}
LATTICES = tuple(PATTERN)


def design(lattice="three-way", **changes):
    given = {
        "lattice": lattice,
        "lattice_filament": "Walnut",
        "edging_filament": "Walnut",
        "arrangement": AllOver(infill=Infill(pattern=PATTERN[lattice], filament="Tea")),
    }
    return Design(**{**given, **changes})


def space(width, height, **changes):
    return Space(widths_mm=(Decimal(width),), heights_mm=(Decimal(height),), **changes)


def sized(lattice, columns, rows, side="44", **changes) -> tuple[Design, Fit]:
    """A design with fixed counts and side, and its fit."""
    wanted = design(
        lattice,
        columns=columns,
        rows=rows,
        cell_side_mm=Decimal(side),
        side_play_percent=Decimal(0),
        **changes,
    )
    return wanted, best_fit(wanted, space(20_000, 20_000))


def fit_of(lattice, columns, rows, side="44", **changes) -> Fit:
    return sized(lattice, columns, rows, side, **changes)[1]


def hundredths(least, most):
    """Decimals with two places."""
    return st.integers(least * 100, most * 100).map(lambda n: Decimal(n) / 100)


lattices = st.sampled_from(LATTICES)
angles = st.sampled_from(["45", "60", "90", "101.5", "120"]).map(Decimal)
small_fits = st.builds(
    fit_of,
    lattices,
    st.integers(2, 9),
    st.integers(2, 9),
    st.sampled_from(["20", "37.5", "44"]),
    angle_deg=angles,
)
