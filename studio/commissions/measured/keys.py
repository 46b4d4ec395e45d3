"""What tells the studio's plates, and their lists, from others. Pure."""

from hashlib import sha256

from studio.document import digest
from studio.making.measured import Measured
from studio.pricing.rate_book import RateBook

__all__ = ["list_key", "plate_key"]


def plate_key(plate: Measured) -> str:
    """Tells one plate from all that are not like it, wherever it stands in the list."""
    return digest(plate)[:16]


def list_key(book: RateBook) -> str:
    """Tells the list, and the rate of failures that it stands beside, from any other."""
    plates = " ".join(map(plate_key, book.measured))
    return sha256(f"{plates} {book.failures_per_hour}".encode()).hexdigest()[:16]
