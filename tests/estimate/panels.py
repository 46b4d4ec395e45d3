"""Random briefs and rate books, from a seed."""

from dataclasses import replace
from decimal import Decimal
from random import Random

from studio.estimate.brief import Brief
from studio.estimate.example import example_question
from studio.lattice.design import (
    AllOver,
    Alternating,
    Arrangement,
    Band,
    Bands,
    BorderAndField,
    Design,
    Infill,
    Space,
    WayIn,
)
from studio.pricing.rate_book import RateBook
from studio.pricing.terms import Terms

__all__ = ["BOOK", "SHOP", "random_book", "random_brief"]

QUESTION = example_question()
BOOK, SHOP = QUESTION.rate_book, QUESTION.shop_state
PATTERNS = {
    "three-way": ("hemp-leaf", "basket-weave"),
    "three-way turned": ("hemp-leaf", "basket-weave"),
    "square": ("square-hemp-leaf", "seven-treasures"),
    "diamond": ("crossed-diamond", "crossed-diamond"),
}
COLOURS = tuple(filament.name for filament in BOOK.filaments)


def random_brief(chance: Random, largest_mm: int = 1800) -> Brief:
    """A free-standing panel of up to two patterns, in some of the book's colours."""
    lattice = chance.choice(list(PATTERNS))
    design = Design(
        lattice=lattice,
        cell_side_mm=Decimal(chance.choice([36, 40, 44, 50, 60, 70])),
        lattice_filament=chance.choice(COLOURS),
        edging_filament=chance.choice(COLOURS),
        arrangement=_arrangement(chance, PATTERNS[lattice]),
        depth_mm=Decimal(chance.choice([10, 12, 15, 20])),
    )
    space = Space(
        widths_mm=(Decimal(chance.randint(250, largest_mm)),),
        heights_mm=(Decimal(chance.randint(250, min(1300, largest_mm))),),
        width_origin="taped by us",
        height_origin="taped by us",
        mounting="free-standing",
        way_in=WayIn(width_mm=Decimal(chance.choice([600, 760, 900]))),
    )
    return Brief(title="At random", design=design, space=space, terms=Terms(distance_km=Decimal(10)))


def _arrangement(chance: Random, patterns: tuple[str, str]) -> Arrangement:
    first, second = (Infill(pattern=each, filament=chance.choice(COLOURS)) for each in patterns)
    cells = chance.randint(1, 3)
    bands = Band(infill=first, cells=cells), Band(infill=second, cells=chance.randint(1, 4))
    kinds: list[Arrangement] = [
        AllOver(infill=first),
        BorderAndField(border=first, border_cells=cells, field=second),
        Bands(bands=bands),
        Alternating(first=first, second=second),
    ]
    return chance.choice(kinds)


def random_book(chance: Random) -> RateBook:
    """One to four small printers, and mostly one or two large ones besides."""
    small, large = BOOK.printers
    printers = [replace(small, count=chance.randint(1, 4))]
    if chance.random() < 0.7:
        printers.append(replace(large, count=chance.randint(1, 2)))
    return replace(BOOK, printers=tuple(printers))
