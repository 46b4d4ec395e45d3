"""A studio's own pattern from a document: read, or refused in plain words."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.document import dump, parse
from studio.lattice.composition import compose
from studio.lattice.design import AllOver, Infill
from studio.lattice.own_pattern import LONGEST_TEXT, read_pattern
from studio.lattice.pattern import MOST_STROKES, Pattern
from studio.lattice.patterns import patterns
from studio.lattice.sound import MOST_CROSSINGS, MOST_POINTS, unsound
from studio.problem import Refused
from tests.lattice import own
from tests.lattice.cast import sized
from tests.lattice.own import KITE, TRELLIS, arc, changed, fill, line


def problems(document):
    with pytest.raises(Refused) as refused:
        read_pattern(document)
    return {problem.field: problem for problem in refused.value.problems}


def only(document):
    (found,) = problems(document).values()
    return found


@pytest.mark.parametrize("document", [TRELLIS, KITE], ids=["square", "diamond"])
def test_a_document_and_its_text_are_the_same_pattern(document):
    found = read_pattern(document)
    assert (found.slug, found.lattice) == (document["slug"], document["lattice"])
    assert found == read_pattern(json.dumps(document)) == read_pattern(json.dumps(document).encode())


@pytest.mark.parametrize("design", [p for p in patterns() if not p.is_open], ids=lambda p: p.slug)
def test_the_patterns_that_come_with_the_program_pass_their_own_checks(design: Pattern):
    assert unsound(design) == ()
    document = {**dump(design), "slug": f"our-{design.slug}"}
    assert read_pattern(json.dumps(document)).whole == design.whole


def test_a_comma_in_a_number_is_read_as_people_type_it():
    typed = changed(whole=[line(("-0,5", "0,1"), (0.5, 0.1)), line((-0.1, -0.5), (-0.1, 0.5))])
    assert read_pattern(typed).whole == read_pattern(TRELLIS).whole


# refused


def test_what_is_no_document_is_refused():
    assert only("{").field == "document"
    assert only("[]").remedy == "give an object with keys"
    assert only("null").remedy == "give an object with keys"
    assert {"slug", "name", "lattice"} <= set(problems({}))


def test_an_unknown_key_is_named():
    assert only(changed(colour="red")).field == "colour"
    assert only(changed(colour="red")).reason == "this key is not known"


def test_a_form_without_strokes_is_refused_and_so_is_one_that_the_lattice_lacks():
    found = problems(changed(lattice="diamond"))
    assert list(found) == ["half_level", "half_upright", "quarter"]
    assert found["quarter"].reason == "a diamond lattice has quarter cells, and they have no strokes"
    spare = only(changed(half=TRELLIS["whole"]))
    assert (spare.field, spare.reason) == ("half", "a square lattice has no half cells")
    assert spare.remedy == "strokes for whole cells alone"


def test_nothing_at_all_is_refused():
    assert only(changed(whole=[])).reason == "a square lattice has whole cells, and they have no strokes"


def test_a_slug_of_the_program_is_refused():
    assert only(changed(slug="well-crib")).reason == "“well-crib” is a pattern that comes with the program"
    assert "slug" in problems(changed(slug="open"))


def test_a_name_of_signs_that_cannot_be_printed_is_refused():
    for name in ("Tre\x00llis", "Tre\nllis", " Trellis ", "  "):
        assert only(changed(name=name)).field == "name"


CENTRE = line((-0.5, 0.0), (0.5, 0.0))
BAD = {
    "no length": (line((0.1, 0.1), (0.1, 0.1)), "the line has no length"),
    "back and forth": (line((0, 0), (0.4, 0), (0.1, 0)), "the line runs back over itself"),
    "outside": (line((2, 2), (3, 3)), "the stroke lies wholly outside a whole cell"),
    "along the outside": (fill((1, 1), (2, 1), (2, 2)), "the stroke lies wholly outside a whole cell"),
    "no span": (arc(0.3, 45, 45), "the arc spans nothing"),
    "more than a ring": (arc(0.3, 0, 400), "the arc spans 400 degrees"),
    "clockwise": (
        arc(0.3, 90, 0),
        "the arc ends at 0 degrees, before its start at 90, and arcs run anticlockwise",
    ),
    "bow tie": (
        fill((0, 0), (0.3, 0.3), (0.3, 0), (0, 0.3)),
        "the edge of the fill crosses or touches itself",
    ),
    "flat fill": (fill((0, 0), (0.2, 0.2), (0.1, 0.1)), "the edge of the fill crosses or touches itself"),
    "a point": (fill((0.1, 0.1), (0.1, 0.1), (0.1, 0.1)), "the fill has no length"),
    "hardly a fill": (fill((0, 0), (0.3, 0), (0.3, 1e-6)), "the fill has no area"),
    "twice": (line((0.5, 0.0), (-0.5, 0.0)), "the stroke lies on stroke 1 of the same cell"),
    "part of another": (line((-0.2, 0.0), (0.3, 0.0)), "the stroke lies on stroke 0 of the same cell"),
}


@pytest.mark.parametrize(("stroke", "reason"), BAD.values(), ids=BAD)
def test_a_stroke_that_makes_no_sense_is_refused(stroke, reason):
    found = problems(changed(whole=[CENTRE, stroke]))
    assert reason in {problem.reason for problem in found.values()}
    assert set(found) <= {"whole.0", "whole.1"}


def test_an_arc_that_runs_backwards_is_told_its_end():
    assert (
        only(changed(whole=[CENTRE, arc(0.3, 90, 0)])).remedy == "an end of 360 degrees, or the two exchanged"
    )
    far = only(changed(whole=[CENTRE, arc(0.3, 500, -30)]))
    assert far.remedy == "an end of 690 degrees, or the two exchanged"


def test_every_bad_stroke_is_named_at_once():
    strokes = [CENTRE, *(stroke for name, (stroke, _) in BAD.items() if name in ("no length", "bow tie"))]
    assert list(problems(changed(whole=strokes))) == ["whole.1", "whole.2"]


def test_numbers_that_are_none_are_refused():
    for text in ("NaN", "Infinity", "1e999", '"left"', "null", "true"):
        found = problems(json.dumps(TRELLIS).replace("0.1]", f"{text}]", 1))
        assert all(field.startswith("whole.0") for field in found)


def test_ten_thousand_strokes_are_refused_by_their_number():
    found = only(json.dumps(changed(whole=[CENTRE] * 10_000)))
    assert (found.field, found.remedy) == ("whole", f"give at most {MOST_STROKES} of them")
    assert found.reason == "found a list of 10000"
    assert str(LONGEST_TEXT) in only(" " * (LONGEST_TEXT + 1)).remedy


def test_tangles_are_refused_before_they_take_long():
    fan = [line((-0.5, i / 120), (0.5, -i / 120)) for i in range(-60, 60)]
    assert f"at most {MOST_CROSSINGS}" in only(changed(whole=fan)).remedy
    zigzag = line(*((-0.5 + i % 2, -0.5 + i / 400) for i in range(400)))
    assert f"at most {MOST_POINTS}" in only(changed(whole=[zigzag] * 3)).remedy


def test_a_design_that_carries_a_bad_pattern_is_refused_with_its_stroke():
    """A brief from a file may hold any pattern that its types allow."""
    bow_tie, _ = BAD["bow tie"]
    carried = parse(Pattern, changed(whole=[CENTRE, bow_tie]))
    infill = Infill(pattern="trellis", filament="Tea")
    wanted, fit = sized("square", 3, 3, own_patterns=(carried,), arrangement=AllOver(infill=infill))
    with pytest.raises(Refused) as refused:
        compose(wanted, fit)
    (found,) = refused.value.problems
    assert found.field == "design.arrangement.infill.pattern"
    assert found.reason == (
        "the studio's pattern “trellis”, whole.1: the edge of the fill crosses or touches itself"
    )


def test_a_design_is_composed_of_the_pattern_that_it_carries():
    infill = Infill(pattern="trellis", filament="Tea")
    own_patterns = (read_pattern(TRELLIS),)
    wanted, fit = sized("square", 3, 3, own_patterns=own_patterns, arrangement=AllOver(infill=infill))
    assert [piece.made_as for piece in compose(wanted, fit).pieces] == ["trellis, whole"] * 2


@settings(max_examples=150)
@given(document=own.json_values)
def test_no_document_is_a_traceback(document):
    with pytest.raises(Refused):
        read_pattern(document)
    with pytest.raises(Refused):
        read_pattern(json.dumps(document))


@settings(max_examples=150)
@given(whole=st.lists(own.strokes, max_size=4), extra=st.dictionaries(st.text(max_size=5), own.json_values))
def test_no_strokes_are_a_traceback(whole, extra):
    try:
        found = read_pattern({**extra, **changed(whole=whole)})
    except Refused as refused:
        found = refused
    said = [] if isinstance(found, Pattern) else found.problems
    assert all(problem.reason and problem.remedy for problem in said)
