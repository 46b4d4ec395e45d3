"""Where strips lie: whole cut steps, within their modules, near enough to each other."""

from itertools import pairwise
from math import dist

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.light.layout import places_of, ring, rows
from studio.light.runs import runs_of
from tests.lattice.cast import LATTICES
from tests.light.cast import panel

EDGING, MARGIN = 12.0, 10.0
PANELS = [
    panel(900, 700), panel(700, 900), panel(1400, 1000, way=(800, 1000)), panel(1300, 1250, way=(700, 700)),
    *(panel(900, 800, lattice, way=(500, 900)) for lattice in LATTICES),
]  # fmt: skip


@pytest.mark.parametrize("bill", PANELS)
def test_modules_cover_the_panel_once(bill):
    places = places_of(bill)
    area = sum((p.right_mm - p.left_mm) * (p.top_mm - p.bottom_mm) for p in places)
    assert area == pytest.approx(bill.fit.width_mm * bill.fit.height_mm)
    for place, module in zip(places, bill.modules, strict=True):
        assert place.right_mm - place.left_mm == pytest.approx(
            module.width_mm, abs=2 * bill.fit.across.step_mm
        )
        assert place.top_mm - place.bottom_mm == pytest.approx(module.height_mm, abs=2 * bill.fit.up.step_mm)


def within(place, point, by_mm):
    x, y = point
    return (
        place.left_mm + by_mm <= x + 1e-6 <= place.right_mm - by_mm + 2e-6
        and place.bottom_mm + by_mm <= y + 1e-6 <= place.top_mm - by_mm + 2e-6
    )


@settings(max_examples=40)
@given(st.sampled_from(PANELS), st.floats(30, 200), st.sampled_from([16.7, 25, 50, 100]))
def test_rows(bill, pitch_mm, cut_mm):
    places = places_of(bill)
    chains = tuple(rows(places, EDGING, MARGIN, pitch_mm, cut_mm))
    wide = bill.fit.width_mm >= bill.fit.height_mm
    assert [chain.module for chain in chains] == list(range(len(places)))
    for chain, place in zip(chains, places, strict=True):
        room = (place.right_mm - place.left_mm) if wide else (place.top_mm - place.bottom_mm)
        for piece in chain.pieces:
            assert dist(piece.start, piece.end) == pytest.approx(piece.steps * cut_mm)
            assert room - 2 * (MARGIN + EDGING) - cut_mm < piece.steps * cut_mm <= room - 2 * MARGIN + 1e-6
            assert within(place, piece.start, 0)
            assert within(place, piece.end, 0)
    across = 1 if wide else 0
    first = [c for c, p in zip(chains, places, strict=True) if (p.outer[3] if wide else p.outer[0])]
    lines = sorted(piece.start[across] for chain in first for piece in chain.pieces)
    apart = [b - a for a, b in pairwise(lines)]
    assert max(apart, default=0) <= pitch_mm + 1e-6
    edges = (lines[0], (bill.fit.height_mm if wide else bill.fit.width_mm) - lines[-1])
    assert max(edges) <= EDGING + MARGIN + pitch_mm / 2 + 1e-6
    assert min(edges) >= EDGING + MARGIN


def test_rows_by_hand():
    """Outside 1024 x 774: within edging and margin 980 x 730. Ten rows 73 mm apart, of 19 steps of 50 mm."""
    bill = panel(1024, 774)
    (chain,) = rows(places_of(bill), EDGING, MARGIN, 80, 50)
    assert [piece.steps for piece in chain.pieces] == [19] * 10
    assert chain.pieces[0].start == pytest.approx((22 + 15, 22 + 36.5))
    assert chain.pieces[1].start == pytest.approx((22 + 965, 22 + 36.5 + 73))


def test_round_the_edge_by_hand():
    """The same panel: 980 across, 730 less two strips 10 mm wide up: 19 and 14 steps of 50 mm."""
    (chain,) = ring(places_of(panel(1024, 774)), EDGING, MARGIN, 10, 50)
    assert [piece.steps for piece in chain.pieces] == [19, 14, 19, 14]
    assert chain.pieces[0].start == pytest.approx((22 + 15, 27))
    assert chain.pieces[1].start == pytest.approx((1024 - 27, 32 + 5))
    assert chain.pieces[2].end == pytest.approx((22 + 15, 774 - 27))
    assert chain.pieces[3].end == pytest.approx((27, 32 + 5))


def test_only_outer_sides_have_a_strip():
    """Three by three modules: corners have two sides, the four between them one, the middle none."""
    bill = panel(1824, 1824, bed=300, way=(700, 700))
    chains = tuple(ring(places_of(bill), EDGING, MARGIN, 10, 50))
    sides = {chain.module: len(chain.pieces) for chain in chains}
    assert sides == {0: 2, 1: 1, 2: 2, 3: 1, 5: 1, 6: 2, 7: 1, 8: 2}
    for chain in chains:
        for piece, following in pairwise(chain.pieces):
            assert dist(piece.end, following.start) < 100


@given(st.sampled_from(PANELS), st.floats(30, 200), st.sampled_from([25, 50, 100]), st.integers(1, 200))
def test_runs_use_every_step_and_none_is_too_long(bill, pitch_mm, cut_mm, most):
    for chain in rows(places_of(bill), EDGING, MARGIN, pitch_mm, cut_mm):
        runs = runs_of(chain, most)
        lengths = [sum(piece.steps for piece in run.pieces) for run in runs]
        assert sum(lengths) == sum(piece.steps for piece in chain.pieces)
        assert max(lengths, default=0) <= most
        for run in runs:
            for piece in run.pieces:
                assert dist(piece.start, piece.end) == pytest.approx(piece.steps * cut_mm)


@pytest.mark.parametrize(
    ("most", "rows_a_run"), [(190, [10]), (189, [5, 5]), (95, [5, 5]), (76, [4, 4, 2]), (19, [1] * 10)]
)
def test_rows_are_shared_out_over_the_fewest_runs(most, rows_a_run):
    """Ten rows of 19 steps."""
    (chain,) = rows(places_of(panel(1024, 774)), EDGING, MARGIN, 80, 50)
    assert [len(run.pieces) for run in runs_of(chain, most)] == rows_a_run


def test_a_row_longer_than_a_run_is_cut_evenly():
    (chain,) = rows(places_of(panel(1024, 774)), EDGING, MARGIN, 800, 50)
    (piece,) = chain.pieces
    parts = [run.pieces[0] for run in runs_of(chain, 8)]
    assert [part.steps for part in parts] == [6, 6, 7]
    assert parts[0].start == piece.start
    assert parts[1].start == pytest.approx(parts[0].end)
    assert parts[2].end == pytest.approx(piece.end)
