"""The line: from a brief, a rate book, a workshop and a day to a price and a date."""

import hashlib
from dataclasses import replace
from datetime import date
from decimal import Decimal

from studio.document import digest
from studio.estimate.brief import Brief
from studio.estimate.cautions import cautions_for
from studio.estimate.dates import dates_of
from studio.estimate.opening import unmeasured_side
from studio.estimate.priced import Priced, price_up
from studio.estimate.result import Estimate, PriceRange
from studio.estimate.spreads import spreads_of
from studio.estimate.warnings import warnings_for
from studio.lattice.design import Space
from studio.lattice.hangers import hanger_load_needed_g
from studio.lattice.opening import worst_share
from studio.lattice.tolerance import size_error
from studio.making.shop import ShopState
from studio.pricing.ranges import margins_left
from studio.pricing.rate_book import RateBook
from studio.pricing.sheet import PriceSheet
from studio.problem import Problem, Refused
from studio.voice import number, said

__all__ = ["estimate", "question_digest"]


def estimate(brief: Brief, rate_book: RateBook, shop_state: ShopState, as_of: date) -> Estimate:
    """Everything about one option: cells, pieces, plates, price, dates. The same inputs give the same output.

    Raises Refused with the keys of the documents ("brief.design...", "rate_book...", "shop_state...",
    "as_of") where the inputs do not make a panel. The workshop's state feeds dates and buying only, never
    the price.
    """
    priced = price_up(brief, rate_book, shop_state)
    dates = dates_of(priced, rate_book, shop_state, as_of)
    price_range, unknown = _range(brief, rate_book, shop_state, priced.sheet)
    error = size_error(priced.bill.fit, priced.bill.sections, rate_book.tolerances)
    return Estimate(
        brief=brief,
        as_of=as_of,
        composition=priced.composition,
        bill=priced.bill,
        plan=priced.plan,
        price=priced.sheet,
        dates=dates,
        warnings=(*unknown, *warnings_for(brief, priced, error, rate_book.colours, rate_book.uncertainty)),
        cautions=cautions_for(brief.design, brief.space),
        price_range=price_range,
        size_error=error,
        margins=margins_left(priced.sheet, spreads_of(priced.plan, rate_book, shop_state)),
        hung_mass_g=priced.hung_mass_g,
        hanger_load_needed_g=_hanger_load_g(priced, rate_book),
        digest=question_digest(brief, rate_book, shop_state, as_of),
    )


def _hanger_load_g(priced: Priced, book: RateBook) -> float:
    if not priced.bill.hangers:
        return 0.0
    return hanger_load_needed_g(priced.hung_mass_g, book.hanger_safety_factor, priced.bill.modules)


def _range(
    brief: Brief, book: RateBook, shop: ShopState, middle: PriceSheet
) -> tuple[PriceRange | None, tuple[Problem, ...]]:
    """Prices of an unmeasured space made smaller and larger by the uncertainty of its worse side, and what
    keeps a side from having one: the range then ends at the price as it is, which is to be said."""
    if brief.space.measured:
        return None, ()
    share = worst_share(brief.space, book.uncertainty)
    sheets, unknown = [middle], []
    for sign, way in ((-1, "smaller"), (1, "larger")):
        try:
            space = _scaled(brief.space, 1 + sign * share)
            sheets.append(price_up(replace(brief, space=space), book, shop).sheet)
        except Refused as refused:
            why = refused.problems[0]
            percent = number(share * 100, 1)
            reason = said("the range leaves out a space {} % {}: {}", percent, way, why.reason)
            unknown.append(Problem(unmeasured_side(brief.space), reason, why.remedy))
    nets, grosses = [sheet.net for sheet in sheets], [sheet.gross for sheet in sheets]
    return PriceRange((min(nets), max(nets)), (min(grosses), max(grosses))), tuple(unknown)


def _scaled(space: Space, factor: Decimal) -> Space:
    def scaled(lengths: tuple[Decimal, ...]) -> tuple[Decimal, ...]:
        return tuple((length * factor).quantize(Decimal("0.01")) for length in lengths)

    return replace(space, widths_mm=scaled(space.widths_mm), heights_mm=scaled(space.heights_mm))


def question_digest(brief: Brief, book: RateBook, shop: ShopState, as_of: date) -> str:
    """SHA-256 of all that `estimate` is asked: equal digests have equal answers."""
    parts = (digest(brief), digest(book), digest(shop), as_of.isoformat())
    return hashlib.sha256("/".join(parts).encode()).hexdigest()
