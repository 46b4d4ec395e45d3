"""Which row of a carrier's table takes a parcel, and how long it is on the road."""

from collections.abc import Iterable

from studio.pricing.quantities import Parcel
from studio.pricing.rate_book import Carrier, RateBook

__all__ = ["days_on_the_road", "row_for"]


def row_for(parcel: Parcel, book: RateBook) -> Carrier | None:
    """The cheapest that takes its longest side and its mass, the first of equals; None where none does."""
    taking = (
        row for row in book.carrier if parcel.longest_mm <= row.up_to_mm and parcel.mass_g <= row.up_to_g
    )
    return min(taking, key=lambda row: row.price, default=None)


def days_on_the_road(parcels: Iterable[Parcel], book: RateBook) -> int:
    """Working days until the last of them is there, all sent on one day; 0 where the table says nothing."""
    rows = (row_for(parcel, book) for parcel in parcels)
    return max((row.days for row in rows if row), default=0)
