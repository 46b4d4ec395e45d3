"""Figures in templates, in the manner of the page's `voice`."""

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django import template
from django.utils.timezone import localtime

register = template.Library()


@register.simple_tag(takes_context=True)
def count(context: dict[str, Any], number: int, noun: str) -> str:
    return str(context["voice"].count(number, noun))


@register.simple_tag(takes_context=True)
def day(context: dict[str, Any], on: date) -> str:
    return str(context["voice"].day(localtime(on).date() if isinstance(on, datetime) else on))


@register.simple_tag(takes_context=True)
def month_day(context: dict[str, Any], on: date) -> str:
    return str(context["voice"].month_day(on))


@register.simple_tag(takes_context=True)
def moment(context: dict[str, Any], at: datetime) -> str:
    return str(context["voice"].moment(localtime(at)))


@register.simple_tag(takes_context=True)
def length(context: dict[str, Any], mm: float | Decimal) -> str:
    return str(context["voice"].length(mm, 2))


@register.simple_tag(takes_context=True)
def distance(context: dict[str, Any], km: Decimal) -> str:
    return str(context["voice"].distance(km))


@register.simple_tag(takes_context=True)
def say(context: dict[str, Any], text: str) -> str:
    """A text of the pure line."""
    return str(context["voice"].say(text))


@register.simple_tag(takes_context=True)
def number(context: dict[str, Any], value: float, places: int) -> str:
    return str(context["voice"].number(value, places))


@register.simple_tag(takes_context=True)
def percent(context: dict[str, Any], value: float) -> str:
    return str(context["voice"].percent(value, 0))
