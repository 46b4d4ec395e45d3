"""Stored documents: read for ever, one schema after another, or said to be unreadable with the reason."""

import json
from dataclasses import fields
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.document import document, dump
from studio.stored.door import DocumentKind, Unreadable
from studio.stored.kinds import DESIGN, KINDS, PATTERN, RATE_BOOK, SPACE, TERMS

GOLDEN = Path(__file__).parent / "golden"


def golden(kind: DocumentKind[Any], schema: int) -> dict[str, Any]:
    path = GOLDEN / f"{kind.name.replace(' ', '-')}-{schema}.json"
    found: dict[str, Any] = json.loads(path.read_text())
    return found


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_every_schema_of_every_kind_is_read_and_stays_what_it_was(kind):
    for schema in range(1, kind.schema + 1):
        stored = golden(kind, schema)
        read = kind.read(stored["stored"])
        assert dump(read) == stored["read"]
        assert kind.read(kind.write(read)) == read


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_goldens_fill_every_field(kind):
    """A golden that leaves a field to its default would not notice that the default moved."""
    stored = golden(kind, kind.schema)["stored"]
    assert {field.name for field in fields(kind.holds)} - set(stored) == set()


@document
class Shelf:
    boards: int
    width_mm: Decimal = Decimal(300)


def _renamed(values: dict[str, Any]) -> dict[str, Any]:
    return {"boards": values["planks"], **{k: v for k, v in values.items() if k != "planks"}}


def _in_mm(values: dict[str, Any]) -> dict[str, Any]:
    width_mm = str(Decimal(values["width_cm"]) * 10)
    return {name: value for name, value in values.items() if name != "width_cm"} | {"width_mm": width_mm}


SHELF = DocumentKind("shelf", Shelf, (_renamed, _in_mm))


def test_older_schemas_are_carried_forward_step_by_step():
    newest = Shelf(boards=3, width_mm=Decimal(450))
    assert SHELF.read({"planks": 3, "width_cm": "45"}) == newest
    assert SHELF.read({"schema": 2, "boards": 3, "width_cm": "45"}) == newest
    assert SHELF.read({"schema": 3, "boards": 3, "width_mm": "450"}) == newest
    assert SHELF.write(newest) == {"schema": 3, "boards": 3, "width_mm": "450"}


def test_reading_leaves_what_is_stored_as_it_is():
    stored = {"planks": 3, "width_cm": "45"}
    SHELF.read(stored)
    assert stored == {"planks": 3, "width_cm": "45"}


@pytest.mark.parametrize(
    ("stored", "field", "reason"),
    [
        (
            {"schema": 4, "boards": 3},
            "shelf",
            "it was stored by a newer program (schema 4; this one knows 3)",
        ),
        ({"schema": 0, "boards": 3}, "shelf.schema", "found “0”"),
        ({"schema": True, "boards": 3}, "shelf.schema", "found “True”"),
        ({"schema": "3", "boards": 3}, "shelf.schema", "found “3”"),
        ({"boards": 3}, "shelf", "it is too damaged to be carried on from schema 1"),
        ({"planks": 3, "width_cm": ["45"]}, "shelf", "it is too damaged to be carried on from schema 1"),
        ({"schema": 3, "boards": "many"}, "shelf.boards", "found “many”"),
        ({"schema": 3, "boards": 3, "glass": 1}, "shelf.glass", "this key is not known"),
        ({"schema": 3}, "shelf.boards", "this key is missing"),
        ([], "shelf", "the list is empty"),
        (None, "shelf", "nothing is given"),
    ],
)
def test_what_cannot_be_read_says_why(stored, field, reason):
    with pytest.raises(Unreadable) as refused:
        SHELF.read(stored)
    problem = refused.value.problems[0]
    assert (problem.field, problem.reason) == (field, reason)
    assert SHELF.readable(stored) is None
    assert SHELF.fault(stored).kind == "shelf"


def test_a_text_cut_short_says_so():
    text, _sha256 = RATE_BOOK.write_text(RATE_BOOK.read(golden(RATE_BOOK, RATE_BOOK.schema)["stored"]))
    with pytest.raises(Unreadable, match="rate book: this is not JSON"):
        RATE_BOOK.read_text(text[: len(text) // 2])
    with pytest.raises(Unreadable, match="pattern: found a list of 1"):
        PATTERN.read_text("[1]")


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)


@given(st.data())
def test_no_damage_to_a_document_is_more_than_unreadable(data):
    """One key of any kind's golden becomes anything else, or goes."""
    kind = data.draw(st.sampled_from(KINDS))
    stored = dict(golden(kind, kind.schema)["stored"])
    key = data.draw(st.sampled_from(sorted(stored)))
    stored[key] = data.draw(JSON)
    if data.draw(st.booleans()):
        del stored[key]
    found = kind.readable(stored)
    assert found is None or kind.read(kind.write(found)) == found


def test_an_option_reads_its_design_through_the_door():
    """The value that was tried: today's bounds refuse a side of 5 mm that a row holds."""
    stored = golden(DESIGN, 1)["stored"] | {"cell_side_mm": "5"}
    with pytest.raises(Unreadable, match=r"design\.cell_side_mm: found 5 mm; give at least 10 mm"):
        DESIGN.read(stored)


OPENING = {"widths_mm": ["1200"], "heights_mm": ["750"]}


@pytest.mark.parametrize(
    ("name", "unasked", "answer"),
    [("indoors", True, False), ("public_room", False, True), ("near_heat", False, True),
     ("above_people", False, True)],
)  # fmt: skip
def test_what_an_old_tick_said_unasked_reads_as_unknown(name, unasked, answer):
    assert getattr(SPACE.read(OPENING), name) is None
    assert getattr(SPACE.read(OPENING | {name: unasked}), name) is None
    assert getattr(SPACE.read(OPENING | {name: answer}), name) is answer
    assert getattr(SPACE.read(OPENING | {name: unasked, "schema": 2}), name) is unasked


@pytest.mark.parametrize(
    ("stored", "origin"),
    [({}, "taped by us"), ({"measured": True}, "taped by us"), ({"measured": False}, "said"),
     ({"schema": 2}, "said")],
)  # fmt: skip
def test_old_sizes_were_said_or_taped_by_the_studio(stored, origin):
    space = SPACE.read(OPENING | stored)
    assert (space.width_origin, space.height_origin) == (origin, origin)


def test_an_old_swap_takes_the_calendars_minutes_and_an_old_survey_is_a_trip():
    """The one that the program knew, or else the first by the plate; others keep what they say."""
    stored = golden(RATE_BOOK, 2)["stored"]
    own = {"code": "wash", "text": "Wash", "role": "maker", "minutes": "2", "per": "plate"}
    known = RATE_BOOK.read(stored | {"operations": [own, *stored["operations"]]}).operations
    assert {each.code: each.minutes for each in known if each.per == "plate"} == {
        "wash": Decimal(2), "swap-plate": None,
    }  # fmt: skip
    assert [each.code for each in known if each.per == "survey"] == ["survey"]
    assert [each.minutes for each in RATE_BOOK.read(stored | {"operations": [own]}).operations] == [None]
    assert TERMS.read({}).survey == "trip"


@pytest.mark.parametrize(
    ("stored", "km"),
    [({}, None), ({"distance_km": "0.0"}, None), ({"distance_km": 0, "schema": 2}, None),
     ({"distance_km": "0", "schema": 3}, 0), ({"schema": 3}, None), ({"distance_km": "10"}, 10)],
)  # fmt: skip
def test_an_old_distance_of_nothing_was_not_given(stored, km):
    assert TERMS.read(stored).distance_km == km


@pytest.mark.parametrize(("name", "value"), [("measured", "perhaps"), ("measured", None), ("near_heat", 7)])
def test_an_old_answer_that_is_none_is_told_at_its_key(name, value):
    with pytest.raises(Unreadable, match=rf"space\.{name}: .*; give true or false"):
        SPACE.read(OPENING | {name: value})
