from decimal import Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from studio.lattice.length import Length, parse_length
from studio.problem import Refused


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1200", "1200"),
        ("1200 mm", "1200"),
        ("1200mm", "1200"),
        (" 1 200 mm ", "1200"),
        ("1200.5", "1200.5"),
        ("1.2 m", "1200"),
        ("1,2 m", "1200"),
        ("1.205 m", "1205"),
        ("0,125 m", "125"),
        (".5 m", "500"),
        ("120 cm", "1200"),
        ("2 Metres", "2000"),
        ("47.25 in", "1200.15"),
        ("47.25 in.", "1200.15"),
        ('47 1/4"', "1200.15"),
        ("47-1/4 inches", "1200.15"),
        ("47¼″", "1200.15"),
        ("47 ¼”", "1200.15"),
        ('1/2"', "12.7"),
        ("⅛ in", "3.18"),
        ("4' 2 1/2\"", "1282.7"),
        ("4’2½”", "1282.7"),
        ("4′ 2½″", "1282.7"),
        ("4' 2 1/2''", "1282.7"),
        ("3 ft 11 in", "1193.8"),
        ("5 feet", "1524"),
        ("5'", "1524"),
        ("1 ½ m", "1500"),
        ("0.1", "0.1"),
        ("20 m", "20000"),
    ],
)
def test_lengths_as_people_say_them(text, mm):
    assert parse_length(text) == Length(Decimal(mm), False, text)


@pytest.mark.parametrize(
    "word", ["about", "About", "ca.", "ca", "circa", "approx.", "approximately", "~", "≈", "roughly"]
)
def test_an_approximate_length_says_so(word):
    found = parse_length(f"{word} 2 m")
    assert (found.mm, found.approximate) == (2000, True)


@pytest.mark.parametrize(
    ("text", "reason", "remedy"),
    [
        ("", "there is no length", "write a length such as 1200"),
        ("  ", "there is no length", "write a length"),
        ("tall", "“tall” is not a length", "write a length"),
        ("about", "“about” is not a length|no number", "write a length"),
        ("12 parsecs", "is not a length", "write a length"),
        ("0", "is no length to build", "at least 0.1 mm"),
        ("0.04 mm", "is no length to build", "at least 0.1 mm"),
        ("-5", "is negative", "above zero"),
        ("− 5 m", "is negative", "above zero"),
        ("21 m", "is 21000 mm", "at most 20000 mm; check the unit"),
        ("1200 m", "is 1200000 mm", "check the unit"),
        ("1,200", "could be thousands or decimals", "write 1200 or 1.2 m"),
        ("1.200", "could be thousands or decimals", "write 1200 or 1.2 m"),
        ("1,250 mm", "could be thousands or decimals", "write 1250 or 1.25 m"),
        ("1,200 m", "could be thousands or decimals", "one decimal point"),
        ("47,125 in", "could be thousands or decimals", "one decimal point"),
        ("1.200,5", "could be thousands or decimals", "one decimal point"),
        ("1 m 3 in", "“1 m 3 in” mixes metres and inches", "one unit, or feet and inches"),
        ("1 m 20", "mixes metres and a number without a unit", "one unit"),
        ("4' 14\"", "twelve inches or more", "fewer than 12"),
        ('1/0"', "divides by zero", "write a length"),
        ("1e3", "is not a length", "write a length"),
        ("1 m²", "mixes metres and a number without a unit", "one unit"),
        ("9" * 61, "61 characters", "write a length"),
    ],
)
def test_what_is_no_length_is_refused(text, reason, remedy):
    with pytest.raises(Refused) as refused:
        parse_length(text, "space.widths_mm")
    (problem,) = refused.value.problems
    assert problem.field == "space.widths_mm"
    assert any(each in problem.reason for each in reason.split("|"))
    assert remedy in problem.remedy


alphabet = "0123456789 .,/'\"′″½¼-+~mcftinchabout²⁄ "


@given(st.text(alphabet) | st.text())
@example("9" * 40)
@example("9" * 50 + " miles")
@example("9" * 28 + "." + "9" * 20)
def test_any_text_is_a_length_or_refused(text):
    try:
        found = parse_length(text)
    except Refused:
        return
    assert Decimal("0.1") <= found.mm <= 20_000
    assert found.mm == found.mm.quantize(Decimal("0.01"))
    assert found.text == text
