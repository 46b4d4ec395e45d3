from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.lattice.fit import fits
from studio.lattice.kinds import kind_of
from studio.lattice.nearest import nearest
from tests.lattice.cast import design, hundredths, lattices, space


def test_square_cells_of_50_mm_in_an_opening_of_1200_by_750():
    """Gaps of 5 mm and edging of 12 mm a side leave 1166 by 716: 23 by 14 cells, 1150 and 700 mm."""
    found = nearest(design("square", cell_side_mm=Decimal(50)), space(1200, 750))
    assert (found.fit.columns, found.fit.rows, found.fit.width_mm, found.fit.height_mm) == (23, 14, 1174, 724)
    sizes = [
        (each.count, each.size_mm, each.opening_mm) for each in (found.across.smaller, found.across.larger)
    ]
    assert sizes == [(22, 1124, Decimal(1134)), (24, 1224, Decimal(1234))]
    sizes = [(each.count, each.size_mm, each.opening_mm) for each in (found.up.smaller, found.up.larger)]
    assert sizes == [(13, 674, Decimal(684)), (15, 774, Decimal(784))]
    assert found.opening_mm == (1200, 750)


def test_the_opening_is_that_of_the_narrowest_and_lowest():
    where = replace(
        space(1200, 750), widths_mm=(Decimal(1200), Decimal(1196)), heights_mm=(Decimal(748), Decimal(750))
    )
    assert nearest(design(), where).opening_mm == (1196, 748)


def test_counts_and_play_that_the_design_asks_for_do_not_matter():
    free = design(cell_side_mm=Decimal(50))
    bound = replace(free, columns=3, rows=5, side_play_percent=Decimal(25))
    assert nearest(free, space(1200, 750)) == nearest(bound, space(1200, 750))


def test_where_not_one_cell_fits_the_least_panel_and_its_opening():
    """A square cell of 400 mm with edging of 12 mm and gaps of 5 mm needs 434 mm."""
    found = nearest(design("square", cell_side_mm=Decimal(400)), space(430, 900))
    assert found.fit is None
    assert (found.across.fits, found.across.smaller) == (None, None)
    assert (found.across.larger.count, found.across.larger.opening_mm) == (1, Decimal(434))
    assert (found.up.fits.count, found.up.smaller.count, found.up.larger.count) == (2, 1, 3)


def test_a_panel_has_no_more_than_400_columns():
    found = nearest(design("square", cell_side_mm=Decimal(10)), space(9000, 900))
    assert (found.fit.columns, found.across.larger) == (400, None)


@given(
    lattice=lattices,
    angle=st.sampled_from(["60", "77.7", "120"]),
    side=hundredths(10, 400),
    width=hundredths(50, 3000),
    height=hundredths(50, 3000),
    edging=hundredths(0, 60),
)
def test_the_larger_panel_fits_the_opening_that_it_is_said_to_need(
    lattice, angle, side, width, height, edging
):
    wanted = design(lattice, cell_side_mm=side, edging_width_mm=edging, angle_deg=Decimal(angle))
    where, least = space(width, height), kind_of(lattice).least
    found = nearest(wanted, where)
    counts = [(way.fits.count if way.fits else least[i]) for i, way in enumerate((found.across, found.up))]
    kept = replace(wanted, side_play_percent=Decimal(0))
    roomy = replace(where, heights_mm=(Decimal(20_000),))
    if found.across.larger:
        count, needed = found.across.larger.count, found.across.larger.opening_mm
        assert needed > width
        one_more = replace(kept, columns=count, rows=least[1])
        (fit,) = fits(one_more, replace(roomy, widths_mm=(needed,)))
        assert fit.width_mm == pytest.approx(found.across.larger.size_mm, abs=1e-6)
        assert not fits(one_more, replace(roomy, widths_mm=(needed - Decimal("0.02"),)))
    if found.fit:
        assert (found.fit.columns, found.fit.rows) == tuple(counts)
        at_the_limit = not (found.across.larger and found.up.larger)
        assert at_the_limit or fits(kept, where) == (found.fit,)
        assert max(found.across.fits.opening_mm - width, found.up.fits.opening_mm - height) <= Decimal("0.01")
    else:
        assert not fits(kept, where)


def test_no_noise_of_floats_makes_the_opening_larger():
    """Seven square cells of 241.06 mm and two edgings of 12.34 mm: 1712.10 mm."""
    wanted = design(
        "square",
        cell_side_mm=Decimal("241.06"),
        edging_width_mm=Decimal("12.34"),
        side_play_percent=Decimal(0),
    )
    found = nearest(wanted, space("1712.09", 1000, gap_mm=Decimal(0)))
    assert found.across.larger.count == 7
    assert found.across.larger.opening_mm == Decimal("1712.10")
