"""Frozen dataclasses that can be read from and written to JSON documents.

Briefs, rate books, designs and frozen figures are documents. Pydantic does the reading: it reports every
wrong key with its path, which becomes a `Problem`. Decimals are written as strings, so that no float
touches money or lengths.
"""

import hashlib
import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, TypeVar, cast, dataclass_transform

from pydantic import ConfigDict, TypeAdapter, ValidationError

from studio.problem import Problem, Refused, refuse_all

__all__ = ["canonical", "digest", "document", "dump", "parse", "parse_json"]

T = TypeVar("T")


@dataclass_transform(frozen_default=True, kw_only_default=True)
def document(cls: type[T]) -> type[T]:
    """Make `cls` a frozen, keyword-only dataclass that refuses unknown keys when it is read from a
    document."""
    cls.__pydantic_config__ = ConfigDict(extra="forbid", allow_inf_nan=False)  # type: ignore[attr-defined]
    return cast("type[T]", dataclass(frozen=True, kw_only=True)(cls))


_adapters: dict[type, TypeAdapter[Any]] = {}


def _adapter(kind: type) -> TypeAdapter[Any]:
    """Built once per document type: building one costs milliseconds, and there are few types."""
    if kind not in _adapters:
        _adapters[kind] = TypeAdapter(kind)
    return _adapters[kind]


def parse(kind: type[T], data: object) -> T:
    """`data` (plain JSON values) as a `kind`. Raises Refused naming each bad key, what was found, what
    would be right."""
    try:
        read = _adapter(kind).validate_python(data)
    except ValidationError as error:
        raise Refused(*map(_problem, error.errors(include_url=False))) from None
    refuse_all(_switches(data, read))
    return cast(T, read)


def parse_json(kind: type[T], text: str | bytes) -> T:
    """As `parse`, from JSON text. Numbers in the text become Decimal without passing through float."""
    try:
        data = json.loads(text, parse_float=str, parse_int=_whole, parse_constant=str)
    except (ValueError, RecursionError) as error:
        raise Refused.because("document", f"this is not JSON ({error})", "give a JSON object") from None
    return parse(kind, data)


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
    """SHA-256 of `canonical(value)`, as hex."""
    return hashlib.sha256(canonical(value)).hexdigest()


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


def _key(path: Iterable[object]) -> str:
    return ".".join(str(part) for part in path if part not in ("", "[key]")) or "document"


def _problem(error: Any) -> Problem:
    field = _key(error["loc"])
    if error["type"] == "missing":
        return Problem(field, "this key is missing", "add it")
    if error["type"] == "unexpected_keyword_argument":
        return Problem(field, "this key is not known", "remove it or correct its spelling")
    remedy = REMEDIES.get(error["type"], "")
    return Problem(
        field, _found(error["input"]), remedy.format(**error.get("ctx", {})) or _said(error["msg"])
    )


REMEDIES = {
    "decimal_parsing": "give a number such as 12 or 12.5",
    "float_parsing": "give a number such as 12 or 12.5",
    "decimal_type": "give a number such as 12 or 12.5",
    "decimal_max_places": "give at most {decimal_places} decimals",
    "int_parsing": "give a whole number",
    "int_type": "give a whole number",
    "int_from_float": "give a whole number",
    "greater_than_equal": "give at least {ge}",
    "greater_than": "give more than {gt}",
    "less_than_equal": "give at most {le}",
    "less_than": "give less than {lt}",
    "string_too_short": "give at least {min_length} character",
    "string_too_long": "give at most {max_length} characters",
    "literal_error": "give {expected}",
    "bool_parsing": "give true or false",
    "date_from_datetime_parsing": "give a date such as 2026-03-01",
    "date_from_datetime_inexact": "give a date such as 2026-03-01",
    "date_parsing": "give a date such as 2026-03-01",
    "date_type": "give a date such as 2026-03-01",
    "finite_number": "give a number such as 12 or 12.5",
    "string_type": "give a text",
    "string_unicode": "give a text of whole characters",
    "string_pattern_mismatch": "write it as in the example (pattern {pattern})",
    "tuple_type": "give a list",
    "too_short": "give at least {min_length}",
    "too_long": "give at most {max_length}",
    "dict_type": "give an object with keys",
    "dataclass_type": "give an object with keys",
    "model_attributes_type": "give an object with keys",
    "union_tag_invalid": "give {expected_tags} as {discriminator}",
    "union_tag_not_found": "add the key {discriminator}",
}
"""What would be right, for what people mistype most; pydantic says the rest."""


def _found(value: object) -> str:
    if value in ("", None):
        return "nothing is given"
    found = repr(value)
    if isinstance(value, str) and len(value) > 60:
        return f"found a text of {len(value)} characters"
    return f"found {found if len(found) <= 60 else found[:57] + '...'}"


def _said(message: str) -> str:
    return message.removeprefix("Input ").removeprefix("Value error, ")
