from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.lattice.split import BedLimit, Cuts, even, split
from studio.problem import Refused
from tests.lattice.cast import fit_of, lattices


@pytest.mark.parametrize(
    ("total", "parts", "shares"),
    [
        (10, 1, (10,)),
        (10, 2, (5, 5)),
        (10, 3, (3, 4, 3)),
        (11, 3, (4, 3, 4)),
        (12, 5, (3, 2, 2, 2, 3)),
        (11, 4, (3, 3, 3, 2)),
        (13, 5, (2, 3, 3, 3, 2)),
    ],
)
def test_even_shares(total, parts, shares):
    assert even(total, parts) == shares


@given(st.integers(1, 500), st.integers(1, 50))
def test_even_shares_add_up_and_differ_by_one_at_most(total, parts):
    shares = even(total, parts)
    assert sum(shares) == total
    assert max(shares) - min(shares) <= 1
    assert shares == shares[::-1] or (parts % 2 == 0 and total % 2)  # then no middle line could be one


def test_a_square_panel_of_13_columns_on_a_bed_of_five_cells():
    """13 columns of 44 mm: three sections, 4 + 5 + 4; 8 rows: two of 4."""
    cuts = split(fit_of("square", 13, 8), [BedLimit(230, 230, 200)])
    assert cuts.columns == (0, 4, 9, 13)
    assert cuts.rows == (0, 4, 8)
    assert cuts.sections == 6


def test_rows_of_triangles_stand_out_above_and_below():
    """12 half sides of 22 mm on a bed of 132 mm (six half sides) make three sections, not two: a section at
    an edge that is six half sides high holds six rows, and thirteen rows are left to be shared by 5 + 3 +
    5, alike from both ends."""
    cuts = split(fit_of("three-way", 3, 12), [BedLimit(132, 132, 200)])
    assert cuts.rows == (0, 5, 8, 13)
    eleven = split(fit_of("three-way", 3, 11), [BedLimit(132, 132, 200)])
    assert eleven.rows == (0, 6, 12)


def test_a_section_may_lie_on_the_bed_either_way():
    fit = fit_of("square", 9, 4)
    for bed in (BedLimit(400, 180, 200), BedLimit(180, 400, 200)):
        assert split(fit, [bed]).sections == 1


def test_the_bed_with_fewest_sections_is_taken():
    fit = fit_of("square", 10, 10)
    small, large = BedLimit(230, 230, 200), BedLimit(450, 450, 200)
    assert split(fit, [small, large]).sections == split(fit, [large, small]).sections == 1
    assert split(fit, [small]).sections == 4


@pytest.mark.parametrize(
    ("fit", "bed", "says"),
    [
        (
            fit_of("three-way", 9, 9, "44"),
            BedLimit(40, 60, 200),
            r"section, 38.1 mm by 66 mm, is 6 mm larger than the usable bed of 40 mm by 60 mm",
        ),
        (fit_of("square", 9, 9, "44"), BedLimit(100, 40, 200), r"44 mm by 44 mm, is 4 mm larger"),
    ],
)
def test_a_bed_smaller_than_a_section_can_be(fit, bed, says):
    with pytest.raises(Refused, match=rf"rate_book.printers: .*{says}"):
        split(fit, [BedLimit(20, 20, 200), bed])


@given(
    lattices,
    st.integers(2, 40),
    st.integers(2, 60),
    st.floats(140, 400),
    st.floats(140, 400),
)
def test_no_slivers(lattice, columns, rows, width, depth):
    """Sections of one panel differ by one column and one row at most, or by one step of length where lines
    zigzag, and cells stand out at both ends of a section between two others."""
    fit = fit_of(lattice, columns, rows, "44")
    cuts = split(fit, [BedLimit(width, depth, 200)])
    for axis, ends in ((fit.across, cuts.columns), (fit.up, cuts.rows)):
        lots = [b - a for a, b in pairwise(ends)]
        assert sum(lots) == axis.addresses
        if axis.zigzag and len(lots) > 1:
            assert min(lots) >= 2
            lots = [lots[0], *(lot + 1 for lot in lots[1:-1]), lots[-1]]
        assert max(lots) - min(lots) <= 1


def test_seams_lie_where_they_are_fixed():
    """13 x 8 cells of 44 mm: columns 3 + 6 + 4 as told, at most 264 mm wide; rows in two on a bed of 264."""
    fit, beds = fit_of("square", 13, 8), [BedLimit(264, 264, 200)]
    assert split(fit, beds, ((3, 9), ())) == Cuts((0, 3, 9, 13), (0, 4, 8))
    assert split(fit, beds, ((3, 9), (2, 4, 6))) == Cuts((0, 3, 9, 13), (0, 2, 4, 6, 8))


@pytest.mark.parametrize(
    ("lattice", "lines", "field", "says"),
    [
        ("square", ((5, 13), ()), "design.seams_after_columns", "the panel has 13 columns"),
        ("square", ((), (8,)), "design.seams_after_rows", "the panel has 8 rows"),
        ("square", ((6,), ()), "design.seams_after_columns", "up to 308 mm between"),  # 7 cells of 44
        ("three-way", ((), (4, 5)), "design.seams_after_rows", "falls apart"),
    ],
)
def test_fixed_seams_of_no_use_are_refused(lattice, lines, field, says):
    with pytest.raises(Refused) as caught:
        split(fit_of(lattice, 13, 8), [BedLimit(264, 264, 200)], lines)
    (problem,) = caught.value.problems
    assert problem.field == field
    assert says in str(problem.reason)
