"""What was typed and what is wrong with it."""

from hypothesis import given
from hypothesis import strategies as st

from studio.document import dump, parse
from studio.estimate.example import example_question
from studio.forms import Form, flat, nested, plain, sentence
from studio.lattice.design import Design
from studio.problem import Problem, Refused
from studio.voice import PLAIN

NAMES = st.text("abcdef_", min_size=1, max_size=6)
TEXTS = st.text(min_size=1, max_size=8)
TREES = st.dictionaries(
    NAMES,
    st.recursive(TEXTS, lambda inner: st.dictionaries(NAMES, inner, min_size=1, max_size=3), max_leaves=8),
    min_size=1,
    max_size=3,
)
MAY_BE_EMPTY = ("columns", "rows", "light_diffuser_mm")


def test_a_document_goes_through_a_form_unchanged() -> None:
    design = example_question().brief.design
    assert parse(Design, Form.of(design).document(empty_is_none=MAY_BE_EMPTY)) == design


@given(TREES)
def test_nested_undoes_flat(tree: dict[str, object]) -> None:
    assert nested(flat(tree)) == {key: nested_texts(value) for key, value in tree.items()}


def nested_texts(value: object) -> object:
    """Trailing zeros behind a point say nothing and are dropped."""
    if isinstance(value, dict):
        return {key: nested_texts(inner) for key, inner in value.items()}
    return plain(value)


def test_numbered_fields_become_lists_in_order() -> None:
    assert nested({"rows.10.a": "x", "rows.2.a": "y"}) == {"rows": [{"a": "y"}, {"a": "x"}]}


def test_numbers_are_shown_without_idle_zeros() -> None:
    assert [plain(value) for value in (1000.0, "44.00", "21.50", 0.15, 1234567.0)] == [
        "1000", "44", "21.50", "0.15", "1234567",
    ]  # fmt: skip


def test_ticks() -> None:
    assert flat({"lit": True, "open": False}) == {"lit": "on", "open": "off"}
    form = Form.of(example_question().brief.design)
    assert dump(parse(Design, form.document(empty_is_none=MAY_BE_EMPTY)))


def test_a_refused_form_keeps_what_was_typed() -> None:
    def refuse() -> None:
        raise Refused.because("name", "this is empty", "type a name")

    form, result = Form({"name": ""}).attempt(refuse)
    assert result is None
    assert form.problem("name") == Problem("name", "this is empty", "type a name")
    assert form.problem("other") is None
    assert sentence(form.problems[0], PLAIN) == "This is empty. Type a name."
    assert sentence(Problem("about", "is it measured?", "say so"), PLAIN) == "Is it measured? Say so."


def test_clashing_names_do_not_break() -> None:
    """Names come from outside: a field that is a text and a folder at once is a mistake, not a crash."""
    assert nested({"a": "x", "a.b": "y"}) == {"a": "x"}


def test_names_of_any_length_do_not_break() -> None:
    assert nested({f"rows.{'9' * 5000}": "x"}) == {"rows": {"9" * 5000: "x"}}
    deep = {".".join("a" * 5000): "x"}
    assert flat(nested(deep)) == deep


def test_a_line_is_taken_away_where_it_is() -> None:
    form = Form({"rows.3": "x", "rows.7": "y", "name": "z"})
    assert form.without("rows.1").values == {"rows.0": "x", "name": "z"}
    for place in ("rows.7", "rows.-1", "name.0", "rows", ""):
        assert form.without(place).values == {"rows.0": "x", "rows.1": "y", "name": "z"}


def test_a_line_within_a_line_is_taken_away() -> None:
    form = Form({"rows.0.parts.0": "x", "rows.0.parts.1": "y", "rows.1.name": "z"})
    assert form.without("rows.0.parts.0").values == {"rows.0.parts.0": "y", "rows.1.name": "z"}
    for place in (
        "rows.1.parts.0",
        "rows.9.parts.0",
        "rows.0.parts.0.0",
        "rows.1.name.0",
        f"rows.{'9' * 5000}.0",
    ):
        assert form.without(place).values == form.values
