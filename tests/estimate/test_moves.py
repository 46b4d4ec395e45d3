"""What each step of giving up says, against the panel that it makes."""

import re
from collections import Counter
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from studio.estimate.brief import Brief
from studio.estimate.moves import MAY_MOVE, levels_of
from studio.lattice.composition import Composition, compose
from studio.lattice.design import (
    AllOver,
    Alternating,
    Band,
    Bands,
    BorderAndField,
    Drift,
    Infill,
    Rings,
    TouchUp,
)
from studio.lattice.fit import best_fit
from studio.lattice.infills import infills_of
from studio.lattice.patterns import patterns
from studio.pricing.terms import Terms
from studio.problem import Refused
from tests.lattice.cast import LATTICES, design, sized, space


def made(brief: Brief) -> Composition:
    return compose(brief.design, best_fit(brief.design, brief.space))


def brief_of(lattice="three-way", width=420, height=420, **changes) -> Brief:
    return Brief(design=design(lattice, **changes), space=space(width, height))


def steps(way, brief: Brief) -> list[tuple[str, Composition]]:
    """Words and panel of each level."""
    found = []
    for level in levels_of(way, brief, made(brief)):
        panel = made(level.apply(brief))
        found.append((level.told(panel), panel))
    return found


def open_cells(panel: Composition) -> int:
    return int((panel.piece < 0).sum())


@st.composite
def infills(draw, lattice):
    slugs = sorted(each.slug for each in patterns(lattice))
    return Infill(pattern=draw(st.sampled_from(slugs)), filament=draw(st.sampled_from("ABC")))


@st.composite
def arrangements(draw, lattice):
    one, other, third = (draw(infills(lattice)) for _ in range(3))
    bands = tuple(Band(infill=each, cells=draw(st.integers(1, 4))) for each in (one, other, third))
    return draw(
        st.sampled_from(
            [
                AllOver(infill=one),
                Alternating(first=one, second=other),
                Bands(bands=bands),
                BorderAndField(border=one, border_cells=draw(st.integers(1, 3)), field=other),
                Drift(first=one, second=other),
                Rings(rings=bands),
            ]
        )
    )


@st.composite
def briefs(draw):
    lattice = draw(st.sampled_from(LATTICES))
    places = st.integers(0, 12)
    touch_ups = st.builds(TouchUp, column=places, row=places, infill=infills(lattice))
    lattice_mm = draw(st.sampled_from(["3", "5", "8.2", "12", "20"]))
    return brief_of(
        lattice,
        draw(st.integers(250, 500)),
        draw(st.integers(250, 500)),
        angle_deg=Decimal(draw(st.sampled_from([45, 60, 75]))),
        cell_side_mm=Decimal(draw(st.sampled_from(["44", "51.3", "60"]))),
        side_play_percent=Decimal(draw(st.sampled_from([0, 5, 25]))),
        columns=draw(st.none() | st.integers(2, 5)),
        rows=draw(st.none() | st.integers(2, 5)),
        depth_mm=Decimal(lattice_mm),
        infill_depth_mm=min(Decimal(draw(st.sampled_from(["1", "3", "6", "14"]))), 2 * Decimal(lattice_mm)),
        arrangement=draw(arrangements(lattice)),
        touch_ups=tuple(draw(st.lists(touch_ups, max_size=3))),
    )


def _sides_are_true(words: str, before: Composition, after: Composition) -> None:
    new, old = map(float, re.findall(r"^cells of ([\d.]+) mm instead of ([\d.]+) mm", words)[0])
    assert (new, old) == (after.fit.cell_side_mm, before.fit.cell_side_mm)
    assert new > old
    smaller = min(after.fit.width_mm / before.fit.width_mm, after.fit.height_mm / before.fit.height_mm)
    assert ("the panel " in words) == (smaller < 0.95)
    lost = len(after.outside) - len(before.outside)
    assert ("single cell" in words) == (lost > 0)


def _sizes_are_true(words: str, before: Composition, after: Composition) -> None:
    """Whole cells fewer of the same side, none of the panel's symmetry lost, and never less than about 0.7 of
    either way."""
    was, now = before.fit, after.fit
    assert words.startswith("the panel ")
    assert now.cell_side_mm == was.cell_side_mm
    assert (now.columns, now.rows) != (was.columns, was.rows)
    for old, new in ((was.columns, now.columns), (was.rows, now.rows)):
        assert 0.7 * old - 1 <= new <= old
        assert (old - new) % 2 == 0
    assert now.symmetry == was.symmetry
    assert ("single cell" in words) == (len(after.outside) > len(before.outside))


def _size_never_grows(brief: Brief, before: Composition, after: Composition) -> None:
    """Where the design counts; else the panel fills the opening, from which no fit stands out."""
    assert brief.design.columns is None or after.fit.width_mm <= before.fit.width_mm + 1e-9
    assert brief.design.rows is None or after.fit.height_mm <= before.fit.height_mm + 1e-9


def _densities_are_true(words: str, before: Composition, after: Composition) -> None:
    assert after.fit == before.fit
    assert (open_cells(after) > open_cells(before)) == ("left open" in words)
    if "left open" not in words:
        assert open_cells(after) == open_cells(before)
        assert after.design != before.design


def _depths_are_true(words: str, before: Composition, after: Composition) -> None:
    (told, old) = re.findall(r"^([\d.]+) mm deep instead of ([\d.]+) mm", words)[0]
    assert (Decimal(told), Decimal(old)) == (after.design.depth_mm, before.design.depth_mm)
    assert after.design.depth_mm < before.design.depth_mm
    assert after.design.infill_depth_mm <= before.design.infill_depth_mm
    assert ("infills" in words) == (after.design.infill_depth_mm < before.design.infill_depth_mm)


@settings(max_examples=60)
@given(briefs())
def test_what_a_step_says_is_true_of_the_panel_that_it_makes(brief):
    try:
        before = made(brief)
    except Refused:
        assume(False)
    for way in MAY_MOVE:
        said = []
        for level in levels_of(way, brief, before):
            try:
                after = made(level.apply(brief))
            except Refused:
                continue  # the search passes it over
            words = level.told(after)
            assert words
            assert level.loss > 0
            said.append(words)
            _size_never_grows(brief, before, after)
            if way == "cell side":
                _sides_are_true(words, before, after)
            elif way == "size":
                _sizes_are_true(words, before, after)
            elif way == "density":
                _densities_are_true(words, before, after)
                assert after.pieces
            elif way == "colours":
                assert words.startswith(f"{len(after.filaments)} infill colour")
                assert words.endswith(f"instead of {len(before.filaments)}")
                assert after.fit == before.fit
            elif way == "depth":
                _depths_are_true(words, before, after)
        assert max(Counter(said).values(), default=1) == 1


@settings(max_examples=40)
@given(briefs(), st.data())
def test_together_they_say_nothing_false(brief, data):
    """Every word is of the panel at the end, not of the steps on the way."""
    try:
        before = made(brief)
    except Refused:
        assume(False)
    found = {way: levels_of(way, brief, before) for way in ("cell side", "size", "density", "colours")}
    chosen = [data.draw(st.sampled_from(levels)) for levels in found.values() if levels]
    wanted = brief
    for level in tuple(chosen):
        if level.apply(wanted) == wanted:
            chosen.remove(level)  # the search passes over what comes to nothing
        wanted = level.apply(wanted)
    try:
        after = made(wanted)
    except Refused:
        assume(False)
    words = ", ".join(level.told(after) for level in chosen)
    assert "left open" not in words or open_cells(after)
    for count in re.findall(r"(\d+) infill colours? instead", words):
        assert int(count) == len(after.filaments) < len(before.filaments)
    if "cells of" in words:
        assert f"cells of {after.fit.cell_side_mm:g} mm" in words
    assert words.count("the panel ") <= 1
    assert words.count("single cell") <= 1
    for width, height in re.findall(r"the panel (\d+) mm by (\d+) mm instead", words):
        assert abs(int(width) - after.fit.width_mm) <= 0.5
        assert abs(int(height) - after.fit.height_mm) <= 0.5


TEA, INDIGO = Infill(pattern="hemp-leaf", filament="Tea"), Infill(pattern="hemp-leaf", filament="Indigo")


def test_the_loss_of_colours_is_the_share_of_those_that_could_go():
    moss = replace(TEA, filament="Moss")
    bands = tuple(Band(infill=infill, cells=2) for infill in (TEA, INDIGO, moss))
    brief = brief_of(arrangement=Bands(bands=bands))
    levels = levels_of("colours", brief, made(brief))
    assert [level.loss for level in levels] == [0.125, 0.25]  # a quarter of a half and of all


def test_sparser_patterns_are_less_of_a_loss_than_cells_left_open_and_the_rarest_go():
    """Of four levels of density the first is left, and the last, which leaves the rarest infill open."""
    weave = Infill(pattern="basket-weave", filament="Indigo")
    brief = brief_of(arrangement=Bands(bands=(Band(infill=TEA, cells=5), Band(infill=weave, cells=1))))
    first, last = levels_of("density", brief, made(brief))
    assert (first.loss, last.loss) == (0.7 / 4, 0.7)
    kept = [band.infill.pattern for band in last.apply(brief).design.arrangement.bands]
    assert kept == ["hemp-leaf", "open"]


def test_what_is_left_open_is_picked_before_colours_run_together():
    brief = brief_of(arrangement=Alternating(first=TEA, second=INDIGO))
    before = made(brief)
    wanted = brief
    for way in sorted(("colours", "density"), key=MAY_MOVE.index):
        wanted = levels_of(way, brief, before)[-1].apply(wanted)
    after = made(wanted)
    assert 0 < open_cells(after) < len(after.piece)


def test_a_touch_up_outside_the_panel_is_not_given_up():
    outside = TouchUp(column=900, row=30, infill=Infill(pattern="scales", filament="Sand"))
    brief = brief_of(arrangement=AllOver(infill=TEA), touch_ups=(outside,))
    assert steps("colours", brief) == []
    assert not any("left open" in words or "scales" in words for words, _ in steps("density", brief))


def test_sparser_patterns_go_from_a_little_to_a_lot():
    """A level keeps the swaps of the one before where it finds none that is sparser still."""
    web = Infill(pattern="web", filament="Indigo")
    brief = brief_of(arrangement=BorderAndField(border=web, border_cells=2, field=TEA))
    covered = []
    for words, panel in steps("density", brief):
        area = sum(panel.pieces[i].outline.area for i in panel.piece.tolist() if i >= 0)
        covered.append(area)
        assert words
    assert len(covered) >= 2
    assert covered[:-1] == sorted(covered[:-1], reverse=True)


def test_counted_columns_and_rows_keep_the_panel_to_its_size():
    """20 of 44 mm are 880 mm; of 66 mm (half as large again, 1.5 is between the steps) at 61.5 there are 14:
    861 mm."""
    brief = Brief(design=sized("square", 20, 20)[0], space=space(2000, 2000))
    by_side = {panel.fit.cell_side_mm: panel.fit for _, panel in steps("cell side", brief)}
    assert by_side[61.5].columns == by_side[61.5].rows == 14
    assert by_side[88].columns == 10
    assert all(fit.lattice_width_mm <= 880 for fit in by_side.values())


def test_a_smaller_panel_has_whole_cells_fewer_and_keeps_its_middle():
    """20 and 13 cells at 0.9, 0.8 and 0.7 lose 2, 4, 6 and 1.3, 2.6, 3.9 of them: by twos 2, 4, 6 and 2, 2,
    4. The lattice of 44 mm has edgings of 12 mm."""
    brief = Brief(design=sized("square", 20, 13)[0], space=space(2000, 2000))
    panels = [panel.fit for _, panel in steps("size", brief)]
    assert [(fit.columns, fit.rows) for fit in panels] == [(18, 11), (16, 11), (14, 9)]
    assert steps("size", brief)[0][0] == "the panel 816 mm by 508 mm instead of 904 mm by 596 mm"
    lost = levels_of("size", brief, made(brief))[0].loss
    assert lost == pytest.approx(1.2 * (1 - 816 * 508 / (904 * 596)))


def test_a_smaller_panel_of_larger_cells_counts_those():
    """At 88 mm there are ten and six across and up: 0.8 of them are eight and four (by twos)."""
    brief = Brief(design=sized("square", 20, 13)[0], space=space(2000, 2000))
    before = made(brief)
    larger = levels_of("cell side", brief, before)[-1].apply(brief)
    smaller = levels_of("size", brief, before)[1]
    after = made(smaller.apply(larger))
    assert (after.fit.cell_side_mm, after.fit.columns, after.fit.rows) == (88, 8, 4)
    assert smaller.told(after) == "the panel 728 mm by 376 mm instead of 904 mm by 596 mm"
    told = levels_of("cell side", brief, before)[-1].told(after)
    assert told == "cells of 88 mm instead of 44 mm"


def test_fixed_seams_go_with_the_cells_that_they_counted():
    fixed = sized("square", 20, 13, seams_after_columns=(10,))[0]
    brief = Brief(design=fixed, space=space(2000, 2000))
    for way in ("cell side", "size"):
        for words, panel in steps(way, brief):
            assert words.endswith(", without the fixed seams")
            assert panel.design.seam_lines == ((), ())
    assert not any("seams" in words for words, _ in steps("depth", brief))


def test_neither_a_frame_nor_a_panel_of_a_few_cells_gets_smaller():
    framed = Brief(design=sized("square", 20, 13)[0], space=space(2000, 2000, mounting="in a frame"))
    assert steps("size", framed) == []
    assert steps("size", Brief(design=sized("square", 2, 2)[0], space=space(2000, 2000))) == []


def test_a_much_smaller_panel_is_said():
    """Three of 44 mm are 132 mm; two of 46 mm only 92 mm, and the edging of 12 mm goes round both."""
    brief = Brief(design=sized("square", 3, 3)[0], space=space(2000, 2000))
    words, _ = steps("cell side", brief)[0]
    assert words == "cells of 46 mm instead of 44 mm, the panel 116 mm by 116 mm instead of 156 mm by 156 mm"


def test_single_cells_that_have_no_place_any_more_are_said():
    touch = TouchUp(column=9, row=9, infill=Infill(pattern="cross", filament="Sand"))
    brief = Brief(design=sized("square", 10, 10, touch_ups=(touch,))[0], space=space(2000, 2000))
    assert steps("cell side", brief)[0][0].endswith(", without 1 single cell")


def test_what_fills_one_facing_only_is_not_made_to_fill_both():
    """Scales leave every other cell open: whatever fills those too has twice the pieces."""
    brief = brief_of(arrangement=AllOver(infill=Infill(pattern="scales", filament="Tea")))
    assert steps("density", brief) == []


def test_levels_that_take_the_same_side_are_one():
    brief = brief_of(cell_side_mm=Decimal(44), side_play_percent=Decimal(25), width=700, height=700)
    now = made(brief).fit.cell_side_mm
    sides = [panel.fit.cell_side_mm for _, panel in steps("cell side", brief)]
    assert sides == sorted(set(sides))
    assert sides[0] > now


@pytest.mark.parametrize(
    ("depth", "inside", "wanted"),
    [
        ("12", "6", [("10", "5"), ("8.5", "4.5"), ("6.5", "3.5")]),
        ("12", "1", [("10", "1"), ("8.5", "1"), ("6.5", "1")]),
        ("5", "4", [("4.5", "3.5"), ("4", "3")]),
        ("4", "2", []),
        ("2", "2", []),
    ],
)
def test_depths(depth, inside, wanted):
    """12 mm x 0.85 = 10.2 mm, in half millimetres 10 mm; infills along with it, but never deeper."""
    brief = brief_of(depth_mm=Decimal(depth), infill_depth_mm=Decimal(inside))
    found = [(p.design.depth_mm, p.design.infill_depth_mm) for _, p in steps("depth", brief)]
    assert found == [(Decimal(a), Decimal(b)) for a, b in wanted]


def test_light_backing_and_delivery():
    brief = replace(brief_of(lit=True, backing="diffuser"), terms=Terms(delivery="delivered and hung"))
    assert [words for words, _ in steps("light", brief)] == ["not lit", "not lit, no diffuser"]
    assert steps("backing", brief) == []
    assert [words for words, _ in steps("backing", brief_of(backing="sheet"))] == ["no backing sheet"]
    assert [words for words, _ in steps("delivery", brief)] == [
        "delivered instead of delivered and hung",
        "sent by carrier instead of delivered and hung",
        "collected instead of delivered and hung",
    ]


def test_infills_keep_their_places():
    """Levels change what the design's infills are, not how many there are: words go by their fields."""
    brief = brief_of(arrangement=Alternating(first=TEA, second=INDIGO))
    for way in ("density", "colours"):
        for level in levels_of(way, brief, made(brief)):
            assert infills_of(level.apply(brief).design).keys() == infills_of(brief.design).keys()
