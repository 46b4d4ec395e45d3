from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lattice.design import WayIn
from studio.lattice.edging import edging_parts, rail_lengths
from studio.lattice.sections import BedLimit, divide
from studio.problem import Refused
from tests.lattice.cast import lattices, sized

BED = BedLimit(246, 200, 250)


def edged(lattice, columns, rows, way_in=None, beds=(BED,), **changes):
    wanted, fit = sized(lattice, columns, rows, **changes)
    sections, _, modules = divide(fit, wanted, [BED], way_in or WayIn(), 90)
    return [(p.code, p.size, p.count) for p in edging_parts(wanted, fit, sections, modules, beds)]


def test_rails_are_cut_to_the_longest_side_of_a_bed():
    """440 x 220 mm: 440 is two rails of 220 mm, of which there are 2 * 2 + 2 in all."""
    assert edged("square", 10, 5) == [("rail", "220.0 × 12.0 mm", 6), ("corner", "12.0 × 12.0 mm", 4)]


def test_rails_end_where_modules_meet():
    """Two modules of 220 x 440 mm, side by side; each long side is two rails of 220 mm."""
    way_in = WayIn(width_mm=Decimal(300), length_mm=Decimal(470))
    assert edged("square", 10, 10, way_in, beds=[BedLimit(500, 200, 250)]) == [
        ("rail", "440.0 × 12.0 mm", 2),
        ("rail", "220.0 × 12.0 mm", 4),
        ("corner", "12.0 × 12.0 mm", 4),
    ]


def test_no_edging_no_rails():
    assert edged("square", 10, 5, edging_width_mm=Decimal(0)) == []


def test_an_edging_wider_than_every_bed():
    with pytest.raises(Refused, match=r"design.edging_width_mm: an edging of 220 mm .*; at most 200 mm"):
        edged("square", 10, 5, edging_width_mm=Decimal(220))


@settings(max_examples=50)
@given(lattices, st.integers(2, 30), st.integers(2, 40), st.integers(330, 900))
def test_rails_go_all_round(lattice, columns, rows, width):
    wanted, fit = sized(lattice, columns, rows)
    way_in = WayIn(width_mm=Decimal(width), length_mm=Decimal(1200))
    sections, _, modules = divide(fit, wanted, [BED], way_in, 90)
    lengths = list(rail_lengths(fit, sections, modules, 246))
    assert sum(lengths) == pytest.approx(2 * fit.lattice_width_mm + 2 * fit.lattice_height_mm)
    assert max(lengths) <= 246 + 1e-6
