from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lattice.cell import cell_polygon
from studio.lattice.composition import SHAPES, compose
from studio.lattice.design import AllOver, Band, Bands, BorderAndField, Infill
from studio.problem import Refused
from tests.lattice.cast import LATTICES, OPEN, PATTERN, STAR, lattices, sized


def composed(lattice="three-way", columns=6, rows=8, **changes):
    return compose(*sized(lattice, columns, rows, **changes))


def test_one_distinct_piece_for_each_shape_and_facing():
    """Six kinds in a three-way lattice: whole cells face two ways, halves four; 6 * 7 whole, 12 halves."""
    panel = composed()
    assert len(panel.pieces) == 6
    assert {(p.shape, p.facing) for p in panel.pieces} == {
        ("whole", 0), ("whole", 1), (SHAPES[1], 0), (SHAPES[1], 3), (SHAPES[2], 1), (SHAPES[2], 2),
    }  # fmt: skip
    assert len(panel.x) == 6 * 7 + 12
    assert panel.filaments == ("Tea",)
    assert (panel.filament == 0).all()


@pytest.mark.parametrize("lattice", LATTICES)
def test_every_cell_has_a_piece_of_its_own_kind(lattice):
    panel = composed(lattice)
    for i, piece in enumerate(panel.piece):
        assert panel.pieces[piece].shape == SHAPES[panel.shape[i]]
        assert panel.pieces[piece].facing == panel.facing[i]
        opening = panel.openings[int(panel.shape[i]), int(panel.facing[i])]
        assert opening.buffer(1e-6).contains(panel.pieces[piece].outline)


def test_an_open_border_has_neither_piece_nor_filament():
    panel = composed(
        "square",
        4,
        3,
        arrangement=BorderAndField(border=OPEN, field=Infill(pattern=PATTERN["square"], filament="Tea")),
    )
    assert panel.filaments == ("Tea",)
    assert np.flatnonzero(panel.piece >= 0).tolist() == [4, 7]
    assert np.flatnonzero(panel.filament >= 0).tolist() == [4, 7]


def test_one_pattern_in_two_colours_is_cut_once():
    other = Infill(pattern=STAR.pattern, filament="Indigo")
    arrangement = Bands(bands=(Band(infill=STAR, cells=1), Band(infill=other, cells=2)))
    panel = composed(arrangement=arrangement)
    assert len(panel.pieces) == 6
    assert panel.filaments == ("Tea", "Indigo")
    assert np.unique(panel.column[panel.filament == 0]).tolist() == [0, 3]


@pytest.mark.parametrize(
    ("infill_depth", "backing", "says"),
    [
        (18, "none", ""),
        (24, "none", ""),
        (25, "none", "stand 13 mm out at the front, more than the 12 mm of lattice.*at most 24 mm"),
        (12, "sheet", ""),
        (
            18,
            "sheet",
            "stand 6 mm out at the front, and before a backing sheet.*at most 12 mm.*or no backing sheet",
        ),
        (18, "diffuser", "before a diffuser"),
    ],
)
def test_how_far_infills_may_stand_out(infill_depth, backing, says):
    changes = {"depth_mm": Decimal(12), "infill_depth_mm": Decimal(infill_depth), "backing": backing}
    if not says:
        assert composed(arrangement=AllOver(infill=STAR), **changes).pieces
        return
    with pytest.raises(Refused, match=f"design.infill_depth_mm: .*{says}"):
        composed(arrangement=AllOver(infill=STAR), **changes)


UNKNOWN = Infill(pattern="no such", filament="Tea")
SQUARE = Infill(pattern="square-hemp-leaf", filament="Tea")


@pytest.mark.parametrize(
    ("arrangement", "says"),
    [
        (AllOver(infill=UNKNOWN), r"design.arrangement.infill.pattern: there is no"),
        (
            AllOver(infill=SQUARE),
            r"design.arrangement.infill.pattern: .*not a pattern for a three-way lattice",
        ),
        (
            Bands(bands=(Band(infill=STAR, cells=1), Band(infill=UNKNOWN, cells=1))),
            r"design.arrangement.bands.1.infill.pattern",
        ),
        (BorderAndField(border=STAR, field=UNKNOWN), r"design.arrangement.field.pattern"),
    ],
)
def test_unknown_patterns_are_refused_where_they_stand(arrangement, says):
    with pytest.raises(Refused, match=says):
        composed(arrangement=arrangement)


def test_arrays_are_read_only():
    panel = composed()
    for array in (
        panel.column,
        panel.row,
        panel.x,
        panel.y,
        panel.shape,
        panel.facing,
        panel.piece,
        panel.filament,
    ):
        assert not array.flags.writeable


@settings(max_examples=30)
@given(lattices, st.integers(2, 9), st.integers(2, 9))
def test_cells_cover_the_panel(lattice, columns, rows):
    panel = composed(lattice, columns, rows)
    area = np.take(panel.cell_area_mm2, panel.shape).sum()
    assert area == pytest.approx(panel.fit.lattice_width_mm * panel.fit.lattice_height_mm)
    for (shape, facing), opening in panel.openings.items():
        assert cell_polygon(lattice, SHAPES[shape], facing, 44).contains(opening)
