"""What is read from documents and typed fields, and the words for what cannot be read."""

from collections.abc import Callable
from contextlib import suppress
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.document import digest, document, dump, parse, parse_json
from studio.lattice.design import Bands, Space
from studio.making.equipment import Filament, Printer
from studio.making.shop import Calendar, ShopState
from studio.pricing.terms import Terms
from studio.problem import Refused

SIZES = {"widths_mm": (Decimal(600),), "heights_mm": (Decimal("450.5"),)}


@document
class Typed:
    price: Decimal
    percents: tuple[Decimal, ...] = ()
    share: float = 0
    note: str = ""


@pytest.mark.parametrize(("text", "value"), [("24,50", "24.50"), ("0,125", "0.125"), (" 1200,5 ", "1200.5")])
def test_decimal_commas_are_read_wherever_they_stand(text: str, value: str) -> None:
    read = parse(Typed, {"price": text, "percents": ["1", text], "share": text, "note": text})
    number = Decimal(value)
    assert read == Typed(price=number, percents=(Decimal(1), number), share=float(number), note=text)


@pytest.mark.parametrize("text", ["1,200", "12,345"])
def test_a_comma_that_could_set_thousands_apart_is_asked_about(text: str) -> None:
    with pytest.raises(Refused) as refused:
        parse(Typed, {"price": text})
    (problem,) = refused.value.problems
    assert problem.reason == f"“{text}” could be thousands or decimals"
    assert problem.remedy == f"write {text.replace(',', '')} or {text.replace(',', '.')}"


def test_documents_keep_to_points() -> None:
    with pytest.raises(Refused, match="found “24,50”; give a number"):
        parse_json(Typed, '{"price": "24,50"}')


@pytest.mark.parametrize(
    ("kind", "data", "says"),
    [
        (
            Space,
            {"widths_mm": ["20"], "heights_mm": ["500"]},
            "widths_mm.0: found 20 mm; give at least 50 mm",
        ),
        (Terms, {"currency": ""}, "currency: nothing is given; give three letters such as GBP"),
        (ShopState, {"country": "Britain"}, "country: found “Britain”; give two letters such as GB"),
        (Filament, {"colour": "brown"}, "colour: found “brown”; give a colour such as #b98a5a"),
        (
            Bands,
            {"bands": [{"infill": {"pattern": "open", "filament": "Tea"}, "cells": "9" * 5000}]},
            "bands.0.cells: found a text of 5000 characters; give a smaller whole number",
        ),
    ],
)
def test_words_are_plain_and_carry_units(kind: type, data: object, says: str) -> None:
    with pytest.raises(Refused) as refused:
        parse(kind, data)
    assert says in str(refused.value).splitlines()


WRITTEN = (
    lambda number: number,
    lambda number: float(number),
    lambda number: str(number),
    lambda number: f"{Decimal(str(number)):.6f}",
    lambda number: int(number) if number == int(number) else number,
)
"""Ways of writing one number."""


WHOLE = (Printer(name="P"), Filament(name="F", colour="#b98a5a"), Space(**SIZES), Calendar())


def rewritten(draw: Callable[[Any], Any], value: Any) -> Any:
    """The same values in other writings, without some of the keys."""
    if isinstance(value, dict):
        return {key: rewritten(draw, part) for key, part in value.items() if draw(st.integers(0, 3))}
    if isinstance(value, list):
        return [rewritten(draw, part) for part in value]
    number = value if isinstance(value, int | float) and not isinstance(value, bool) else None
    return value if number is None else draw(st.sampled_from(WRITTEN))(number)


@given(
    data=st.data(),
    whole=st.sampled_from(
        [Printer(name="P"), Filament(name="F", colour="#b98a5a"), Space(**SIZES), Calendar()]
    ),
)
def test_equal_values_have_one_digest_whatever_is_left_out_or_however_it_is_written(data, whole) -> None:
    """A key that is left out may have mattered: then the values differ, and their digests too."""
    written = rewritten(data.draw, dump(whole))
    with suppress(Refused):
        read = parse(type(whole), written)
        assert (digest(read) == digest(whole)) == (read == whole)


def test_a_default_that_is_written_out_is_the_same_value() -> None:
    """256 in the program, 256.0 once it was read."""
    assert digest(parse(Printer, dump(Printer(name="P")))) == digest(Printer(name="P"))
    assert digest(Typed(price=Decimal("9.00"), share=9)) == digest(Typed(price=Decimal(9), share=9.0))
    assert digest(Typed(price=Decimal(9), share=-0.0)) == digest(Typed(price=Decimal(9)))
    assert digest(Typed(price=Decimal(9), note="9")) != digest(Typed(price=Decimal(9), note="9.0"))
