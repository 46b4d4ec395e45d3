"""Drilling templates: holes where the hangers are, on sheets that show all of them once."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from studio.hanging.plan import plan_hanging
from studio.hanging.template import CABLES_MM, Hole, Template, Wall, template_of
from studio.hanging.template_paper import MARGIN_MM, OVERLAP_MM, PAPERS
from studio.hanging.template_sheets import one_sheet, tiles
from studio.lattice.design import WayIn
from studio.problem import Refused
from studio.voice import PLAIN, Voice
from tests.hanging.cast import RAIL, catalogue, grams, panel

WIDE = Template(
    holes=(Hole(1, -1150.0, 0.0, 3000.0), Hole(2, 1150.25, 0.0, 3000.0)),
    levels_mm=(0.0,), outlines=((-1200.0, -900.0, 1200.0, 6.0),), cables=(), says="Detect.",
    region=(-1210.0, -60.0, 1210.0, 60.0),
)  # fmt: skip


def made(*hangers, wall=None, **changes):
    composition, bill = panel(**changes)
    plan = plan_hanging(composition, bill, grams(bill), 0.0, catalogue(*hangers), 4)
    return plan, template_of(plan, composition.fit.lattice_width_mm, wall)


def test_holes_are_the_hangers_from_level_and_centre_line():
    """The panel's middle is at 176, its hangers on the upper edging's middle."""
    plan, template = made()
    (module,) = plan.modules
    assert [(hole.number, hole.up_mm) for hole in template.holes] == [(1, 0), (2, 0)]
    assert [hole.across_mm + 176 for hole in template.holes] == pytest.approx(list(module.places.across_mm))
    assert template.outlines == (pytest.approx((-188, -282, 188, 6)),)
    assert {hole.load_g for hole in template.holes} == {module.hole_load_g}


def test_a_rails_holes_are_its_own():
    plan, template = made(RAIL)
    (middle,) = plan.modules[0].places.across_mm
    assert [hole.across_mm + 176 for hole in template.holes] == pytest.approx([middle - 90, middle + 90])


def test_modules_over_each_other_have_level_lines_of_their_own():
    plan, template = made(columns=4, rows=10, way_in=WayIn(width_mm=240, length_mm=280))
    heights = sorted({module.places.up_mm for module in plan.modules}, reverse=True)
    assert len(heights) == 2
    assert template.levels_mm == pytest.approx([0, heights[1] - heights[0]])
    assert [hole.number for hole in template.holes] == [1, 2, 3, 4]
    (lines,) = ([text.text for text in one_sheet(template).texts if "level line" in text.text],)
    assert lines == ["level line", f"{PLAIN.length(heights[0] - heights[1])} below the level line"]
    assert [hole.up_mm for hole in template.holes] == pytest.approx([0, 0, *[heights[1] - heights[0]] * 2])


def test_cables_are_drawn_for_the_country_whose_rule_it_is():
    """A ceiling 100 mm above the level line: down to 50 mm below it. A socket at (0, -400): straight up and
    sideways, as wide as its plate."""
    wall = Wall("GB", ceiling_mm=100, corners_mm=(-2000.0,), sockets_mm=((0.0, -400.0),))
    _, template = made(wall=wall)
    left, bottom, right, top = template.region
    assert template.cables == ((left, 100 - CABLES_MM, right, top), (-43, bottom, 43, top))
    assert "BS 7671" in template.says
    for elsewhere in (replace(wall, country="DE"), replace(wall, country=""), None):
        _, template = made(wall=elsewhere)
        assert template.cables == ()
        assert template.says.endswith("unknown: detect before you drill.")


def marks(sheet, style):
    return [(line.x1, line.y1, line.x2, line.y2) for line in sheet.lines if line.style == style]


def middles(lines):
    return sorted({((a + c) / 2, (b + d) / 2) for a, b, c, d in lines})


@pytest.mark.parametrize("paper", ["A4", "letter"])
def test_tiles_show_everything_once_and_join_at_their_crosses(paper):
    """Each cross lies in the middle of an overlap, at one height on both sheets."""
    plan, *sheets = tiles(WIDE, paper)
    assert plan.name == "plan"
    wide, high = max(PAPERS[paper]), min(PAPERS[paper])
    assert {(s.width_mm, s.height_mm) for s in sheets} == {(wide, high)}
    assert [s.name for s in sheets] == [f"A{i}" for i in range(1, len(sheets) + 1)]
    step = wide - 2 * MARGIN_MM - OVERLAP_MM
    assert (len(sheets) - 1) * step < 2420 <= len(sheets) * step + OVERLAP_MM
    for left, right in pairwise(sheets):
        one = [each for each in middles(marks(left, "join")) if each[0] > wide / 2]
        other = [each for each in middles(marks(right, "join")) if each[0] < wide / 2]
        assert len(one) == 2
        assert np.array(one) - (step, 0) == pytest.approx(np.array(other))
    for sheet in sheets:
        lengths = [c - a for a, b, c, d in marks(sheet, "bar") if b == d]
        assert lengths == pytest.approx([100, 101.6])
        inside = [x for line in sheet.lines for x in (line.x1, line.x2)]
        assert min(inside) >= MARGIN_MM - 4
        assert max(inside) <= wide - MARGIN_MM + 4


def test_holes_are_as_far_apart_over_all_sheets_as_on_the_wall():
    _, *sheets = tiles(WIDE, "A4")
    step = 297 - 2 * MARGIN_MM - OVERLAP_MM
    at = [circle.x + i * step for i, sheet in enumerate(sheets) for circle in sheet.circles]
    assert max(at) - min(at) == pytest.approx(2300.25)


def test_the_plan_lists_holes_from_the_level_line_first_in_the_readers_units():
    plan, *_ = tiles(WIDE, "A4", Voice(units="imperial"))
    texts = " ".join(text.text for text in plan.texts)
    assert 'Hole 2: on the level line, 45 5/16" right of the centre line; carries up to 6.7 lb' in texts
    assert "by tape" in texts
    metric = " ".join(text.text for text in tiles(WIDE, "A4")[0].texts)
    assert "Hole 1: on the level line, 1150 mm left of the centre line; carries up to 3 kg" in metric


def test_many_holes_take_more_pages():
    holes = tuple(Hole(i, float(i), -10.0 * i, 100.0) for i in range(1, 100))
    many = replace(WIDE, holes=holes, region=(-60.0, -1060.0, 160.0, 60.0))
    sheets = [sheet for sheet in tiles(many, "A4") if sheet.name.startswith("plan")]
    listed = [text.text for sheet in sheets for text in sheet.texts if text.text.startswith("Hole ")]
    assert len(sheets) > 1
    assert [int(text.split()[1].rstrip(":")) for text in listed] == list(range(1, 100))
    assert all(text.y >= MARGIN_MM for sheet in sheets for text in sheet.texts)


def test_one_large_sheet_is_the_smallest_that_takes_it():
    """A0 shows 1169 by 797 mm turned; 2420 mm is beyond it."""
    small = replace(WIDE, region=(-400.0, -60.0, 400.0, 60.0), holes=(Hole(1, 0.0, 0.0, 1.0),))
    sheet = one_sheet(small)
    assert (sheet.width_mm, sheet.height_mm) == (841, 594)
    assert len(sheet.circles) == 1
    with pytest.raises(Refused, match=r"template\.paper: .*2420 mm by 120 mm.*; 11 A4 sheets"):
        one_sheet(WIDE)
