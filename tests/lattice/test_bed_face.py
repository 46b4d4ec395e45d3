"""The chamfer of the bed face: the first layer stays one printable part."""

import pytest
from shapely import Polygon, box, union_all

from studio.lattice.cut import LEAST_STRIP_MM, hangs_together
from studio.lattice.infill_piece import BED_CHAMFER_MM, bed_chamfer_mm, bed_outline
from studio.lattice.kinds import kind_of
from studio.lattice.patterns import pattern, patterns
from studio.lattice.piece import piece_for


def test_a_plate_is_drawn_in_on_every_side():
    outline = bed_outline(box(0, 0, 20, 10))
    assert outline.bounds == pytest.approx((0.3, 0.3, 19.7, 9.7))
    assert outline.area == pytest.approx(19.4 * 9.4)


def test_a_hole_grows_as_the_edge_shrinks():
    frame = box(0, 0, 20, 20) - box(5, 5, 15, 15)
    assert bed_outline(frame).area == pytest.approx(19.4**2 - 10.6**2)


@pytest.mark.parametrize(("width", "chamfer"), [(2.0, 0.3), (1.1, 0.3), (1.0, 0.2), (0.9, 0.2), (0.5, 0.0)])
def test_a_strip_keeps_a_bead_on_the_bed(width, chamfer):
    """By hand: 1.1 - 2 x 0.3 is 0.5 mm, a bead 0.45; 1.0 would keep 0.4 and gets 0.2 instead."""
    assert bed_chamfer_mm(box(0, 0, 30, width)) == pytest.approx(chamfer)


def test_a_neck_that_the_chamfer_would_part_keeps_what_it_needs():
    waisted = union_all([box(0, 0, 10, 10), box(20, 0, 30, 10), box(10, 4.8, 20, 5.5)])
    assert isinstance(waisted, Polygon)
    assert bed_chamfer_mm(waisted) == pytest.approx(0.1)  # 0.7 - 2 x 0.1 is 0.5


def test_every_piece_has_a_bed_face_in_one_part():
    for design in patterns():
        for shape, facing in kind_of(design.lattice).shapes:
            piece = piece_for(design, design.lattice, shape, facing, 60.0, 3.2, LEAST_STRIP_MM, 0.15)
            if piece is not None and facing == 0:
                assert isinstance(piece.bed_outline, Polygon)
                assert hangs_together(piece.bed_outline)
                assert piece.outline.covers(piece.bed_outline)


def test_what_masses_leave_out_is_small():
    """Half the chamfer's square along the edges against the volume: by hand for a hemp leaf's outline."""
    outline = piece_for(pattern("hemp-leaf"), "three-way", "whole", 0, 44.0, 3.2, 2.0, 0.15).outline
    layers = [outline.buffer(-BED_CHAMFER_MM * (i + 0.5) / 60, join_style="mitre").area for i in range(60)]
    left_out = BED_CHAMFER_MM * (outline.area - sum(layers) / 60)
    assert left_out == pytest.approx(outline.length * BED_CHAMFER_MM**2 / 2, rel=0.02)
    assert left_out / (6 * outline.area) == pytest.approx(0.008, abs=0.0005)
