"""Counts in words."""

__all__ = ["CELLS", "CELL_SIDES", "COLUMNS", "ROWS", "counted"]

Nouns = tuple[str, str]
COLUMNS: Nouns = ("column of cells", "columns of cells")
ROWS: Nouns = ("row of cells", "rows of cells")
CELLS: Nouns = ("cell", "cells")
CELL_SIDES: Nouns = ("cell side", "cell sides")


def counted(count: int, nouns: Nouns) -> str:
    """`count` with the singular or the plural of its noun."""
    return f"{count} {nouns[count != 1]}"
