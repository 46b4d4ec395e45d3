"""Frozen dataclasses that can be read from and written to JSON documents.

Briefs, rate books, designs and frozen figures are documents. Pydantic does the reading: it reports every
wrong key with its path, which becomes a `Problem`. Decimals are written as strings, so that no float
touches money or lengths.
"""

import hashlib
import json
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, TypeVar, cast, dataclass_transform

from pydantic import ConfigDict, TypeAdapter, ValidationError

from studio.memo import memo
from studio.problem import Problem, Refused, refuse_all

__all__ = ["UNKNOWN_KEY", "canonical", "digest", "document", "dump", "parse", "parse_json"]

T = TypeVar("T")
UNKNOWN_KEY = "this key is not known"


@dataclass_transform(frozen_default=True, kw_only_default=True)
def document(cls: type[T]) -> type[T]:
    """Make `cls` a frozen, keyword-only dataclass that refuses unknown keys when it is read from a
    document."""
    cls.__pydantic_config__ = ConfigDict(extra="forbid", allow_inf_nan=False)  # type: ignore[attr-defined]
    return cast("type[T]", dataclass(frozen=True, kw_only=True)(cls))


@memo
def _adapter(kind: type) -> TypeAdapter[Any]:
    """Building one costs milliseconds, and there are few types."""
    return TypeAdapter(kind)


def parse(kind: type[T], data: object, decimal_commas: bool = True) -> T:
    """`data` (plain JSON values) as a `kind`; with `decimal_commas` texts such as "24,50" are numbers, as
    people type them. Raises Refused naming each bad key, what was found, what would be right."""
    try:
        read = _adapter(kind).validate_python(data)
    except ValidationError as error:
        errors = error.errors(include_url=False)
        if decimal_commas and (pointed := _with_points(data, errors)) != data:
            return parse(kind, pointed, decimal_commas=False)
        raise Refused(*map(_problem, _telling(errors))) from None
    refuse_all(_switches(data, read))
    return cast(T, read)


def parse_json(kind: type[T], text: str | bytes) -> T:
    """As `parse`, from JSON text. Numbers in the text become Decimal without passing through float; a key
    that an object has twice is refused."""
    try:
        data = json.loads(
            text, parse_float=str, parse_int=_whole, parse_constant=str, object_pairs_hook=_once
        )
    except Refused:
        raise
    except (ValueError, RecursionError) as error:
        raise Refused.because("document", f"this is not JSON ({error})", "give a JSON object") from None
    return parse(kind, data, decimal_commas=False)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object's keys. JSON lets a later one take the place of an earlier one, and nobody would hear of
    it."""
    found = dict(pairs)
    for key, times in Counter(key for key, _part in pairs).items():
        if times > 1:
            raise Refused.because(key, f"this key is there {times} times in one object", "keep one of them")
    return found


def _whole(digits: str) -> int | str:
    """Python refuses to read thousands of digits; the document's own bounds refuse them in better words."""
    return int(digits) if len(digits) < 40 else digits


def dump(value: object) -> Any:
    """`value` as plain JSON values: Decimals and dates as strings, tuples as lists."""
    return _adapter(type(value)).dump_python(value, mode="json")


def canonical(value: object) -> bytes:
    """The one byte form of a document: UTF-8 JSON, sorted keys, no spaces."""
    return json.dumps(dump(value), sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()


def digest(value: object) -> str:
    """SHA-256 of the canonical form with all numbers in their shortest writing, as hex: values that are equal
    have one digest, whether a number is written 9, 9.0 or Decimal("9.00") or left out for its default."""
    plain = _adapter(type(value)).dump_python(value)
    text = json.dumps(_shortest(plain), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def _shortest(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _shortest(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [_shortest(part) for part in value]
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        return value
    number = Decimal(repr(value) if isinstance(value, float) else value)
    text = f"{number or Decimal(0):f}"  # no zero below zero
    return text.rstrip("0").rstrip(".") if "." in text else text


def _switches(data: Any, read: Any, *path: object) -> Iterator[Problem]:
    """true and false where a number belongs: Python reads them as 1 and 0."""
    if isinstance(data, dict):
        inside = (
            (key, data[key], read[key] if isinstance(read, dict) else getattr(read, key)) for key in data
        )
    elif isinstance(data, list | tuple):
        inside = ((index, *pair) for index, pair in enumerate(zip(data, read, strict=True)))
    else:
        if isinstance(data, bool) and not isinstance(read, bool):
            yield Problem(_key(path), f"found {str(data).lower()}", "give a number")
        return
    for key, part, part_read in inside:
        yield from _switches(part, part_read, *path, key)


def _with_points(data: Any, errors: Iterable[Any]) -> Any:
    """`data` with a point for the comma in every text that was to be a number; thousands or decimals is not
    for us to decide."""
    for error in errors:
        text = error["input"]
        if error["type"] in NUMBERS and COMMA.fullmatch(str(text)) and not AMBIGUOUS.fullmatch(text):
            data = _replaced(data, error["loc"], text.replace(",", "."))
    return data


def _replaced(data: Any, path: Sequence[object], text: str) -> Any:
    """A copy with `text` at the end of the path, in which pydantic also names the kinds of unions."""
    if not path:
        return text
    part, *rest = path
    if isinstance(data, dict) and part in data:
        return {**data, part: _replaced(data[part], rest, text)}
    if isinstance(data, list | tuple) and isinstance(part, int):
        return [_replaced(item, rest, text) if at == part else item for at, item in enumerate(data)]
    return _replaced(data, rest, text)


def _telling(errors: Sequence[Any]) -> Iterator[Any]:
    """A list whose items are wrong is also called too short: the items say it better."""
    around = {error["loc"][:depth] for error in errors for depth in range(len(error["loc"]))}
    return (error for error in errors if error["type"] != "too_short" or error["loc"] not in around)


def _key(path: Iterable[object]) -> str:
    return ".".join(str(part) for part in path if part not in ("", "[key]")) or "document"


def _problem(error: Any) -> Problem:
    field, kind = _key(error["loc"]), error["type"]
    if kind == "missing":
        return Problem(field, "this key is missing", "add it")
    if kind == "unexpected_keyword_argument":
        return Problem(field, UNKNOWN_KEY, "remove it or correct its spelling")
    found, unit = error["input"], _unit(field)
    if kind in NUMBERS and AMBIGUOUS.fullmatch(str(found)):
        both = f"write {found.replace(',', '')} or {found.replace(',', '.')}"
        return Problem(field, f"“{found}” could be thousands or decimals", both)
    context = error.get("ctx", {})
    if kind == "string_pattern_mismatch":
        return Problem(field, _found(found, unit), PATTERNS.get(context["pattern"], "correct its spelling"))
    remedy = REMEDIES.get(kind, "").format(unit=unit, **context)
    return Problem(field, _found(found, unit), remedy or _said(error["msg"]))


NUMBERS = ("decimal_parsing", "float_parsing")
NUMBER = re.compile(r"[+-]?\d+(\.\d+)?", re.ASCII)
COMMA = re.compile(r"\s*[+-]?\d*,\d+\s*", re.ASCII)
AMBIGUOUS = re.compile(r"[1-9]\d{0,2},\d{3}", re.ASCII)
PATTERNS = {
    "^[A-Z]{3}$": "give three letters such as GBP",
    "^[A-Z]{2}$": "give two letters such as GB",
    "^#[0-9a-f]{6}$": "give a colour such as #b98a5a",
    "^[a-z][a-z0-9-]{0,39}$": "give small letters, figures and hyphens, such as place-infill",
}
UNITS = {
    "_mm_s": "mm/s", "_mm_s2": "mm/s²", "_mm3_s": "mm³/s", "_s": "s", "_mm": "mm", "_km": "km", "_g": "g",
    "_percent": "%", "_minutes": "minutes", "_hours": "hours", "_days": "days", "_w": "W",
}  # fmt: skip
"""Keys end in their units; the longer ending is asked for first."""


REMEDIES = {
    **dict.fromkeys(
        ("decimal_parsing", "float_parsing", "decimal_type", "finite_number"),
        "give a number such as 12 or 12.5",
    ),
    "decimal_max_places": "give at most {decimal_places} decimals",
    **dict.fromkeys(("int_parsing", "int_type", "int_from_float"), "give a whole number"),
    "int_parsing_size": "give a smaller whole number",
    "decimal_max_digits": "give a smaller number",
    "decimal_whole_digits": "give a smaller number",
    "greater_than_equal": "give at least {ge}{unit}",
    "greater_than": "give more than {gt}{unit}",
    "less_than_equal": "give at most {le}{unit}",
    "less_than": "give less than {lt}{unit}",
    "string_too_short": "give at least {min_length} character",
    "string_too_long": "give at most {max_length} characters",
    "literal_error": "give {expected}",
    **dict.fromkeys(("bool_parsing", "bool_type"), "give true or false"),
    **dict.fromkeys(
        ("date_from_datetime_parsing", "date_from_datetime_inexact", "date_parsing", "date_type"),
        "give a date such as 2026-03-01",
    ),
    "string_type": "give a text",
    "string_unicode": "give a text of whole characters",
    "tuple_type": "give a list",
    "too_short": "give at least {min_length} of them",
    "too_long": "give at most {max_length} of them",
    **dict.fromkeys(("dict_type", "dataclass_type", "model_attributes_type"), "give an object with keys"),
    "union_tag_invalid": "give {expected_tags} as {discriminator}",
    "union_tag_not_found": "add the key {discriminator}",
}
"""What would be right, for what people mistype most; pydantic says the rest."""


def _unit(field: str) -> str:
    name = next((part for part in reversed(field.split(".")) if not part.isdecimal()), "")
    return next((f" {unit}" for ending, unit in UNITS.items() if f"_{name}".endswith(ending)), "")


def _found(value: object, unit: str) -> str:
    """As it would be read out: no quotes or brackets of a programming language."""
    if value in ("", None):
        return "nothing is given"
    if isinstance(value, list | tuple):
        return f"found a list of {len(value)}" if value else "the list is empty"
    if isinstance(value, dict):
        return f"found an object {'with' if value else 'without'} keys"
    text = str(value).lower() if isinstance(value, bool) else repr(str(value))[1:-1]
    if len(text) > 60:
        return f"found a text of {len(text)} characters"
    return f"found {text}{unit}" if NUMBER.fullmatch(text) else f"found “{text}”"


def _said(message: str) -> str:
    return message.removeprefix("Input ").removeprefix("Value error, ")
