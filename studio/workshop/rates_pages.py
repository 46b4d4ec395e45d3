"""The rate book in sections, each a page of its own: what is typed there, in place of what was before."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, get_args

from django.db import transaction

from studio.document import dump, parse
from studio.form_tree import Known, by_path, part_of
from studio.forms import Form, flat
from studio.meanwhile import based, caught_up
from studio.people.models import User
from studio.people.touched import last_changer
from studio.pricing.check import problems_in
from studio.pricing.example_rates import example_rate_book
from studio.pricing.quantities import Quantities
from studio.pricing.rate_book import Heading, RateBook
from studio.pricing.terms import Terms
from studio.problem import Problem, Refused
from studio.workshop.books import (
    LONG_AGO,
    book_if_readable,
    later_books,
    locked_studio,
    readable_book,
    save_book,
    start_book,
)
from studio.workshop.hanging_rows import HANGING_ROWS, holes_as_text, typed_hanging
from studio.workshop.lighting_rows import LIGHTING_ROWS, typed_lighting
from studio.workshop.models import RateBookRevision
from studio.workshop.new_currency import in_currency
from studio.workshop.own_recipes import add_recipe, recipe_problems
from studio.workshop.role_rows import bad_roles
from studio.workshop.set_on import examples, rates_of
from studio.workshop.tax_rows import add_part, name_problems, taxes_typed

__all__ = [
    "RATES_PAGES", "RatesPage", "add_row", "examples_in", "rates_form", "save_rates", "start_in_currency",
]  # fmt: skip


@dataclass(frozen=True)
class RatesPage:
    """`fields` of the rate book; `rows` gives what a new line of a list starts with."""

    slug: str
    title: str
    fields: tuple[str, ...]
    rows: dict[str, dict[str, Any]]


RATES_PAGES = {
    page.slug: page
    for page in (
        RatesPage(
            "filaments",
            "Filaments",
            ("filaments",),
            {
                "filaments": {
                    "name": "", "colour": "#888888", "material": "PLA", "density_g_per_cm3": "1.24",
                    "diameter_mm": "1.75", "spool_g": "1000", "price_per_spool": "", "printers": "",
                    "lead_days": "0",
                }
            },
        ),
        RatesPage("printers", "Printers", ("printers",), {"printers": {}}),
        RatesPage(
            "labour",
            "Labour",
            ("roles", "operations"),
            {
                "roles": {"name": "", "rate": ""},
                "operations": {
                    "code": "", "text": "", "role": "", "minutes": "", "per": "commission", "people": "1",
                    "stage": "making",
                },
            },
        ),
        RatesPage(
            "bought",
            "Bought in",
            ("bought", "carrier"),
            {
                "carrier": {"text": "", "up_to_mm": "", "up_to_g": "", "price": "", "days": "0"},
                "bought": {
                    "code": "", "text": "", "price": "", "unit": "each", "quantity": "1",
                    "per": "commission", "whole": "off", "mass_g": "0", "group": "panel",
                    "lead_days": "0",
                }
            },
        ),
        RatesPage("lighting", "Lighting", ("lighting",), LIGHTING_ROWS),
        RatesPage(
            "hanging", "Hanging", ("hangers", "feet", "printed_hangers", "joints", "push"), HANGING_ROWS
        ),
        RatesPage(
            "price",
            "Price",
            (
                "energy_per_kwh", "overhead_per_hour", "day_weight", "quoting_minutes",
                "quotes_won_percent", "quoting_role", "spares_percent", "failures_per_hour", "key_spacing_mm",
                "hanger_load_g", "hanger_safety_factor", "basis", "basis_percent", "referral_percent",
                "card_percent", "minimum_charge", "rounding_step", "rounding_way", "rounding_ending", "tax",
                "heading_tax", "tax_rounding", "deposits", "deposit_is_tax_point", "uncertainty",
                "validity_days", "tolerances",
            ),
            {
                "tax": {"code": "", "text": "", "percent": "", "treatment": "taxed", "reason": ""},
                "deposits": {"text": "", "percent": ""},
            },
        ),
    )
}  # fmt: skip
NOTHING = Quantities(counts={}, minutes={}, reprint_minutes={}, grams={})
"""Checks a rate book by itself, with no panel to price."""
KEYS = {
    "filaments": "name",
    "printers": "name",
    "operations": "code",
    "bought": "code",
    "carrier": "text",
    "hangers": "code",
    "feet": "code",
    "tax": "code",
}
KNOWN = Known(
    lists={
        "printers.recipes": ("of",),
        "roles": ("name",),
        "deposits": ("text",),
        "tax.parts": ("text",),
        **{kind: (key,) for kind, key in KEYS.items()},
        **dict.fromkeys(LIGHTING_ROWS, ("code",)),
        "lighting.softens": ("material",),
    }
)
LOOKED_BACK = 20
"""So many revisions are searched for who changed a rate."""


def rates_form(page: RatesPage, book: RateBook, on: date) -> Form:
    """A section of a rate book that holds on a day, as texts."""
    values = {name: value for name, value in dump(book).items() if name in page.fields}
    if "roles" in values:
        values["roles"] = [{"name": name, "rate": rate} for name, rate in values["roles"].items()]
    if "heading_tax" in values:
        values["heading_tax"] = dict.fromkeys(get_args(Heading), "") | values["heading_tax"]
    holes_as_text(values.get("hangers", []))
    for filament in values.get("filaments", ()):
        filament["printers"] = ", ".join(filament["printers"])
    return based(Form({**flat(values), "effective_from": on.isoformat()}), KNOWN)


@transaction.atomic
def save_rates(page: RatesPage, posted: Form, by: User | None, on: date) -> tuple[RateBookRevision, str]:
    """A new revision of the whole book that holds on the day typed, with this section as typed, merged with
    the rates that hold on that day; the text tells what others changed. Raises Refused with the page's
    fields."""
    start = _start(posted["effective_from"], on)
    locked_studio()
    _revision, book, _unread = readable_book(start)
    merged = caught_up(posted, rates_form(page, book, start), KNOWN, _who(page, start, by))
    return merged.attempt(lambda: _saved(page, merged.form, book, by, start)), merged.told


def _saved(page: RatesPage, form: Form, book: RateBook, by: User | None, start: date) -> RateBookRevision:
    lists = set(page.fields) & set(page.rows)
    typed: dict[str, Any] = {kind: [] for kind in lists}  # a list without a line on the page is empty
    typed |= {name: value for name, value in form.document().items() if name in page.fields}
    if "lighting" in typed:
        typed["lighting"] = typed_lighting(typed["lighting"], book.lighting)
    found = parse(RateBook, {**dump(book), "set_on": {}, **_document(typed)})
    terms = Terms(currency=found.currency, tax=found.tax[0].code)
    problems = [_at_field(problem, found) for problem in problems_in(NOTHING, found, terms)]
    problems += [*_unknown_printers(found), *recipe_problems(found)]
    problems += name_problems(found) if "tax" in page.fields else ()
    if problems:
        raise Refused(*problems)
    confirmed = [key for key in rates_of(found) if form["ours"] == "on" and _on_page(key, page)]
    return save_book(replace(found, set_on=book.set_on), by, start, frozenset(confirmed))


@transaction.atomic
def start_in_currency(posted: Form, by: User | None, on: date) -> RateBookRevision:
    """A new book in another currency, from the one that holds on the day typed. Raises Refused with the
    page's fields."""
    start = _start(posted["effective_from"], on)
    locked_studio()
    _revision, book, _unread = readable_book(start)
    return start_book(in_currency(book, posted["new_currency"].strip().upper()), by, start)


def _who(page: RatesPage, on: date, reader: User | None) -> Callable[[str], str]:
    """Names who changed a rate last, among those that hold on a day."""

    def who(path: str) -> str:
        earlier = RateBookRevision.objects.filter(effective_from__lte=on).order_by("-effective_from", "-pk")
        read = ((each.by_id, book_if_readable(each)) for each in earlier[:LOOKED_BACK])
        history = ((user, by_path(rates_form(page, book, on), KNOWN)) for user, book in read if book)
        return last_changer(((user, part_of(texts, path)) for user, texts in history), reader)

    return who


def examples_in(page: RatesPage, book: RateBook) -> tuple[str, ...]:
    return tuple(key for key in examples(book) if _on_page(key, page))


def add_row(form: Form, page: RatesPage, kind: str) -> Form:
    """One line more at the end of a list; a printer is like the last, or like the example."""
    for nested, add in (("printers.", add_recipe), ("tax.", add_part)):
        if kind.startswith(nested):
            return add(form, kind)
    typed = form.document()
    *folders, last = kind.split(".")
    holder: Any = typed
    for folder in folders:
        holder = holder.setdefault(folder, {}) if isinstance(holder, dict) else None
    rows = holder.setdefault(last, []) if kind in page.rows and isinstance(holder, dict) else None
    if isinstance(rows, list):
        rows.append(page.rows[kind] or {**_last_printer(typed), "name": "", "key": ""})
    return Form(flat(typed))


def _last_printer(typed: dict[str, Any]) -> dict[str, Any]:
    last: dict[str, Any] = (_rows(typed, "printers") or dump(example_rate_book())["printers"])[-1]
    return last


def _document(typed: dict[str, Any]) -> dict[str, Any]:
    """What was typed, in the shape of the rate book."""
    for name in ("day_weight", "deposit_is_tax_point"):
        if name in typed:
            typed[name] = typed[name] or None
    taxes_typed(_rows(typed, "tax"))
    typed_hanging(typed, _rows(typed, "hangers"))
    for operation in _rows(typed, "operations"):
        operation["minutes"] = operation.get("minutes") or None
    for filament in _rows(typed, "filaments"):
        filament["price_per_spool"] = filament.get("price_per_spool") or None
        names = str(filament.get("printers", "")).split(",")
        filament["printers"] = [name.strip() for name in names if name.strip()]
    if isinstance(typed.get("heading_tax"), dict):
        typed["heading_tax"] = {heading: code for heading, code in typed["heading_tax"].items() if code}
    if "roles" in typed:
        rows = _rows(typed, "roles")
        problems = list(bad_roles(rows))
        if problems:
            raise Refused(*problems)
        typed["roles"] = {row["name"]: row.get("rate", "") for row in rows}
    return typed


def _rows(typed: dict[str, Any], kind: str) -> list[dict[str, Any]]:
    rows = typed.get(kind, [])
    return [row for row in rows if isinstance(row, dict)] if isinstance(rows, list) else []


def _unknown_printers(book: RateBook) -> Iterator[Problem]:
    known = [printer.name for printer in book.printers]
    for index, filament in enumerate(book.filaments):
        for name in filament.printers:
            if name not in known:
                yield Problem(
                    f"filaments.{index}.printers", f"no printer is called {name}", f"use: {', '.join(known)}"
                )


def _at_field(problem: Problem, book: RateBook) -> Problem:
    """A problem that names a row by its name or code, at the row's place on the page."""
    field = problem.field.removeprefix("rate_book.")
    kind, _dot, rest = field.partition(".")
    for index, row in enumerate(getattr(book, kind, ()) if kind in KEYS else ()):
        key = getattr(row, KEYS[kind])
        if rest.startswith(f"{key}."):
            field = f"{kind}.{index}.{rest.removeprefix(f'{key}.')}"
    return Problem(field, problem.reason, problem.remedy)


def _on_page(key: str, page: RatesPage) -> bool:
    return key.partition(".")[0] in page.fields or (key == "price" and "basis" in page.fields)


def _start(text: str, on: date) -> date:
    """The day from which rates are to hold; rates that would never hold again are refused."""
    try:
        start = date.fromisoformat(text.strip())
    except ValueError:
        raise Refused.because(
            "effective_from", f"“{text[:40]}” is no date", "give a date such as 2026-03-01"
        ) from None
    taken_over = [later for later in later_books(max(start, LONG_AGO)) if later.effective_from <= on]
    if taken_over or start < LONG_AGO:
        since = taken_over[-1].effective_from if taken_over else LONG_AGO
        reason = f"rates that hold from {since.isoformat()} are saved already"
        raise Refused.because("effective_from", reason, "give that day or a later one")
    return start
