from dataclasses import fields, replace
from decimal import Decimal
from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.lattice.design import WayIn
from studio.lattice.sections import BedLimit, divide
from studio.lattice.tolerance import SPREADS, Tolerances, covering_gap_mm, size_error
from tests.lattice.cast import lattices, sized

EXACT = Tolerances(**{each.name: Decimal(0) for each in fields(Tolerances)})
BED = BedLimit(200.0, 200.0, 200.0)


def made(lattice="square", columns=16, rows=12, **changes):
    """Fit and sections on beds of 200 mm."""
    design, fit = sized(lattice, columns, rows, **changes)
    sections, _seams, _modules = divide(fit, design, [BED], WayIn(), 90)
    return fit, sections


def test_a_panel_of_four_by_three_sections_by_hand():
    """Sixteen by twelve cells of 44 mm, four cells on a bed: 704 and 728 mm with edging across, 528 and 552
    up. Across 4 sections and 2 edgings make 5 glue gaps, up 3 and 2 make 4."""
    fit, sections = made()
    assert (fit.width_mm, fit.height_mm, len(sections)) == (728, 552, 12)
    error = size_error(fit, sections, Tolerances())
    assert error.across.systematic_mm == pytest.approx(5 * 0.05 + 728 * (0.0005 + 0.0003 + 0.00068))
    assert error.across.random_mm == pytest.approx(sqrt(6 * 0.2**2 + 5 * 0.1**2))
    assert error.up.systematic_mm == pytest.approx(4 * 0.05 + 552 * (0.0005 + 0.0003 + 0.00068))
    assert error.up.random_mm == pytest.approx(sqrt(5 * 0.2**2 + 4 * 0.1**2))
    assert error.across_mm == pytest.approx(0.25 + 1.07744 + sqrt(0.29))
    assert error.across.workings == (
        "5 glue gaps of 0.05 mm: 0.25 mm",
        "the printers' scale, 0.05 % of 728.0 mm: 0.36 mm",
        "shrinkage left over, 0.03 % of 728.0 mm: 0.22 mm",
        "10 K warmer, 68 millionths of 728.0 mm per K: 0.50 mm",
        "6 parts, each within 0.2 mm, × √6: 0.49 mm",
        "5 glue gaps, each within 0.1 mm, × √5: 0.22 mm",
        "1.33 mm one way, added, and 0.54 mm either way, the root of the sum of squares: 1.87 mm",
    )


def test_a_single_section_without_edging_has_no_glue_gap():
    fit, sections = made(columns=4, rows=4, edging_width_mm=Decimal(0))
    error = size_error(fit, sections, replace(EXACT, part_spread_mm=Decimal("0.1"), glue_gap_mm=Decimal(1)))
    assert (error.across.systematic_mm, error.across.random_mm) == (0, pytest.approx(0.2))


def test_plastic_of_a_metre_moves_0_68_mm_in_ten_kelvin():
    """About 68e-6 per kelvin for PLA, from memory."""
    fit, sections = made(columns=22, rows=4, side="44.36", edging_width_mm=Decimal("12.04"))
    assert fit.width_mm == 1000
    warm = replace(EXACT, temperature_swing_k=Decimal(10), expansion_per_million_k=Decimal(68))
    assert size_error(fit, sections, warm).across_mm == pytest.approx(0.68)


def test_against_panels_put_together_at_random():
    """Every part printed too large by the printers' scale and what is left of shrinkage, off by a normal
    error of its own, glued at gaps of their own and warmed: 97.7 % of 200,000 such panels come out within the
    size error, give or take four standard errors of that share."""
    fit, sections = made()
    known = Tolerances()
    across_mm = np.array([section.width_mm for section in sections if section.row == 0])
    parts_mm = np.array([12.0, *across_mm, 12.0])
    assert parts_mm.sum() == pytest.approx(fit.width_mm)
    chance = np.random.default_rng(20_260_302)
    panels = 200_000
    grown = parts_mm * (1 + float(known.scale_percent + known.shrinkage_left_percent) / 100)
    printed = grown + chance.normal(0, float(known.part_spread_mm), (panels, len(parts_mm)))
    glued = chance.normal(float(known.glue_gap_mm), float(known.seam_spread_mm), (panels, len(parts_mm) - 1))
    warmth = fit.width_mm * float(known.expansion_per_million_k * known.temperature_swing_k) / 1e6
    sizes = printed.sum(axis=1) + glued.sum(axis=1) + warmth
    error = size_error(fit, sections, known).across
    within = (sizes <= fit.width_mm + error.total_mm).mean()
    assert SPREADS == 2
    assert abs(within - 0.97725) < 4 * sqrt(0.97725 * 0.02275 / panels)
    assert sizes.mean() - fit.width_mm == pytest.approx(error.systematic_mm, abs=0.005)
    assert SPREADS * sizes.std() == pytest.approx(error.random_mm, rel=0.01)


@given(lattice=lattices, columns=st.integers(4, 24), rows=st.integers(4, 24))
def test_more_seams_never_make_a_panel_truer(lattice, columns, rows):
    fit, sections = made(lattice, columns, rows)
    whole = [replace(sections[0], column=0, row=0)]
    error, best = (size_error(fit, parts, Tolerances()) for parts in (sections, whole))
    assert best.across_mm <= error.across_mm
    assert best.up_mm <= error.up_mm
    assert min(error.across.systematic_mm, error.up.systematic_mm) > 0


@pytest.mark.parametrize(("error", "gap"), [(0, 0), (0.01, 0.5), (2.0, 2.0), (2.001, 2.5), (0.1 + 0.2, 0.5)])
def test_a_gap_that_covers_an_error(error, gap):
    assert covering_gap_mm(error) == gap
