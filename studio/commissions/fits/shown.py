"""Fits as texts, for a table."""

from collections.abc import Iterator
from dataclasses import dataclass

from studio.commissions.words import SYMMETRIES
from studio.estimate.fit_table import FitRow, FitTable
from studio.forms import sentence
from studio.lattice.design import LatticeKind
from studio.lattice.fit import Fit
from studio.lattice.kinds import kind_of
from studio.lattice.nearest import Nearest, NearestSize
from studio.voice import Voice

__all__ = ["FitsShown", "LatticeFits", "NearShown", "RowShown"]


@dataclass(frozen=True)
class RowShown:
    """One fit. `code` is what its button sends, empty where there is none."""

    rank: int
    count: str
    side: str
    left_over: str
    cells: str
    symmetry: str
    sections: str
    mass: str
    price: str
    trouble: str
    code: str
    now: bool


@dataclass(frozen=True)
class LatticeFits:
    """The fits of one lattice, or why it has none."""

    lattice: str
    counted: str
    given_up: str
    rows: tuple[RowShown, ...]
    more: int
    why_none: str


@dataclass(frozen=True)
class NearShown:
    """A panel with cells of the same side. `needs` is the opening where there is no room for it."""

    text: str
    count: str
    size: str
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

    def groups(self, table: FitTable) -> Iterator[LatticeFits]:
        """In the order of their best rows; lattices without a fit last."""
        ranked = list(enumerate(table.rows, 1))
        for lattice in dict.fromkeys(row.fit.lattice for row in table.rows):
            own = [(rank, row) for rank, row in ranked if row.fit.lattice == lattice]
            yield LatticeFits(
                lattice=_capital(kind_of(lattice).spoken),
                counted=kind_of(lattice).counts,
                given_up=", ".join(own[0][1].given_up),
                rows=tuple(self._row(rank, row) for rank, row in own),
                more=table.more[lattice],
                why_none="",
            )
        for unfit in table.unfit:
            why = " ".join(sentence(each, self.voice) for each in unfit.troubles)
            yield LatticeFits(_capital(kind_of(unfit.lattice).spoken), "", "", (), 0, why)

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
        fit, offer = row.fit, row.priced
        now = fit == self.now
        return RowShown(
            rank=rank,
            count=f"{fit.columns} × {fit.rows}",
            side=self.voice.figure(fit.cell_side_mm),
            left_over=" × ".join(self.voice.figure(left) for left in fit.left_over_mm),
            cells=self._cells(row.cells),
            symmetry=SYMMETRIES[fit.symmetry],
            sections=self._sections(row),
            mass=self.voice.mass(offer.plan.panel_mass_g, 2) if offer else "",
            price=self.voice.money(offer.sheet.net if self.net_first else offer.sheet.gross) if offer else "",
            trouble=sentence(row.trouble, self.voice) if row.trouble else "",
            code="" if now or row.trouble else _code(fit.lattice, fit.columns, fit.rows, fit.cell_side_mm),
            now=now,
        )

    def _cells(self, cells: tuple[int, int, int]) -> str:
        kinds = ("whole", "half", "quarter")
        return ", ".join(f"{self.voice.number(n)} {kind}" for n, kind in zip(cells, kinds, strict=True) if n)

    def _sections(self, row: FitRow) -> str:
        if row.sections == 0:
            return ""
        return self.voice.number(row.sections) if row.priced else f"{self.voice.number(row.sections)} or more"

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
        return NearShown(
            text=text,
            count=f"{wide.count} × {high.count}",
            size=" × ".join(self.voice.figure(each.size_mm) for each in panel),
            needs=" and ".join(needs),
            code="" if needs or is_now else code,
            now=is_now,
        )


def _code(lattice: LatticeKind, columns: int, rows: int, side_mm: float) -> str:
    return f"{lattice}/{columns}/{rows}/{side_mm:.2f}"


def _capital(text: str) -> str:
    return text[0].upper() + text[1:]
