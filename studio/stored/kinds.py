"""Every kind of document that rows keep. A field that comes, goes or changes its meaning is a new step here
and a golden file in `tests/stored`; steps that rows may need are never taken away."""

from typing import Any

from studio.lattice.design import Design, Space
from studio.lattice.pattern import Pattern
from studio.making.shop import Calendar
from studio.pricing.rate_book import RateBook
from studio.pricing.terms import Terms
from studio.stored.door import DocumentKind
from studio.stored.jobs_apart import without_jobs

__all__ = ["DESIGN", "KINDS", "PATTERN", "RATE_BOOK", "SHOP", "SPACE", "TERMS"]

DESIGN = DocumentKind("design", Design)
"""Options and every step of their undo; own patterns lie within."""
SPACE = DocumentKind("space", Space)
TERMS = DocumentKind("terms", Terms)
RATE_BOOK = DocumentKind("rate book", RateBook)
"""The studio's measured plates lie within."""
SHOP = DocumentKind("calendar and stock", Calendar, (without_jobs,))
"""Under the name of the page that saves it; stock and jobs are movements."""
PATTERN = DocumentKind("pattern", Pattern)

KINDS: tuple[DocumentKind[Any], ...] = (DESIGN, SPACE, TERMS, RATE_BOOK, SHOP, PATTERN)
