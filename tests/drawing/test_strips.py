import pytest
from shapely import union_all

from studio.drawing.strips import edging_rails, lattice_strips, strip_lines
from studio.lattice.design import LatticeKind
from tests.drawing.panels import composed, panel


@pytest.mark.parametrize(("columns", "rows"), [(1, 2), (6, 8), (5, 7)])
def test_strips_and_openings_make_up_a_three_way_panel(columns: int, rows: int) -> None:
    composed = panel("three-way", columns, rows)
    openings = sum(
        composed.openings[int(s), int(f)].area for s, f in zip(composed.shape, composed.facing, strict=True)
    )
    whole = composed.fit.lattice_width_mm * composed.fit.lattice_height_mm
    assert union_all(lattice_strips(composed)).area == pytest.approx(whole - openings, rel=1e-6)


@pytest.mark.parametrize(
    ("lattice", "angle"),
    [("three-way turned", "60"), ("square", "60"), *(("diamond", angle) for angle in ("30", "60", "111.5"))],
)
@pytest.mark.parametrize(("columns", "rows"), [(2, 2), (6, 8), (5, 7), (21, 4)])
def test_strips_and_openings_make_up_every_panel(lattice, angle, columns: int, rows: int) -> None:  # type: ignore[no-untyped-def]
    made = composed(lattice, columns, rows, angle=angle, border=False)
    openings = sum(made.openings[int(s), int(f)].area for s, f in zip(made.shape, made.facing, strict=True))
    whole = made.fit.lattice_width_mm * made.fit.lattice_height_mm
    assert union_all(lattice_strips(made)).area == pytest.approx(whole - openings, rel=1e-6)


@pytest.mark.parametrize(
    ("lattice", "lines"),
    [("three-way", 7 + 2 + 12), ("three-way turned", 9 + 2 + 12), ("square", 7 + 9), ("diamond", 4 + 28)],
)
def test_each_strip_is_one_line_from_edge_to_edge(lattice: LatticeKind, lines: int) -> None:
    """Along an axis, along the edges that cut cells, slanting: 6 columns and 8 half sides, 6 half sides and 8
    rows, 6 columns and 8 rows, 6 x 8 boxes."""
    assert len(strip_lines(composed(lattice, 6, 8))) == lines


def test_crossing_strips_by_inclusion_and_exclusion() -> None:
    """Check value G12's reasoning: 4 x 3 cells of 50 mm have 3 + 2 full strips and half ones along the
    edges."""
    composed = panel("square", 4, 3, 50)
    across, up = (3 + 2 / 2) * 3.2, (2 + 2 / 2) * 3.2
    strips = lattice_strips(composed)
    assert len(strips) == 5 + 4
    assert union_all(strips).area == pytest.approx(across * 150 + up * 200 - across * up)


def test_rails_are_mitred_and_close_the_frame() -> None:
    composed = panel("square", 4, 3, 50)
    rails = edging_rails(composed)
    assert [rail.area for rail in rails] == [12 * 212, 12 * 162, 12 * 212, 12 * 162]
    assert union_all(rails).bounds == (-12, -12, 212, 162)
    assert union_all(rails).area == 224 * 174 - 200 * 150


def test_no_edging_no_rails() -> None:
    assert edging_rails(panel(edging="0")) == []
