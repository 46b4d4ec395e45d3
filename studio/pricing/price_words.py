"""How a price is named by the tax in it, on every page and document."""

from collections.abc import Iterable

__all__ = ["price_words"]

NO_TAX = {"untaxed": "", "exempt": "exempt from tax", "reverse charge": "without tax, reverse charge"}


def price_words(gross: bool, treatments: Iterable[str]) -> str:
    """What stands beside a price: of the treatments of its tax categories (rate_book.py), one that is taxed
    speaks for all, and two reasons for no tax leave it to what stands beside; nothing is said of tax by a
    studio that is not registered."""
    found = set(treatments) or {"untaxed"}
    if "taxed" in found:
        return "with tax" if gross else "without tax"
    return NO_TAX[found.pop()] if len(found) == 1 else "without tax"
