"""Distances in forms: in the studio's unit, shown so that nothing is lost, read as people type them."""

import re
from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal
from typing import Any, TypeVar

from studio.document import parse
from studio.forms import plain
from studio.problem import Refused
from studio.typed_lengths import as_typed
from studio.voice import MILE_KM, Voice

__all__ = ["parse_with_distance", "read_distance", "shown_distance"]

T = TypeVar("T")

TYPED = re.compile(r"(\d{1,6}(?:[.,]\d{1,4})?) *(km|mi|miles?)?", re.ASCII | re.IGNORECASE)
KEY = "distance_km"
STEP_KM = Decimal("0.1")
"""Nobody knows a way in miles any better."""


def shown_distance(km: Decimal | None, voice: Voice) -> str:
    """Without its unit where that is the studio's; kilometres that no short figure in miles reads back as say
    so. Empty where none is given."""
    if km is None:
        return ""
    if voice.units == "metric":
        return plain(km)
    miles = plain((km / MILE_KM).quantize(Decimal("0.01")))
    return miles if Decimal(read_distance(miles, voice)) == km else f"{plain(km)} km"


def read_distance(text: str, voice: Voice) -> str:
    """Kilometres as text; a number alone is in the studio's unit. What is no distance stays as it is, to be
    refused by that."""
    typed = TYPED.fullmatch(text.strip())
    if typed is None:
        return text
    number, unit = typed.groups()
    if (unit or voice.distance_unit).lower() == "km":
        return str(number)
    return str((Decimal(number.replace(",", ".")) * MILE_KM).quantize(STEP_KM, ROUND_HALF_UP))


def parse_with_distance(kind: type[T], typed: Mapping[str, Any], voice: Voice) -> T:
    """A document whose `distance_km` was typed; nothing typed is none given. Raises Refused, told by what was
    typed."""
    text = str(typed.get(KEY, "")).strip()
    try:
        return parse(kind, {**typed, KEY: read_distance(text, voice) if text else None})
    except Refused as refused:
        raise Refused(*(as_typed(each, {KEY: text}) for each in refused.problems)) from None
