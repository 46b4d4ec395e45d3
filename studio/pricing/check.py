"""What keeps a rate book and terms from making a price, as problems that name keys of the question."""

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from typing import get_args

from studio.light.catalogue import KINDS
from studio.money import known_currency, minor_unit, round_money
from studio.pricing.carrier import row_for
from studio.pricing.quantities import Quantities
from studio.pricing.rate_book import Heading, RateBook
from studio.pricing.rates import plain, unpriced
from studio.pricing.terms import Terms
from studio.problem import Problem
from studio.voice import length, mass, said

__all__ = ["problems_in", "shares_percent"]


def problems_in(quantities: Quantities, book: RateBook, terms: Terms) -> Iterator[Problem]:
    """Every reason why no price can be made. Ranges of single numbers are the business of reading the
    document."""
    yield from _currency(book, terms)
    yield from _twice(book)
    yield from _filaments(quantities, book)
    yield from _printers(quantities, book)
    yield from _roles(book)
    yield from _swap(book)
    yield from _parcels(quantities, book)
    yield from _tax(book, terms)
    yield from _price(book, terms)


def shares_percent(book: RateBook, terms: Terms, tax_percent: Decimal) -> Decimal:
    """What others take, in per cent of the net price: commission where there is a referral, and card fees,
    which processors take on gross."""
    card = book.card_percent * (100 + tax_percent) / 100
    return card + (book.referral_percent if terms.referral else 0)


def _currency(book: RateBook, terms: Terms) -> Iterator[Problem]:
    if not known_currency(book.currency):
        yield Problem(
            "rate_book.currency",
            f"{book.currency} is no currency in use",
            "give a currency's three letters, such as GBP",
        )
    else:
        yield from _rounding(book)
    if terms.currency != book.currency:
        yield Problem(
            "brief.terms.currency",
            f"the terms are in {terms.currency}, the rates in {book.currency}",
            f"quote in {book.currency}, or use a rate book in {terms.currency}",
        )


def _rounding(book: RateBook) -> Iterator[Problem]:
    for name, amount in (("step", book.rounding_step), ("ending", book.rounding_ending)):
        if round_money(amount, book.currency) != amount:
            yield Problem(
                f"rate_book.rounding_{name}",
                f"{amount} is no whole number of {book.currency}'s smallest amount",
                f"give a multiple of {minor_unit(book.currency)}, or 0 for none",
            )
    if book.rounding_ending and book.rounding_ending >= book.rounding_step:
        yield Problem(
            "rate_book.rounding_ending",
            f"an ending of {book.rounding_ending} needs a larger step than {book.rounding_step}",
            "give less than the step: 0.99 with a step of 1 makes 12.99; or 0 for whole steps",
        )


def _twice(book: RateBook) -> Iterator[Problem]:
    named = {
        "filaments": [filament.name for filament in book.filaments],
        "printers": [printer.name for printer in book.printers],
        "operations": [operation.code for operation in book.operations],
        "bought": [thing.code for thing in book.bought],
        "hangers": [hanger.code for hanger in book.hangers],
        "feet": [foot.code for foot in book.feet],
        "carrier": [row.text for row in book.carrier],
        "tax": [category.code for category in book.tax],
        "lighting.softens": [row.material for row in book.lighting.softens],
        **{f"lighting.{kind}": [row.code for row in getattr(book.lighting, kind)] for kind in KINDS},
    }
    for field, names in named.items():
        for name, times in Counter(names).items():
            if times > 1:
                yield Problem(
                    f"rate_book.{field}", f"{name} is there {times} times", "keep one, or rename the others"
                )


def _filaments(quantities: Quantities, book: RateBook) -> Iterator[Problem]:
    listed = {filament.name: filament for filament in book.filaments}
    for name in quantities.grams:
        if name not in listed:
            yield Problem(
                "rate_book.filaments", f"the panel uses {name}, which is not in the rate book", "add it"
            )
        elif listed[name].price_per_spool is None:
            yield unpriced(listed[name])


def _printers(quantities: Quantities, book: RateBook) -> Iterator[Problem]:
    names = {printer.name for printer in book.printers}
    for name in sorted({*quantities.minutes, *quantities.reprint_minutes} - names):
        yield Problem("rate_book.printers", f"plates are on {name}, which is not in the rate book", "add it")
    for printer in book.printers:
        if printer.scrap_value > printer.purchase:
            yield Problem(
                f"rate_book.printers.{printer.name}.scrap_value",
                f"the scrap value {printer.scrap_value} is above the purchase price {printer.purchase}",
                "give at most the purchase price",
            )


def _roles(book: RateBook) -> Iterator[Problem]:
    wanted = {f"operations.{operation.code}.role": operation.role for operation in book.operations}
    for field, role in {**wanted, "quoting_role": book.quoting_role}.items():
        if role not in book.roles:
            known = ", ".join(book.roles) or "none yet"
            yield Problem(
                f"rate_book.{field}", f"there is no role {role}", f"add its rate, or use one of: {known}"
            )


def _swap(book: RateBook) -> Iterator[Problem]:
    """Only the swap of a plate takes its minutes from the workshop's hours, and it is paid once."""
    of_hours = [operation for operation in book.operations if operation.minutes is None]
    swaps = [operation for operation in of_hours if operation.per == "plate"]
    for operation in of_hours:
        field = f"rate_book.operations.{operation.code}.minutes"
        if operation.per != "plate":
            yield Problem(field, "nothing is given", "give minutes")
        elif operation != swaps[0]:
            reason = f"the minutes of the calendar are those of {swaps[0].text} already"
            yield Problem(field, reason, "give minutes, or remove one of them")
        elif operation.people != 1:
            field = f"rate_book.operations.{operation.code}.people"
            yield Problem(field, "one person swaps a plate, as the calendar has it", "1")


def _parcels(quantities: Quantities, book: RateBook) -> Iterator[Problem]:
    for parcel in dict.fromkeys(quantities.parcels):
        if row_for(parcel, book) is None:
            told = "no row of the carrier’s table takes a part of {} and {}"
            reason = said(told, length(parcel.longest_mm), mass(parcel.mass_g))
            yield Problem("brief.terms.delivery", reason, "choose another delivery, or add a row that does")


def _taxes(book: RateBook) -> Iterator[Problem]:
    for tax in book.tax:
        field = f"rate_book.tax.{tax.code}"
        names, together = [part.text for part in tax.parts], sum(tax.percents, Decimal(0))
        if tax.parts and together != tax.percent:
            reason = f"its taxes make {plain(together)} %, and {plain(tax.percent)} % is given for all"
            yield Problem(f"{field}.percent", reason, f"give {plain(together)}, or change them")
        for index, name in enumerate(names):
            if name in names[:index]:
                yield Problem(f"{field}.parts.{index}.text", f"{name} is there twice", "rename one of them")
        if tax.treatment != "taxed" and tax.percent:
            reason = f"{plain(tax.percent)} % is no {NO_TAX[tax.treatment]}"
            yield Problem(f"{field}.percent", reason, "give 0, or say that it is taxed")
        if tax.treatment in ("exempt", "reverse charge") and not tax.reason.strip():
            reason = f"{tax.text} does not say why there is no tax"
            yield Problem(f"{field}.reason", reason, "say the reason, which stands on every document")


NO_TAX = {"exempt": "exemption", "reverse charge": "reverse charge", "untaxed": "price without any tax"}


def _tax(book: RateBook, terms: Terms) -> Iterator[Problem]:
    yield from _taxes(book)
    codes = [category.code for category in book.tax]
    if terms.tax not in codes:
        yield Problem(
            "brief.terms.tax", f"there is no tax category {terms.tax}", f"use one of: {', '.join(codes)}"
        )
    for heading, code in book.heading_tax.items():
        field = f"rate_book.heading_tax.{heading}"
        if heading not in get_args(Heading):
            headings = ", ".join(get_args(Heading))
            yield Problem(field, f"clients read no heading {heading}", f"use one of: {headings}")
        if code not in codes:
            yield Problem(field, f"there is no tax category {code}", f"use one of: {', '.join(codes)}")
        if any(each.code == code and each.treatment == "untaxed" for each in book.tax):
            yield Problem(field, "nobody is registered for a part of a price", "choose another tax")


def _price(book: RateBook, terms: Terms) -> Iterator[Problem]:
    together = sum(deposit.percent for deposit in book.deposits)
    if together != 100:
        yield Problem("rate_book.deposits", f"the deposits make {together} %", "make them add up to 100 %")
    used = {terms.tax, *book.heading_tax.values()}
    most = max((category.percent for category in book.tax if category.code in used), default=Decimal(0))
    taken = shares_percent(book, terms, most) + (book.basis_percent if book.basis == "margin" else 0)
    if taken >= 100:
        what = "margin, commission and card fees" if book.basis == "margin" else "commission and card fees"
        yield Problem(
            "rate_book.basis_percent" if book.basis == "margin" else "rate_book.card_percent",
            f"{what} together take {plain(taken)} % of the price",
            "keep them below 100 %",
        )
    if terms.discount and terms.discount.kind == "percent" and terms.discount.value > 100:
        yield Problem(
            "brief.terms.discount.value", f"the discount is {terms.discount.value} %", "give less than 100 %"
        )
