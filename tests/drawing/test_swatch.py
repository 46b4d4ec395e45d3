from xml.etree import ElementTree as ET

import numpy as np
import pytest

from studio.document import parse_json
from studio.drawing.swatch import swatch_side_mm, swatch_svg
from studio.lattice.design import LatticeKind
from studio.lattice.pattern import Pattern
from studio.lattice.patterns import pattern, patterns
from studio.lattice.piece import piece_for
from studio.problem import Refused
from tests.drawing.reading import area_of, rings_of

NS = {"s": "http://www.w3.org/2000/svg"}


@pytest.mark.parametrize("pattern", patterns(), ids=lambda pattern: f"{pattern.lattice}-{pattern.slug}")
def test_every_pattern_has_a_small_swatch(pattern) -> None:  # type: ignore[no-untyped-def]
    text = swatch_svg(pattern.slug, pattern.lattice, "#b08d57", title=pattern.name, ident="s")
    root = ET.fromstring(text)
    assert root.findtext("s:title", "", NS) == pattern.name
    assert (root.find("s:path[@class='infills']", NS) is None) == (pattern.slug == "open")
    assert len(text.encode()) < 10_000


@pytest.mark.parametrize(("lattice", "cells"), [("three-way turned", 6), ("diamond", 4)])
def test_cells_round_a_crossing(lattice: LatticeKind, cells: int) -> None:
    """They meet in the middle of the picture, and strips surround each of them."""
    slug = patterns(lattice)[1].slug
    root = ET.fromstring(swatch_svg(slug, lattice, "#b08d57", title="x", ident="s"))
    drawn, strips = (
        root.find(f"s:path[@class='{name}']", NS).get("d", "") for name in ("infills", "lattice")
    )
    assert drawn.count("M") == cells
    corners = np.vstack(rings_of(strips))
    left, top, width, height = map(float, root.get("viewBox", "").split())
    assert (left + width / 2, top + height / 2) == (pytest.approx(0, abs=1), pytest.approx(0, abs=1))
    assert corners.min(axis=0).tolist() == pytest.approx([left + 1000, top + 1000], abs=1)


def test_six_hemp_leaves_round_a_crossing() -> None:
    root = ET.fromstring(swatch_svg("hemp-leaf", "three-way", "#b08d57", title="Hemp leaf", ident="s"))
    piece = piece_for(pattern("hemp-leaf"), "three-way", "whole", 0, 44.0, 3.2, 2.0, 0.15)
    assert piece
    drawn = root.find("s:path[@class='infills']", NS).get("d", "")  # type: ignore[union-attr]
    assert drawn.count("M") == 6
    assert area_of(drawn) / 1000**2 == pytest.approx(6 * piece.outline.area, rel=0.0005)


def test_bad_input_is_refused() -> None:
    with pytest.raises(Refused):
        swatch_svg("no-such-pattern", "square", "#b08d57", title="x", ident="s")
    with pytest.raises(Refused):
        swatch_svg("hemp-leaf", "three-way", 'red"', title="x", ident="s")


def test_a_pattern_that_closes_up_again_in_the_usual_cell_is_shown_in_a_larger_one() -> None:
    """Printable in the smallest cells and the largest, but not at 44 mm: a gap is narrower than a bead."""
    odd = parse_json(
        Pattern,
        '{"slug": "fork", "name": "Fork", "lattice": "square", "rim": "always", "whole":'
        '[{"kind": "line", "points": [[0, 0], [0.06, 0.25], [1, 0]]},'
        ' {"kind": "line", "points": [[0.2, 0.4], [0, 0], [0, 1]]}]}',
    )
    assert swatch_side_mm(odd) > 44
    assert "<path" in swatch_svg(odd, "square", "#b08d57", title="Fork", ident="fork")
