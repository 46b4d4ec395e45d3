"""The symmetry of a drawing against the drawing itself, mirrored as a whole."""

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import scale, translate

from studio.lattice.cell import cell_polygon, opening_polygon
from studio.lattice.composition import compose
from studio.lattice.cut import alike
from studio.lattice.design import AllOver, Alternating, Infill
from studio.lattice.drawn_symmetry import drawn_symmetry
from tests.lattice.cast import LATTICES, PATTERN, sized


@pytest.mark.parametrize(
    ("columns", "rows", "drawn"),
    [(5, 5, "half-turn"), (4, 4, "both"), (5, 4, "top-bottom"), (4, 5, "left-right")],
)
def test_square_hemp_leaves_by_hand(columns, rows, drawn):
    """Their diagonals alternate like a chequerboard: with an odd count, an image faces as the cell does and
    so is no mirror image; each is its own after half a turn."""
    panel = compose(*sized("square", columns, rows))
    assert panel.fit.symmetry == "both"
    assert drawn_symmetry(panel) == drawn


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(LATTICES), st.integers(2, 5), st.integers(2, 5), st.booleans())
def test_what_is_said_is_what_the_whole_drawing_shows(lattice, columns, rows, by_turns):
    """Every piece of one colour in its place, all of them together mirrored about the panel's middle."""
    tea, indigo = (Infill(pattern=PATTERN[lattice], filament=name) for name in ("Tea", "Indigo"))
    arrangement = Alternating(first=tea, second=indigo) if by_turns else AllOver(infill=tea)
    panel = compose(*sized(lattice, columns, rows, arrangement=arrangement))
    middle = panel.fit.lattice_width_mm / 2, panel.fit.lattice_height_mm / 2

    def same(across, up):
        for filament in range(len(panel.filaments)):
            drawn = shapely.union_all(list(placed(panel, filament)))
            if drawn.symmetric_difference(scale(drawn, across, up, origin=middle)).area > 0.01 * drawn.area:
                return False
        return True

    ways = same(-1, 1), same(1, -1), same(-1, -1)
    names = ("left-right", "top-bottom", "half-turn")
    said = drawn_symmetry(panel)
    assert ways == tuple(said in ("both", name) for name in names)


def test_outlines_a_rounding_error_apart_are_alike():
    """Found: without a grid, the geometry library overlays these two as if they had nothing in common."""
    ours = opening_polygon("diamond", "half, cut level", 0, 36.30996693146488, 3.1994101626001568)
    cell = cell_polygon("diamond", "half, cut level", 0, 36.30996693146488)
    theirs = cell.buffer(-3.1994101626001568, join_style="mitre")
    assert ours.hausdorff_distance(theirs) < 1e-9
    assert alike(ours, theirs)
    assert not alike(ours, translate(theirs, 0.01))
    assert not alike(ours, scale(theirs, 1, -1))


def placed(panel, filament):
    for piece, colour, x, y in zip(panel.piece, panel.filament, panel.x, panel.y, strict=True):
        if colour == filament:
            yield translate(panel.pieces[piece].outline, x, y)
