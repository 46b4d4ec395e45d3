"""An arrangement of another kind from the fields that are there."""

from typing import Any

import pytest

from studio.commissions.call.arranging import arranged

KNOWN = ("hemp-leaf", "basket-weave", "web")
LEAF = {"pattern": "hemp-leaf", "filament": "Tea"}
WEAVE = {"pattern": "basket-weave", "filament": "Indigo"}
WEB = {"pattern": "web", "filament": "Chalk"}
WRITTEN: dict[str, dict[str, Any]] = {
    "all over": {"kind": "all over", "infill": LEAF},
    "border and field": {"kind": "border and field", "field": LEAF, "border": WEAVE, "border_cells": "4"},
    "bands": {
        "kind": "bands",
        "direction": "level",
        "bands": [{"infill": LEAF, "cells": "5"}, {"infill": WEAVE, "cells": "1"}],
    },
    "rings": {
        "kind": "rings",
        "across_percent": "30",
        "up_percent": "50",
        "rings": [{"infill": LEAF, "cells": "5"}, {"infill": WEAVE, "cells": "1"}],
    },
    "drift": {
        "kind": "drift",
        "first": LEAF,
        "second": WEAVE,
        "direction": "downwards",
        "seed": "7",
        "anchor_column": "0",
        "anchor_row": "0",
    },
    "rosettes": {"kind": "rosettes", "field": LEAF, "rosette": WEAVE, "apart": "5"},
    "alternating": {"kind": "alternating", "first": LEAF, "second": WEAVE},
}


def again(written: object, change: str = "") -> Any:
    return arranged(written, "three-way", KNOWN, change)


@pytest.mark.parametrize("kind", WRITTEN)
def test_what_is_complete_stays_as_it_is(kind: str) -> None:
    assert again(WRITTEN[kind]) == WRITTEN[kind]


@pytest.mark.parametrize("kind", WRITTEN)
@pytest.mark.parametrize("other", [kind for kind in WRITTEN if kind != "all over"])
def test_every_kind_keeps_the_infills_that_are_there(kind: str, other: str) -> None:
    found = again({**WRITTEN[kind], "kind": other})
    infills = [found.get(name) for name in ("field", "border", "rosette", "first", "second")]
    infills += [row["infill"] for row in found.get("bands", found.get("rings", []))]
    two = [infill for infill in infills if infill]
    assert two == [LEAF, WEAVE if kind != "all over" else {**WEAVE, "filament": "Tea"}]
    assert again({**found, "kind": "all over"}) == WRITTEN["all over"]


def test_bands_and_rings_keep_their_number_and_cells() -> None:
    rings = again({**WRITTEN["bands"], "kind": "rings"})
    assert rings["rings"] == WRITTEN["bands"]["bands"]
    assert (rings["across_percent"], rings["up_percent"]) == ("50", "50")


def test_a_direction_goes_over_to_another_kind() -> None:
    assert again({**WRITTEN["drift"], "kind": "bands"})["direction"] == "level"
    assert again({**WRITTEN["bands"], "kind": "drift"})["direction"] == "upwards"
    assert again({**WRITTEN["bands"], "direction": "sideways"})["direction"] == "sideways"  # to be refused


@pytest.mark.parametrize(("kind", "noun"), [("bands", "band"), ("rings", "ring")])
def test_one_more_and_one_less(kind: str, noun: str) -> None:
    more = again(WRITTEN[kind], f"add {noun}")
    assert more[kind] == [*WRITTEN[kind][kind], WRITTEN[kind][kind][0]]
    assert again(more, f"remove {noun}") == WRITTEN[kind]
    for _ in range(20):
        more, less = again(more, f"add {noun}"), again(WRITTEN[kind], f"remove {noun}")
    assert len(more[kind]) == 12
    assert again(less, f"remove {noun}") == less
    assert len(less[kind]) == 1 or len(less[kind]) == 2


@pytest.mark.parametrize(("kind", "noun"), [("bands", "band"), ("rings", "ring")])
def test_a_single_one_stays_single_and_more_of_them_go_on_by_turns(kind: str, noun: str) -> None:
    single = again(WRITTEN[kind], f"remove {noun}")
    assert single[kind] == WRITTEN[kind][kind][:1]
    assert again(single) == single
    other = {"bands": "rings", "rings": "bands"}[kind]
    assert again({**single, "kind": other})[other] == single[kind]
    more = single
    for _ in range(3):
        more = again(more, f"add {noun}")
    assert [row["infill"]["pattern"] for row in more[kind]] == ["hemp-leaf", "basket-weave"] * 2
    assert {row["cells"] for row in more[kind]} == {"5"}


@pytest.mark.parametrize("kind", [kind for kind in WRITTEN if kind != "all over"])
def test_a_second_infill_that_nobody_wrote_looks_another_way(kind: str) -> None:
    found = arranged({**WRITTEN["all over"], "kind": kind}, "three-way", KNOWN, "", ["Tea", "Oak", "Chalk"])
    infills = [found[name] for name in ("field", "border", "rosette", "first", "second") if name in found]
    infills += [row["infill"] for row in found.get("bands", found.get("rings", []))]
    assert infills == [LEAF, {"pattern": "basket-weave", "filament": "Oak"}]


@pytest.mark.parametrize(("seed", "next_one"), [("7", "8"), ("999999", "1"), ("many", "many"), ("", "")])
def test_another_throw(seed: str, next_one: str) -> None:
    assert again({**WRITTEN["drift"], "seed": seed}, "another throw")["seed"] == next_one


def test_unknown_patterns_give_way_and_colours_stay() -> None:
    square = {**WRITTEN["bands"], "bands": [{"infill": {**WEB, "pattern": "masu"}, "cells": "2"}] * 2}
    found = [row["infill"] for row in again(square)["bands"]]
    assert found == [
        {"pattern": "hemp-leaf", "filament": "Chalk"},
        {"pattern": "basket-weave", "filament": "Chalk"},
    ]


@pytest.mark.parametrize(
    "written",
    [
        {},
        [],
        "bands",
        {"kind": "bands"},
        {"kind": {"x": "y"}, "bands": "many"},
        {"kind": "bands", "bands": {"x": {"infill": LEAF}}},
        {"kind": "rings", "rings": [LEAF, "x", {"infill": "x"}]},
    ],
)
def test_what_makes_no_sense_is_left_for_the_reader(written: Any) -> None:
    assert again(written) == written


def test_nonsense_within_is_left_too() -> None:
    odd = {"x": "y"}
    drift = again({**WRITTEN["drift"], "direction": odd, "seed": odd}, "another throw")
    assert (drift["direction"], drift["seed"]) == (odd, odd)
    assert again({"kind": odd, "infill": {**LEAF, "pattern": odd}})["infill"]["pattern"] == "hemp-leaf"
