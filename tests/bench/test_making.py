"""How long making takes for a panel of 3,000 cells in six colours: with nothing known, and with its pieces
known."""

from dataclasses import replace
from decimal import Decimal

from studio.estimate.example import example_question
from studio.lattice.bill import BedLimit, bill_of
from studio.lattice.composition import compose
from studio.lattice.design import Band, Bands, Infill
from studio.lattice.fit import best_fit
from studio.making import packing, plate_ways, toolpath
from studio.making.plan import make

QUESTION = example_question()
PATTERNS = ("hemp-leaf", "basket-weave", "spoked-ring", "web", "ladder", "tortoiseshell")
COLOURS = ("Tea", "Indigo", "Chalk", "Moss", "Persimmon", "Sand")


def six_colours():
    """The bill of 2.06 m by 1.25 m in bands of six patterns, each in its own colour."""
    pairs = zip(PATTERNS, COLOURS, strict=True)
    bands = tuple(Band(infill=Infill(pattern=pattern, filament=colour), cells=3) for pattern, colour in pairs)
    design = replace(QUESTION.brief.design, arrangement=Bands(bands=bands))
    space = replace(QUESTION.brief.space, widths_mm=(Decimal(2060),), heights_mm=(Decimal(1250),))
    beds = tuple(BedLimit(*printer.usable_mm, printer.height_mm) for printer in QUESTION.rate_book.printers)
    return bill_of(compose(design, best_fit(design, space)), beds, space.way_in, 90, 2)


BILL = six_colours()


def forget(*modules):
    """Empty the memos of these modules of making, of all unless some are named."""
    for module in modules or (packing, plate_ways, toolpath):
        for value in vars(module).values():
            if hasattr(value, "cache_clear"):
                value.cache_clear()


def made():
    book = QUESTION.rate_book
    return make(BILL, book.printers, book.filaments, book.failures_per_hour, {})


def test_cold(benchmark):
    assert sum(BILL.cells) >= 3000
    assert len(benchmark.pedantic(made, setup=forget, rounds=15).filaments) >= 6


def test_with_warm_pieces(benchmark):
    """The pieces are known, their plates are not: another number of them, or other printers."""
    made()
    found = benchmark.pedantic(made, setup=lambda: forget(plate_ways), rounds=40)
    assert found.print_minutes > 0


def test_again(benchmark):
    made()
    assert benchmark(made).print_minutes > 0
