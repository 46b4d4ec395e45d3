"""The line: from a brief, a rate book, a workshop and a day to a price and a date."""

import hashlib
from datetime import date

from studio.document import digest
from studio.estimate.brief import Brief
from studio.estimate.cautions import cautions_for
from studio.estimate.dates import dates_of
from studio.estimate.priced import Priced, price_up
from studio.estimate.result import Estimate
from studio.estimate.spreads import spreads_of
from studio.estimate.warnings import warnings_for
from studio.lattice.hangers import hanger_load_needed_g
from studio.lattice.tolerance import size_error
from studio.making.shop import ShopState
from studio.pricing.ranges import margins_left
from studio.pricing.rate_book import RateBook

__all__ = ["estimate", "question_digest"]


def estimate(brief: Brief, rate_book: RateBook, shop_state: ShopState, as_of: date) -> Estimate:
    """Everything about one option: cells, pieces, plates, price, dates. The same inputs give the same output.

    Raises Refused with the keys of the documents ("brief.design...", "rate_book...", "shop_state...",
    "as_of") where the inputs do not make a panel. The workshop's state feeds dates and buying only, never
    the price.
    """
    priced = price_up(brief, rate_book, shop_state)
    dates = dates_of(priced, priced.book, shop_state, as_of)
    error = size_error(priced.bill.fit, priced.bill.sections, rate_book.tolerances)
    return Estimate(
        brief=brief,
        as_of=as_of,
        composition=priced.composition,
        bill=priced.bill,
        plan=priced.plan,
        price=priced.sheet,
        dates=dates,
        warnings=warnings_for(brief, priced, error, rate_book.colours, rate_book.uncertainty),
        cautions=cautions_for(brief.design, brief.space),
        price_range=None,
        size_error=error,
        margins=margins_left(priced.sheet, spreads_of(priced.plan, rate_book, shop_state)),
        hung_mass_g=priced.hung_mass_g,
        hanger_load_needed_g=_hanger_load_g(priced, rate_book),
        light=priced.light,
        hanging=priced.held.hanging,
        standing=priced.held.standing,
        digest=question_digest(brief, rate_book, shop_state, as_of),
    )


def _hanger_load_g(priced: Priced, book: RateBook) -> float:
    if not priced.bill.hangers:
        return 0.0
    if priced.held.hanging:
        return priced.held.hanging.needed_g
    return hanger_load_needed_g(priced.hung_mass_g, book.hanger_safety_factor, priced.bill.modules)


def question_digest(brief: Brief, book: RateBook, shop: ShopState, as_of: date) -> str:
    """SHA-256 of all that `estimate` is asked: equal digests have equal answers."""
    parts = (digest(brief), digest(book), digest(shop), as_of.isoformat())
    return hashlib.sha256("/".join(parts).encode()).hexdigest()
