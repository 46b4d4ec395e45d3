"""Lengths as people say them.

A number without a unit is in millimetres. Decimals are written with a point or a comma; whole thousands may
be set apart by a space (1 200 mm), never by a point or a comma: `1,200` and `1.200` could be 1.2 or 1200 and
are refused. Only feet go together with another unit (4' 2 1/2").
"""

import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from studio.problem import Refused
from studio.voice import Said, at_least, at_most, length

__all__ = ["LARGEST_MM", "SMALLEST_MM", "Length", "parse_length", "read_length"]

SMALLEST_MM, LARGEST_MM = Decimal("0.1"), Decimal(20_000)
LONGEST_TEXT = 60
SAYABLE_MM = 10**12
"""Numbers of more digits than a Decimal has cannot be written out."""
EXAMPLES = 'write a length such as 1200, 1.2 m, 47 1/4" or 4\' 2 1/2"'

UNIT_MM = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction("25.4"),
    "ft": Fraction("304.8"),
}
"""The international inch of 25.4 mm (ISO 31-1, from memory)."""
NAMES = {
    "mm": "mm millimetre millimetres millimeter millimeters",
    "cm": "cm centimetre centimetres centimeter centimeters",
    "m": "m metre metres meter meters",
    "in": 'in inch inches "',
    "ft": "ft foot feet '",
}
PLURALS = {"mm": "millimetres", "cm": "centimetres", "m": "metres", "in": "inches", "ft": "feet"}
UNIT_OF = {name: unit for unit, names in NAMES.items() for name in names.split()}
PRIMES = str.maketrans(
    {"′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "⁄": "/", "−": "-", "–": "-"}
)

APPROXIMATE = re.compile(r"(?:about|approximately|approx\.?|around|roughly|circa|ca\.?|c\.|~|≈)\s*")
PART = re.compile(
    r"""(?:(?P<whole>\d+)[ -])?(?P<over>\d+)/(?P<under>\d+)   # 47 1/4, 47-1/4, 1/2
      | (?P<spaced>\d{1,3}(?:[ ]\d{3})+(?:[.,]\d+)?)           # 1 200
      | (?P<plain>\d+(?:[.,]\d+)*|[.,]\d+)                     # 1200, 1.2, 1,2
    """,
    re.VERBOSE | re.ASCII,
)
UNIT = re.compile(r"""\s*(?P<unit>["']|[a-z]+)?\.?\s*""")
AMBIGUOUS = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")


@dataclass(frozen=True, slots=True)
class Length:
    """A length in millimetres, whether it was said to be approximate, and the typed text."""

    mm: Decimal
    approximate: bool
    text: str


def parse_length(text: str, field: str = "length") -> Length:
    """The length that a person typed, to a hundredth of a millimetre, `field` being where. Raises Refused for
    anything else: what was found, why it will not do, what would be right."""
    read = read_length(text, field)
    said, mm = _plain(text, field), _hundredths(Fraction(read.mm))
    if mm < SMALLEST_MM:
        raise Refused.because(
            field, f"“{said}” is no length to build", Said("at least {}; {}", at_least(SMALLEST_MM), EXAMPLES)
        )
    if mm > LARGEST_MM:
        raise Refused.because(
            field,
            Said("“{}” is {}", said, length(mm, 0)) if mm < SAYABLE_MM else f"“{said}” is far too long",
            Said("at most {}; check the unit", at_most(LARGEST_MM)),
        )
    return Length(mm, read.approximate, text)


def read_length(text: str, field: str = "length") -> Length:
    """As `parse_length`, none too short or too long; millimetres, centimetres and metres as they are written,
    and only what no decimal is (thirds), or is in inches and feet, to a hundredth."""
    said = _plain(text, field)
    rest = APPROXIMATE.sub("", said, count=1) if APPROXIMATE.match(said) else said
    parts = _parts(rest, field)
    total = _total(parts, said, field)
    exact = Decimal(total.numerator) / total.denominator
    written = Fraction(exact) == total and not any(unit in ("in", "ft") for _, unit in parts)
    return Length(exact if written else _hundredths(total), rest != said, text)


def _plain(text: str, field: str) -> str:
    """The text in lower case with plain quotes, spaces and fractions."""
    if len(text) > LONGEST_TEXT:
        raise Refused.because(field, f"a text of {len(text)} characters is no length", EXAMPLES)
    spelled = "".join(f" {c}" if "⁄" in unicodedata.normalize("NFKC", c) else c for c in text)
    said = " ".join(
        unicodedata.normalize("NFKC", spelled.translate(PRIMES)).translate(PRIMES).lower().split()
    )
    if not said:
        raise Refused.because(field, "there is no length", EXAMPLES)
    if said.replace("''", '"').lstrip("+ ").startswith("-"):
        raise Refused.because(field, f"“{said}” is negative", "a length above zero")
    return said.replace("''", '"')


def _parts(said: str, field: str) -> list[tuple[Fraction, str]]:
    """Numbers and their units, "" for none."""
    found: list[tuple[Fraction, str]] = []
    at = 0
    while at < len(said):
        number = PART.match(said, at)
        unit = number and UNIT.match(said, number.end())
        name = unit["unit"] or "" if unit else ""
        if number is None or unit is None or (name and name not in UNIT_OF):
            raise Refused.because(field, f"“{said}” is not a length", EXAMPLES)
        found.append((_value(number, UNIT_OF.get(name, ""), field), UNIT_OF.get(name, "")))
        at = unit.end()
    return found


def _value(number: re.Match[str], unit: str, field: str) -> Fraction:
    if number["over"]:
        if int(number["under"]) == 0:
            raise Refused.because(field, f"“{number[0]}” divides by zero", EXAMPLES)
        return int(number["whole"] or 0) + Fraction(int(number["over"]), int(number["under"]))
    digits = number[0].replace(" ", "")
    separators = re.sub(r"\d", "", digits)
    thousands = AMBIGUOUS.fullmatch(digits) and ("," in digits or unit in ("", "mm"))
    if len(separators) > 1 or (thousands and not number["spaced"]):
        raise Refused.because(
            field,
            f"“{number[0]}” could be thousands or decimals",
            _unambiguous(digits.replace(",", "."), unit),
        )
    return Fraction(digits.replace(",", "."))


def _unambiguous(digits: str, unit: str) -> str:
    """Both readings, written so that they cannot be mistaken."""
    if digits.count(".") != 1 or unit not in ("", "mm"):
        return "write it with one decimal point and nothing between thousands, such as 1200.5 mm or 47.25 in"
    return f"write {digits.replace('.', '')} or {Decimal(digits).normalize()} m"


def _total(parts: list[tuple[Fraction, str]], said: str, field: str) -> Fraction:
    units = [unit for _, unit in parts]
    if units == ["ft", "in"]:
        if parts[1][0] >= 12:
            raise Refused.because(
                field, "there are twelve inches or more after the feet", "fewer than 12 inches"
            )
    elif not parts:
        raise Refused.because(field, "there is no number", EXAMPLES)
    elif len(parts) > 1:
        shown = " and ".join(PLURALS.get(unit, "a number without a unit") for unit in units)
        raise Refused.because(field, f"“{said}” mixes {shown}", "one unit, or feet and inches")
    return sum((value * UNIT_MM[unit or "mm"] for value, unit in parts), Fraction(0))


def _hundredths(value: Fraction) -> Decimal:
    """Rounded half up to 0.01."""
    return Decimal((value * 200 + 1) // 2) / 100
