"""The merge of what two people changed at once: nothing lost, nothing asked that is not open."""

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from studio.merging import Clash, Merged, Path, Rows, Tree, Whole, at, merge, put, same_tree

NAMES, TEXTS = st.sampled_from("abcd"), st.sampled_from(["", "1", "2", "1.0"])
FIELDS = ("name", "price", "note")


def literally(_path: Path, one: str, other: str) -> bool:
    return one == other


def as_numbers(_path: Path, one: str, other: str) -> bool:
    return one == other or ("" not in (one, other) and Decimal(one) == Decimal(other))


records = st.fixed_dictionaries(dict.fromkeys(FIELDS, TEXTS))
rows = st.dictionaries(NAMES, records, max_size=4).map(Rows)
wholes = st.dictionaries(NAMES, TEXTS, min_size=1, max_size=3).map(Whole)
forms = st.fixed_dictionaries({"title": TEXTS, "space": records, "rows": rows, "arrangement": wholes})
SAMES = st.sampled_from([literally, as_numbers])


@given(forms, forms, SAMES)
def test_where_nobody_else_saved_it_is_mine_to_the_letter(base: Tree, mine: Tree, same) -> None:
    assert merge(base, mine, base, same) == Merged(mine)


@given(forms, forms, SAMES)
def test_who_typed_nothing_gets_theirs(base: Tree, theirs: Tree, same) -> None:
    merged = merge(base, base, theirs, same)
    assert (merged.tree, merged.clashes) == (theirs, ())
    assert bool(merged.kept) == (base != theirs)


@given(forms, forms)
def test_the_same_change_twice_is_one(base: Tree, mine: Tree) -> None:
    assert merge(base, mine, mine, literally) == Merged(mine)


@given(forms, forms, forms)
def test_clashes_are_what_both_changed_to_different_values(base: Tree, mine: Tree, theirs: Tree) -> None:
    """Whichever of the two is asked; and everything else is what one of the two made of it."""
    merged, turned = merge(base, mine, theirs, literally), merge(base, theirs, mine, literally)
    swapped = {Clash(clash.path, clash.theirs, clash.mine).path for clash in turned.clashes}
    assert {clash.path for clash in merged.clashes} == swapped
    for clash in merged.clashes:
        ways = [at(tree, clash.path) for tree in (base, mine, theirs)]
        assert ways[1:] == [clash.mine, clash.theirs]
        assert not any(same_tree(ways[i], ways[j], literally) for i, j in ((0, 1), (0, 2), (1, 2)))
    for field in FIELDS:
        path = ("space", field)
        old, my, their = (at(tree, path) for tree in (base, mine, theirs))
        clashed = path in {clash.path for clash in merged.clashes}
        assert clashed == (len({old, my, their}) == 3)
        assert at(merged.tree, path) == (my if clashed or my != old else their)


@given(records, records, st.sets(st.sampled_from(FIELDS)))
def test_changes_of_different_fields_commute(base: dict, other: dict, fields: set[str]) -> None:
    mine = base | {name: other[name] for name in fields}
    theirs = base | {name: other[name] for name in FIELDS if name not in fields}
    one, two = merge(base, mine, theirs, literally), merge(base, theirs, mine, literally)
    assert one.tree == two.tree == other
    assert not one.clashes


@given(rows, rows, rows)
def test_lines_come_and_go(base: Rows, mine: Rows, theirs: Rows) -> None:
    """A line that one added stays, one that one took away goes, unless the other changed it."""
    merged = merge(base, mine, theirs, literally)
    clashed = {clash.path[0] for clash in merged.clashes}
    assert isinstance(merged.tree, Rows)
    for key in {*base, *mine, *theirs} - clashed:
        both, added = key in mine and key in theirs, key not in base and (key in mine or key in theirs)
        assert (key in merged.tree) == (both or added)
    for key in clashed - {*mine}:
        assert Clash((key,), None, theirs[key]) in merged.clashes


def test_what_makes_sense_only_together_is_not_mixed() -> None:
    border, bands = Whole(kind="border", field="tea", border="sea"), Whole(kind="bands", first="tea")
    mine = Whole(border, border="moss")
    assert merge(border, mine, bands, literally) == Merged(mine, clashes=(Clash((), mine, bands),))
    assert merge(border, border, bands, literally).tree == bands
    theirs = Whole(border, field="plum")
    assert merge(border, mine, theirs, literally) == Merged(
        Whole(kind="border", field="plum", border="moss"), kept=(("field",),)
    )


def test_what_is_only_written_in_another_way_is_no_change() -> None:
    merged = [merge("1", mine, theirs, as_numbers).tree for mine, theirs in (("1.0", "2"), ("2", "1.0"))]
    assert merged == ["2", "2"]
    assert merge("1", "2", "2.0", as_numbers) == Merged("2")


def test_fields_that_are_not_on_the_page_are_theirs() -> None:
    assert merge({"a": "1", "b": "1"}, {"a": "2"}, {"a": "1", "b": "3"}, literally) == Merged(
        {"a": "2", "b": "3"}
    )


def test_without_a_base_every_difference_is_open() -> None:
    merged = merge(None, {"a": "1", "b": "1"}, {"a": "2", "b": "1"}, literally)
    assert [clash.path for clash in merged.clashes] == [("a",)]


def test_nothing_and_an_empty_text_are_one() -> None:
    assert merge("1", None, "", literally).clashes == merge("1", "", None, literally).clashes == ()
    assert merge(None, "", "2", literally) == Merged("2", kept=((),))


def test_a_whole_that_is_new_to_both_is_asked_about_part_by_part() -> None:
    mine, theirs = Whole(kind="border", field="tea"), Whole(kind="border", field="plum")
    assert [clash.path for clash in merge(None, mine, theirs, literally).clashes] == [("field",)]


def test_parts_are_put_and_taken_away() -> None:
    tree: Tree = {"a": {"b": "1"}}
    put(tree, ("a", "c"), "2")
    put(tree, ("a", "b"), None)
    put(tree, ("x", "y"), "3")
    put(tree, ("a", "c", "d"), "3")
    assert tree == {"a": {"c": "2"}}
