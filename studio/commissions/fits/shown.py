"""Fits in the rows of a table, each with its button."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from studio.estimate.fit_table import FitRow, FitTable
from studio.lattice.design import LatticeKind
from studio.lattice.fit import Fit
from studio.lattice.kinds import Kind, kind_of
from studio.lattice.nearest import Nearest, NearestSize
from studio.problem import Problem
from studio.voice import Voice

__all__ = ["FitsShown", "NearShown", "RowShown"]


class RowShown(NamedTuple):
    """One fit. `price` is the one that the client reads first; `code` is what its button sends, empty where
    there is none."""

    rank: int
    row: FitRow
    cells: str
    price: Decimal | None
    code: str
    now: bool


class NearShown(NamedTuple):
    """A panel with cells of the same side. `needs` is the opening where there is no room for it."""

    text: str
    across: NearestSize
    up: NearestSize
    needs: str
    code: str
    now: bool


@dataclass(frozen=True)
class FitsShown:
    """How the fits of an option are written; `now` is the one that it has."""

    voice: Voice
    net_first: bool
    now: Fit | None

    def said(self, fit: Fit) -> str:
        """A fit within a sentence."""
        count = fit.kind.counted(fit.columns, fit.rows)
        across, up = (self.voice.length(left) for left in fit.left_over_mm)
        side = self.voice.length(fit.cell_side_mm)
        return f"{fit.kind.spoken}, {count} of {side}, {across} left over across and {up} up"

    def groups(
        self, table: FitTable
    ) -> Iterator[tuple[Kind, tuple[RowShown, ...], int, tuple[Problem, ...]]]:
        """Each lattice with its fits, how many more it has, or why it has none: in the order of their best
        rows, lattices without a fit last."""
        ranked = list(enumerate(table.rows, 1))
        for lattice in dict.fromkeys(row.fit.lattice for row in table.rows):
            own = tuple(self._row(rank, row) for rank, row in ranked if row.fit.lattice == lattice)
            yield kind_of(lattice), own, table.more[lattice], ()
        for unfit in table.unfit:
            yield kind_of(unfit.lattice), (), 0, unfit.troubles

    def near(self, found: Nearest, lattice: LatticeKind) -> Iterator[NearShown]:
        """The panel that fits, or the least there can be, then one less and one more each way."""
        wide, high = found.across.fits or found.across.larger, found.up.fits or found.up.larger
        panels = {
            "As large as fits" if found.fit else "The smallest": (wide, high),
            "Narrower": (found.across.smaller, high),
            "Lower": (wide, found.up.smaller),
            "Wider": (found.across.larger, high),
            "Higher": (wide, found.up.larger),
        }
        seen = set()
        for text, (across, up) in panels.items():
            if across and up and (across, up) not in seen:
                seen.add((across, up))
                yield self._near(text, (across, up), found, lattice)

    def _row(self, rank: int, row: FitRow) -> RowShown:
        fit, now, price = row.fit, row.fit == self.now, None
        if row.priced:
            price = row.priced.sheet.net if self.net_first else row.priced.sheet.gross
        code = "" if now or row.trouble else _code(fit.lattice, fit.columns, fit.rows, fit.cell_side_mm)
        return RowShown(rank, row, self._cells(row.cells), price, code, now)

    def _cells(self, cells: tuple[int, int, int]) -> str:
        kinds = ("whole", "half", "quarter")
        return ", ".join(f"{self.voice.number(n)} {kind}" for n, kind in zip(cells, kinds, strict=True) if n)

    def _near(
        self, text: str, panel: tuple[NearestSize, NearestSize], found: Nearest, lattice: LatticeKind
    ) -> NearShown:
        wide, high = panel
        needs = [
            f"an opening {self.voice.length(size.opening_mm)} {adjective}, "
            f"{self.voice.length(size.opening_mm - there)} more than there is"
            for size, way, there, adjective in (
                (wide, found.across, found.opening_mm[0], "wide"),
                (high, found.up, found.opening_mm[1], "high"),
            )
            if size is way.larger
        ]
        now = self.now
        is_now = now is not None and (wide.count, high.count) == (now.columns, now.rows)
        code = _code(lattice, wide.count, high.count, float(found.cell_side_mm))
        return NearShown(text, wide, high, " and ".join(needs), "" if needs or is_now else code, is_now)


def _code(lattice: LatticeKind, columns: int, rows: int, side_mm: float) -> str:
    return f"{lattice}/{columns}/{rows}/{side_mm:.2f}"
