"""A design from its words."""

from dataclasses import replace
from decimal import Decimal

import pytest

from studio.commissions.call.design_form import (
    choosable,
    design_form,
    read_design,
    with_own_patterns,
    written_whole,
)
from studio.estimate.example import example_question
from studio.forms import Form, sentence
from studio.lattice.design import (
    AllOver,
    Alternating,
    Band,
    Bands,
    BorderAndField,
    Design,
    Infill,
    Rings,
    TouchUp,
)
from studio.lattice.patterns import pattern
from studio.problem import Refused
from studio.voice import PLAIN

DESIGN = example_question().brief.design
LEAF = Infill(pattern="hemp-leaf", filament="Tea")
OURS = replace(pattern("hemp-leaf", "three-way"), slug="our-star", name="Star of Ness", revision=2)


def typed(design: Design = DESIGN, **changed: str) -> Form:
    return Form({**design_form(design, PLAIN).values, **changed})


def test_a_bound_is_told_by_what_was_typed() -> None:
    with pytest.raises(Refused) as refused:
        read_design(typed(**{"design.cell_side_mm": "1,2 m"}), DESIGN)
    (problem,) = refused.value.problems
    assert (problem.field, sentence(problem, PLAIN)) == (
        "design.cell_side_mm",
        "“1,2 m” is 1200 mm. Give at most 400 mm.",
    )


@pytest.mark.parametrize("kind", [Bands, Rings])
def test_what_is_wrong_in_a_band_or_a_ring_is_said_there(kind: type) -> None:
    name = "bands" if kind is Bands else "rings"
    design = replace(DESIGN, arrangement=kind(**{name: (Band(infill=LEAF, cells=2),) * 2}))
    field = f"design.arrangement.{name}.1.cells"
    with pytest.raises(Refused) as refused:
        read_design(typed(design, **{field: "many"}), design)
    assert [problem.field for problem in refused.value.problems] == [field]


def test_words_as_they_stand_change_nothing() -> None:
    read = read_design(typed(), DESIGN)
    assert (read.design, read.reworded) == (DESIGN, False)


def test_what_has_no_field_stays() -> None:
    before = replace(DESIGN, angle_deg=Decimal(75), touch_ups=(TouchUp(column=1, row=2, infill=LEAF),))
    form = typed(before)
    assert not any("touch_ups." in name or "own_patterns" in name for name in form.values)
    words = {name: text for name, text in form.values.items() if name != "design.angle_deg"}
    posted = {"design.touch_ups": "none", "design.own_patterns.0.slug": "x"}
    assert read_design(Form({**words, **posted}), before).design == before


def test_another_lattice_keeps_colours_and_swaps_patterns_that_it_lacks() -> None:
    before = replace(DESIGN, touch_ups=(TouchUp(column=1, row=2, infill=LEAF),))
    read = read_design(typed(before, **{"design.lattice": "square"}), before)
    assert read.reworded
    arrangement = read.design.arrangement
    assert isinstance(arrangement, BorderAndField)
    assert isinstance(before.arrangement, BorderAndField)
    assert arrangement.field.pattern == "square-hemp-leaf"
    assert arrangement.field.filament == before.arrangement.field.filament
    assert arrangement.border.pattern == "well-crib"
    assert read.design.touch_ups == ()  # of another lattice: they have no place


def test_a_turned_lattice_keeps_every_pattern() -> None:
    read = read_design(typed(**{"design.lattice": "three-way turned"}), DESIGN)
    assert read.design == replace(DESIGN, lattice="three-way turned")
    assert read.reworded


def test_an_own_pattern_goes_into_the_design_whole_and_stays_when_it_is_retired() -> None:
    chosen = {"design.arrangement.field.pattern": "our-star"}
    used = read_design(typed(**chosen), DESIGN, (OURS,)).design
    assert used.own_patterns == (OURS,)
    newer = replace(OURS, revision=3, name="Star of Stromness")
    assert read_design(typed(used), used, (newer,)).design == used
    retired = read_design(typed(used), used)
    assert (retired.design, retired.reworded) == (used, False)
    assert [p.slug for p in choosable("three-way", used)][-1] == "our-star"
    assert "our-star" not in [p.slug for p in choosable("square", used)]
    back = read_design(typed(used, **{"design.arrangement.field.pattern": "hemp-leaf"}), used, (OURS,)).design
    assert back == DESIGN


def test_an_own_pattern_that_is_no_longer_there_gives_way() -> None:
    read = read_design(typed(**{"design.arrangement.field.pattern": "our-star"}), DESIGN)
    assert read.reworded
    assert read.design.own_patterns == ()


def test_own_patterns_of_a_cell_by_hand_are_used() -> None:
    ours = TouchUp(column=0, row=0, infill=Infill(pattern="our-star", filament="Tea"))
    design = replace(DESIGN, touch_ups=(ours,))
    assert with_own_patterns(design, (OURS,)).own_patterns == (OURS,)
    everywhere = replace(design, touch_ups=(), arrangement=AllOver(infill=LEAF), own_patterns=(OURS,))
    assert with_own_patterns(everywhere, (OURS,)).own_patterns == ()


def test_too_many_own_patterns_are_refused() -> None:
    many = tuple(replace(OURS, slug=f"star-{number}") for number in range(41))
    touches = tuple(
        TouchUp(column=number, row=0, infill=Infill(pattern=each.slug, filament="Tea"))
        for number, each in enumerate(many)
    )
    with pytest.raises(Refused, match="41 of your own patterns"):
        with_own_patterns(replace(DESIGN, touch_ups=touches), many)


@pytest.mark.parametrize(
    ("around", "priced", "second"),
    [
        (("Oak", "Walnut"), ("Oak", "Tea", "Chalk", "Walnut"), "Oak"),
        (("Tea", "Walnut"), ("Oak", "Tea", "Chalk", "Walnut"), "Walnut"),
        (("Tea", "Tea"), ("Oak", "Tea", "Chalk", "Walnut"), "Chalk"),
        (("Oak", "Oak"), ("Chalk", "Tea"), "Chalk"),  # oak has no price; round to the start again
        (("Oak", "Oak"), (), "Tea"),
    ],
)
def test_a_second_colour(around: tuple[str, str], priced: tuple[str, ...], second: str) -> None:
    edging, lattice = around
    design = replace(
        DESIGN, edging_filament=edging, lattice_filament=lattice, arrangement=AllOver(infill=LEAF)
    )
    read = read_design(typed(design, **{"design.arrangement.kind": "alternating"}), design, (), priced)
    arrangement = read.design.arrangement
    assert isinstance(arrangement, Alternating)
    assert (arrangement.first, arrangement.second.filament) == (LEAF, second)
    assert arrangement.second.pattern == "basket-weave"


def test_a_form_written_whole_has_the_fields_of_its_new_arrangement() -> None:
    saved = design_form(DESIGN, PLAIN).values
    posted = {name: text for name, text in saved.items() if name != "design.angle_deg"}
    posted |= {"design.arrangement.kind": "drift", "design.cell_side_mm": "wide"}
    whole = written_whole(Form(posted), saved, DESIGN, (), ("Tea",)).values
    assert (whole["design.cell_side_mm"], whole["design.angle_deg"]) == ("wide", "60")
    assert (whole["design.arrangement.anchor_column"], whole["design.arrangement.seed"]) == ("0", "1")
    assert "design.arrangement.border_cells" not in whole
    nonsense = {"design.arrangement.kind": "drift", "design.arrangement.field": "x"}
    kept = written_whole(Form(nonsense), saved, DESIGN, (), ()).values
    assert kept["design.arrangement.field.pattern"] == saved["design.arrangement.field.pattern"]


def test_seams_are_typed_as_the_numbers_of_columns_and_rows() -> None:
    form = typed(**{"design.seams_after_columns": "16 8,", "design.seams_after_rows": "7"})
    design = read_design(form, DESIGN).design
    assert design.seam_lines == ((8, 16), (7,))
    assert typed(design).values["design.seams_after_columns"] == "8, 16"
    assert read_design(typed(design), design).design == design
    emptied = typed(design, **{"design.seams_after_rows": " "})
    assert read_design(emptied, design).design.seams_after_rows == ()


def test_how_far_a_light_is_from_its_diffuser_may_be_left_to_the_catalogue() -> None:
    far = replace(DESIGN, light_diffuser_mm=Decimal("63.5"), light_strip="warm")
    assert typed(far).values["design.light_diffuser_mm"] == "63.5 mm"
    assert read_design(typed(far), far).design == far
    assert read_design(typed(far, **{"design.light_diffuser_mm": '2 1/2"'}), DESIGN).design == far
    assert read_design(typed(far, **{"design.light_diffuser_mm": " "}), far).design.light_diffuser_mm is None
    with pytest.raises(Refused, match=r"^design\.light_diffuser_mm: [^\n]+$"):
        read_design(typed(**{"design.light_diffuser_mm": "far"}), DESIGN)


def test_seams_that_are_no_numbers_are_told_at_their_field() -> None:
    with pytest.raises(Refused) as refused:
        read_design(typed(**{"design.seams_after_columns": "8, half"}), DESIGN)
    (problem,) = refused.value.problems
    assert problem.field == "design.seams_after_columns"
    assert "such as 8, 16" in problem.remedy


def test_seams_stay_behind_with_another_lattice() -> None:
    seamed = replace(DESIGN, seams_after_columns=(8,))
    assert not any(read_design(typed(seamed, **{"design.lattice": "square"}), seamed).design.seam_lines)
