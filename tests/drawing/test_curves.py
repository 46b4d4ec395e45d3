from math import asin, cos, hypot, pi, radians, sin, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon, box

from studio.drawing.curves import Curve, curves_of
from studio.lattice.patterns import patterns
from studio.lattice.piece import piece_for
from studio.problem import Refused
from tests.drawing.reading import area_of
from tests.drawing.test_paths import path


def area_mm2(outline: Polygon) -> float:
    x, y, rest = path(outline)
    return area_of(f"M{x} {y}{rest}") / 1000**2


def test_straight_outlines_stay_as_they_are() -> None:
    (curve,) = curves_of(box(0, 0, 2, 1))
    assert len(curve.steps) == 3  # closing draws the fourth
    assert {step.radius for step in curve.steps} == {0}


def test_half_a_disc_is_arcs_and_a_straight_line() -> None:
    """24 chords of 7.5 degrees on a radius of 10 mm; no arc is wider than 120 degrees."""
    points = [(10 * cos(pi * i / 24), 10 * sin(pi * i / 24)) for i in range(25)]
    (curve,) = curves_of(Polygon(points))
    assert [bool(step.radius) for step in curve.steps].count(True) == 2
    for step in curve.steps:
        if step.radius:
            # it takes in as much as the chords do, hence is a little flatter
            assert abs(step.radius) == pytest.approx(10_000, rel=0.006)
    assert len(curve.steps) <= 3


@given(radius=st.floats(0.5, 300), width=st.floats(0.8, 3), share=st.floats(0.2, 0.9))
def test_a_bent_bar_keeps_its_area(radius: float, width: float, share: float) -> None:
    """Thousandths of a millimetre along the outline are all that rounding may take or give."""
    angles = np.linspace(0, 2 * pi * share, 60)
    inner, outer = (
        np.column_stack((r * np.cos(angles), r * np.sin(angles))) for r in (radius, radius + width)
    )
    bar = Polygon([*outer, *inner[::-1]])
    assert area_mm2(bar) == pytest.approx(bar.area, abs=0.002 * bar.length)


def test_a_whole_circle_closes() -> None:
    disc = Point(3, 4).buffer(5)
    (curve,) = curves_of(disc)
    assert all(step.radius for step in curve.steps)
    assert sum(step.dx for step in curve.steps) == sum(step.dy for step in curve.steps) == 0
    assert area_mm2(disc) == pytest.approx(disc.area, rel=2e-4)


def test_an_arc_that_was_cut_amid_its_chords_is_one_arc() -> None:
    """A ring of 7.5 degrees a chord, cut at 2 and at 91 degrees."""
    angles = np.radians(np.arange(0, 97.5, 7.5))
    inner, outer = (np.column_stack((r * np.cos(angles), r * np.sin(angles))) for r in (20, 22))
    wedge = Polygon([(0, 0), (30 * cos(radians(2)), 30 * sin(radians(2))), (30, 30), (-0.5, 30)])
    cut = Polygon([*outer, *inner[::-1]]) & wedge
    (curve,) = curves_of(cut)
    assert [bool(step.radius) for step in curve.steps].count(True) == 2
    assert len(curve.steps) <= 4
    assert area_mm2(cut) == pytest.approx(cut.area, abs=0.0005 * cut.length)


def test_a_rounding_as_fine_as_the_nozzle_is_drawn_straight() -> None:
    """Corners of 0.2 mm that turn by 90, 90 and 60 degrees; the larger ones stay round."""
    corner = Polygon([(0, 0), (20, 0), (20, 20), (8, 20 + 12 / sqrt(3)), (0, 20)])
    rounded = corner.buffer(-0.2).buffer(0.2, quad_segs=4)
    (curve,) = curves_of(rounded)
    turns = [2 * asin(hypot(s.dx, s.dy) / 2 / abs(s.radius)) for s in curve.steps if s.radius]
    assert len(turns) >= 2
    assert min(turns) > radians(72)
    assert area_mm2(rounded) == pytest.approx(rounded.area, rel=1e-4)


def test_what_vanishes_in_rounding_is_left_out() -> None:
    assert curves_of(Polygon([(0, 0), (1e-4, 0), (0, 1e-4)])) == ()
    assert isinstance(curves_of(box(0, 0, 1, 1))[0], Curve)


@pytest.mark.parametrize("pattern", patterns(), ids=lambda pattern: f"{pattern.lattice}-{pattern.slug}")
@pytest.mark.parametrize(("side", "strip"), [(44.0, 2.0), (30.5, 1.25), (61.0, 2.35)])
def test_every_piece_is_drawn_with_its_area(pattern, side: float, strip: float) -> None:  # type: ignore[no-untyped-def]
    for facing in (0, 1):
        try:
            piece = piece_for(pattern, pattern.lattice, "whole", facing, side, 3.2, strip, 0.15)
        except Refused:
            continue  # too small a cell for it
        if piece is not None:
            assert area_mm2(piece.outline) == pytest.approx(piece.outline.area, rel=1e-3)
