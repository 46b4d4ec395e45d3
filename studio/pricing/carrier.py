"""Which row of a carrier's table takes a parcel."""

from studio.pricing.quantities import Parcel
from studio.pricing.rate_book import Carrier, RateBook

__all__ = ["row_for"]


def row_for(parcel: Parcel, book: RateBook) -> Carrier | None:
    """The cheapest that takes its longest side and its mass, the first of equals; None where none does."""
    taking = (
        row for row in book.carrier if parcel.longest_mm <= row.up_to_mm and parcel.mass_g <= row.up_to_g
    )
    return min(taking, key=lambda row: row.price, default=None)
