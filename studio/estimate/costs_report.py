"""What an estimated panel costs its studio and what is left, as plain JSON values: for the studio alone."""

from dataclasses import asdict
from typing import Any

from studio.document import dump
from studio.estimate.report import report, texts
from studio.estimate.result import Estimate
from studio.pricing.rate_book import RateBook
from studio.pricing.totals import Total, totals

__all__ = ["costs_report"]

STUDIOS_OWN = ("lines", "cost", "margin_percent", "labour_minutes", "print_minutes", "reprint_minutes")


def costs_report(estimate: Estimate, book: RateBook) -> dict[str, Any]:
    """`book` is the one that the estimate was made with. Every line and total has its working."""
    found, terms = report(estimate), estimate.brief.terms
    return {
        **{name: found[name] for name in STUDIOS_OWN},
        "totals": [_total(total) for total in totals(estimate.price, book, terms)],
        "margins": [texts(asdict(left)) for left in estimate.margins],
        "terms": dump(terms),
    }


def _total(total: Total) -> dict[str, Any]:
    text, amount, working = total
    return {"text": text, "amount": str(amount), "working": asdict(working)}
