from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lattice.design import WayIn
from studio.lattice.modules import group
from studio.lattice.split import BedLimit, Cuts, split
from studio.problem import Refused
from tests.lattice.cast import fit_of, lattices


def way(width, length):
    return WayIn(width_mm=Decimal(width), length_mm=Decimal(length))


FIT = fit_of("square", 12, 6, "100", edging_width_mm=Decimal(10))
CUTS = Cuts((0, 2, 4, 6, 8, 10, 12), (0, 2, 4, 6))
"""Six by three sections of 200 mm: 1200 by 600 mm, with edging 1220 by 620."""


@pytest.mark.parametrize(
    ("width", "length", "sizes"),
    [
        (620, 1220, [(1220, 620)]),
        (1220, 620, [(1220, 620)]),
        (619, 1220, [(610, 620)] * 2),
        (620, 1219, [(610, 620)] * 2),
        (500, 1300, [(1220, 410), (1220, 210)]),
        (500, 1210, [(410, 620), (400, 620), (410, 620)]),
        (420, 420, [(410, 410), (410, 210), (400, 410), (400, 210), (410, 410), (410, 210)]),
        (211, 5000, [(1220, 210), (1220, 200), (1220, 210)]),
    ],
)
def test_fewest_even_modules_that_pass(width, length, sizes):
    modules = group(FIT, CUTS, 10, way(width, length))
    assert [(round(m.width_mm, 6), round(m.height_mm, 6)) for m in modules] == sizes


def test_a_module_lists_its_sections_in_order():
    """Sections are numbered upwards, column by column: three to a column."""
    modules = group(FIT, CUTS, 10, way(619, 1220))
    assert [m.sections for m in modules] == [tuple(range(9)), tuple(range(9, 18))]


def test_a_section_that_does_not_pass():
    with pytest.raises(
        Refused, match=r"space.way_in: .* 210 mm by 210 mm, does not pass .* 150 mm by 205 mm"
    ):
        group(FIT, CUTS, 10, way(150, 205))


def test_rows_of_triangles_overlap_where_modules_meet():
    """Six half sides in two sections of 4 and 3 rows: 4 half sides below, 3 + 1 above, with 22 mm each and no
    edging."""
    fit = fit_of("three-way", 4, 6, "44", edging_width_mm=Decimal(0))
    modules = group(fit, Cuts((0, 4), (0, 4, 7)), 0, way(100, 5000))
    assert [round(m.height_mm, 6) for m in modules] == [88, 66]


@settings(max_examples=60)
@given(
    lattices,
    st.integers(2, 40),
    st.integers(2, 60),
    st.integers(300, 1500),
    st.integers(300, 2500),
    st.sampled_from([0, 12, 40]),
)
def test_every_module_passes_and_holds_whole_sections(lattice, columns, rows, width, length, edging):
    fit = fit_of(lattice, columns, rows, "44", edging_width_mm=Decimal(edging))
    cuts = split(fit, [BedLimit(246, 200, 200)])
    modules = group(fit, cuts, edging, way(width, length))
    for module in modules:
        short, long = sorted((module.width_mm, module.height_mm))
        assert short <= min(width, length) + 1e-6
        assert long <= max(width, length) + 1e-6
    assert sorted(i for module in modules for i in module.sections) == list(range(cuts.sections))
