"""Until we have taped a space: what all the panels would cost that may turn out to fit it."""

from dataclasses import replace
from decimal import Decimal
from hashlib import sha256
from itertools import chain, zip_longest
from typing import TypeVar

from studio.document import digest
from studio.estimate.brief import Brief
from studio.estimate.engine import ENGINE
from studio.estimate.priced import price_up
from studio.estimate.result import Estimate, PriceRange
from studio.lattice.design import Design, Space
from studio.lattice.fit import best_fit
from studio.lattice.fits_within import FitsWithin, fits_within
from studio.lattice.opening import sides_out_mm
from studio.lattice.refit import held_to
from studio.making.shop import ShopState
from studio.memo import memo
from studio.pricing.rate_book import RateBook
from studio.problem import Problem, Refused
from studio.voice import said

T = TypeVar("T", Decimal, float)

__all__ = ["MOST_FITS", "left_out", "price_range", "range_digest", "ranged"]

MOST_FITS = 600
"""Of which prices are worked out, a minute's work. Where there are more the range says "at least"."""


def ranged(
    found: Estimate, book: RateBook, shop: ShopState, so_far: PriceRange | None = None, most: int = MOST_FITS
) -> Estimate:
    """The estimate with its range, after `most` further fits; itself where we have taped the space. What the
    range leaves out, its warnings say."""
    if found.brief.space.taped_by_us:
        return found
    known = price_range(found.brief, book, shop, so_far, most)
    why = left_out(found.brief, book, shop, known)
    return replace(found, price_range=known, warnings=(*((why,) if why else ()), *found.warnings))


def price_range(
    brief: Brief, book: RateBook, shop: ShopState, so_far: PriceRange | None = None, most: int = MOST_FITS
) -> PriceRange:
    """The range over every fit that the space may have by what `book` says of its sizes, after `most` further
    ones. The fit for the sizes as they are comes first, then the largest and the smallest panels by turns.

    Raises Refused where the sizes as they are have no price; other openings without one are left out.
    """
    within = _within(brief, book)
    found = so_far or _first(within, brief, book, shop)
    for place in range(found.priced, min(found.priced + most, found.fits)):
        found = _wider(found, place, within, brief, book, shop)
    return found


def left_out(brief: Brief, book: RateBook, shop: ShopState, found: PriceRange) -> Problem | None:
    """Why the first opening that is left out has no price."""
    if found.left_out is None:
        return None
    within = _within(brief, book)
    space = within.largest if found.left_out >= 0 or within.without is None else within.without
    design = within.designs[found.left_out] if found.left_out >= 0 else brief.design
    side = "width" if brief.space.width_origin != "taped by us" else "height"
    try:
        price_up(replace(brief, design=design, space=space), book, shop)
    except Refused as refused:
        why = refused.problems[0]
        reason = said("the range leaves out openings that may be there too: {}", why.reason)
        return Problem(f"brief.space.{side}_origin", reason, why.remedy)
    return None


def range_digest(brief: Brief, book: RateBook) -> str:
    """SHA-256 of all that a range depends on, the rules among them."""
    plain = replace(brief, title="", space=_plain(brief.space))
    return sha256("/".join((ENGINE, digest(plain), digest(book))).encode()).hexdigest()


def _plain(space: Space) -> Space:
    """Without what says nothing of price and size, so that no such answer starts the work anew."""
    return Space(
        widths_mm=(min(space.widths_mm),),
        heights_mm=(min(space.heights_mm),),
        width_origin=space.width_origin,
        height_origin=space.height_origin,
        photograph_mm=space.photograph_mm,
        gap_mm=space.gap_mm,
        way_in=space.way_in,
        mounting=space.mounting,
    )


def _within(brief: Brief, book: RateBook) -> FitsWithin:
    space = _plain(brief.space)
    return _fits(brief.design, space, sides_out_mm(space, book.uncertainty))


@memo
def _fits(design: Design, space: Space, out_mm: tuple[Decimal, Decimal]) -> FitsWithin:
    """As many as are priced, in that order: so a range that is not worked out to the end is wide early."""
    found, fit = fits_within(design, space, out_mm), best_fit(design, space)
    middle = held_to(design, fit)
    by_cells = sorted(set(found.designs) - {middle}, key=_size)
    half = len(by_cells) // 2
    turns = chain.from_iterable(zip_longest(by_cells[:half], reversed(by_cells[half:])))
    designs = (middle, *(design for design in turns if design is not None))
    return replace(found, designs=designs[:MOST_FITS], every=found.every and len(designs) <= MOST_FITS)


def _size(held: Design) -> tuple[int, Decimal]:
    return (held.columns or 0) * (held.rows or 0), held.cell_side_mm


def _first(within: FitsWithin, brief: Brief, book: RateBook, shop: ShopState) -> PriceRange:
    one = price_up(replace(brief, design=within.designs[0], space=within.largest), book, shop)
    sheet, mass_g = one.sheet, one.plan.panel_mass_g
    return PriceRange(
        net=(sheet.net, sheet.net),
        gross=(sheet.gross, sheet.gross),
        mass_g=(mass_g, mass_g),
        priced=1,
        fits=len(within.designs),
        every=within.every,
        left_out=None if within.without is None else -1,
    )


def _wider(
    found: PriceRange, place: int, within: FitsWithin, brief: Brief, book: RateBook, shop: ShopState
) -> PriceRange:
    try:
        one = price_up(replace(brief, design=within.designs[place], space=within.largest), book, shop)
    except Refused:
        missing = place if found.left_out is None else found.left_out
        return replace(found, priced=place + 1, left_out=missing)
    return replace(
        found,
        net=_around(found.net, one.sheet.net),
        gross=_around(found.gross, one.sheet.gross),
        mass_g=_around(found.mass_g, one.plan.panel_mass_g),
        priced=place + 1,
    )


def _around(span: tuple[T, T], value: T) -> tuple[T, T]:
    return min(span[0], value), max(span[1], value)
