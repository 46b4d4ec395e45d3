"""The terms of a commission as words on the call page. Fields lie under "terms"."""

from studio.document import dump
from studio.forms import Form, flat
from studio.pricing.terms import Delivery, Survey, Terms
from studio.problem import Problem, Refused
from studio.typed_distance import parse_with_distance, shown_distance
from studio.voice import Voice

__all__ = ["DELIVERIES", "DISCOUNTS", "KINDS", "MANNERS", "SURVEYS", "read_terms", "terms_form"]

DELIVERIES: tuple[tuple[Delivery, str], ...] = (
    ("delivered and hung", "delivered and hung"),
    ("delivered", "delivered"),
    ("sent by carrier", "sent by carrier"),
    ("collected", "collected from us"),
)
SURVEYS: tuple[tuple[Survey, str], ...] = (
    ("trip", "we go there"), ("by the client", "the client measures"), ("none", "nobody"),
)  # fmt: skip
KINDS = (("consumer", "a private person"), ("business", "a business"))
MANNERS = (("usual", "as is usual for them"), ("with tax", "with tax"), ("without tax", "without tax"))
DISCOUNTS = (("", "none"), ("percent", "per cent"), ("amount", "amount"))


def terms_form(terms: Terms, voice: Voice) -> Form:
    values = flat(dump(terms), "terms") | {"terms.distance_km": shown_distance(terms.distance_km, voice)}
    if terms.discount is None:
        values |= {f"terms.discount.{name}": "" for name in ("kind", "value", "reason")}
        del values["terms.discount"]
    return Form(values)


def read_terms(form: Form, currency: str, voice: Voice) -> Terms:
    """In `currency`. Without an amount there is no discount yet; with one, its reason must be there. Raises
    Refused with fields under "terms"."""
    typed = {name: text for name, text in form.document("terms.").items() if name != "wanted_on"}
    discount = typed.get("discount", {})
    if isinstance(discount, dict) and not (discount.get("kind") and discount.get("value")):
        typed["discount"] = None
    if not str(typed.get("light_price_per_kwh", "")).strip():
        typed["light_price_per_kwh"] = None
    try:
        return parse_with_distance(Terms, {**typed, "currency": currency}, voice)
    except Refused as refused:
        raise Refused(*map(_plainly, refused.under("terms").problems)) from None


def _plainly(problem: Problem) -> Problem:
    if problem.field != "terms.discount.reason":
        return problem
    return Problem(problem.field, "the client reads why there is a discount", "say it in up to 200 letters")
