"""Figures in templates, in the manner of the page's `voice`: a tag for each way of saying one."""

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django import template
from django.utils.timezone import localtime

register = template.Library()

AS_THE_VOICE = (
    "count", "difference", "distance", "figure", "hours", "input", "load", "mass", "minor", "money",
    "month_day", "number", "odds", "quantity", "say", "short_day", "weekday",
)  # fmt: skip


def _spoken(name: str) -> None:
    def tag(context: dict[str, Any], *figure: Any) -> str:
        return str(getattr(context["voice"], name)(*figure))

    register.simple_tag(tag, takes_context=True, name=name)


for name in AS_THE_VOICE:
    _spoken(name)


@register.simple_tag(takes_context=True)
def day(context: dict[str, Any], on: date) -> str:
    return str(context["voice"].day(localtime(on).date() if isinstance(on, datetime) else on))


@register.simple_tag(takes_context=True)
def moment(context: dict[str, Any], at: datetime) -> str:
    return str(context["voice"].moment(localtime(at)))


@register.simple_tag(takes_context=True)
def length(context: dict[str, Any], mm: float | Decimal, places: int = 2) -> str:
    return str(context["voice"].length(mm, places))


@register.simple_tag(takes_context=True)
def percent(context: dict[str, Any], value: float | Decimal, most: int = 0) -> str:
    return str(context["voice"].percent(value, most))


@register.simple_tag(takes_context=True)
def share(context: dict[str, Any], part: float, most: int = 0) -> str:
    """A part of one, as a percentage."""
    return str(context["voice"].percent(100 * part, most))


@register.filter
def of(table: Mapping[str, Any], key: str) -> Any:
    """What a table holds for a key."""
    return table[key]
