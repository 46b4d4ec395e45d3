"""What is read from documents and typed fields, and the words for what cannot be read."""

from decimal import Decimal

import pytest

from studio.document import document, parse, parse_json
from studio.lattice.design import Bands, Space
from studio.making.equipment import Filament
from studio.making.shop import ShopState
from studio.pricing.terms import Terms
from studio.problem import Refused


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
