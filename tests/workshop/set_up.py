"""A studio that may issue proposals: named, and every rate its own."""

from datetime import date

from studio.workshop.books import current_book, save_book, the_studio
from studio.workshop.set_on import examples, rates_of

__all__ = ["set_up"]

SINCE = date(2026, 1, 1)
"""Before the days on which tests price."""


def set_up(on: date = SINCE) -> None:
    """Confirms the rates that hold on a day, unless they are the studio's already."""
    studio = the_studio()
    if studio.name == "Our studio":
        studio.name, studio.email = "Withy Lane Panels", "hello@withy.example"
        studio.save()
    book = current_book(on)[1]
    if examples(book):
        save_book(book, None, on, frozenset(rates_of(book)))
