"""How well an opening is known, against plain geometry."""

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from studio.lattice.design import Space
from studio.lattice.opening import lean_of, sides_out_mm, strange_diagonals_mm, worst_share
from studio.lattice.origin import ORIGINS, Uncertainty

KNOWN = Uncertainty()
SPACE = Space(
    widths_mm=(Decimal(1200),), heights_mm=(Decimal(900),),
    width_origin="taped by us", height_origin="taped by us",
)  # fmt: skip


def mm(length: float) -> Decimal:
    return Decimal(repr(round(float(length), 2)))


def cornered(*diagonals_mm: float, **changes: object) -> Space:
    return replace(SPACE, diagonals_mm=tuple(map(mm, diagonals_mm)), **changes)  # type: ignore[arg-type]


def test_equal_diagonals_are_square():
    """3, 4, 5."""
    lean = lean_of(cornered(1500, 1500))
    assert (lean.across_mm, lean.up_mm) == (0, 0)
    assert strange_diagonals_mm(cornered(1500, 1500), KNOWN) is None


def test_a_lean_is_found_again():
    """Sides that lean 12 mm sideways over 900 mm; or a sill that rises 16 mm over 1200 mm."""
    lean = lean_of(cornered(np.hypot(1212, 900), np.hypot(1188, 900)))
    assert lean.across_mm == pytest.approx(12, abs=0.02)
    assert lean.up_mm == pytest.approx(16, abs=0.02)


def test_plumb_is_taken_at_its_word():
    assert lean_of(replace(SPACE, out_of_plumb_mm=Decimal(7))).across_mm == 7
    lean = lean_of(cornered(1510, 1490, out_of_plumb_mm=Decimal(0)))
    assert (lean.across_mm, lean.up_mm > 16) == (0, True)
    assert lean_of(SPACE).across_mm == lean_of(SPACE).up_mm == 0


@given(st.lists(st.floats(-60, 60), min_size=8, max_size=8))
def test_any_quadrilateral_leans_by_its_middle_lines(moved):
    """The corners of 1200 × 900 moved anywhere; what is compared with is projected, not squared."""
    corners = np.array([[0, 0], [1200, 0], [1200, 900], [0, 900]]) + np.reshape(moved, (4, 2))
    a, b, c, d = corners
    across, up = (b + c - a - d) / 2, (c + d - a - b) / 2
    first, second = np.linalg.norm(c - a), np.linalg.norm(d - b)
    width, height = np.linalg.norm(across), np.linalg.norm(up)
    assume(min(width, height) > 100)
    space = cornered(first, second, widths_mm=(mm(width),), heights_mm=(mm(height),))
    assert lean_of(space).across_mm == pytest.approx(abs(up @ across) / width, abs=0.05)
    assert lean_of(space).up_mm == pytest.approx(abs(up @ across) / height, abs=0.05)
    assert strange_diagonals_mm(space, KNOWN) is None


@pytest.mark.parametrize(
    ("diagonals", "strange"), [((1500, 1515), False), ((1500, 1600), True), ((150, 1500), True)]
)
def test_diagonals_of_another_opening_are_found_out(diagonals, strange):
    """Twice 3 mm of 900 allow for 10 mm of 1500 either way: root mean squares are 1507.5, 1550.8, 1066."""
    assert (strange_diagonals_mm(cornered(*diagonals), KNOWN) is not None) == strange


@pytest.mark.parametrize(
    ("origin", "width_mm", "height_mm"),
    [("said", 120, 90), ("paced", 60, 45), ("photograph", 25, 25), ("taped by the client", 10, 10),
     ("taped by us", 3, 3)],
)  # fmt: skip
def test_each_origin_has_its_uncertainty(origin, width_mm, height_mm):
    space = replace(SPACE, width_origin=origin, height_origin=origin, photograph_mm=Decimal(25))
    assert sides_out_mm(space, KNOWN) == pytest.approx((width_mm, height_mm))
    assert worst_share(space, KNOWN) == Decimal(height_mm) / 900
    assert space.measured == (origin in ("taped by the client", "taped by us"))


def test_a_photograph_of_unknown_worth_is_no_better_than_said():
    assert worst_share(replace(SPACE, width_origin="photograph"), KNOWN) == Decimal("0.1")


@pytest.mark.parametrize("origin", ORIGINS[:3])
@pytest.mark.parametrize("side", ["width_origin", "height_origin"])
def test_one_side_that_is_not_taped_is_enough_for_a_range(side, origin):
    assert not replace(SPACE, **{side: origin}).measured
