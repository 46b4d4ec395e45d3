"""The plan of a light: strips, feeds, leads, fuses and supplies of a panel."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from studio.lattice.design import LightLayout
from studio.light.catalogue import Connector, Controller, LightStrip, Supply
from studio.light.feeds import Feed
from studio.light.layout import Place
from studio.problem import Problem

__all__ = ["Circuit", "LightItem", "LightPlan"]


@dataclass(frozen=True, slots=True)
class LightItem:
    """Something bought: `kind` is its list in the catalogue; `number` counts metres or pieces."""

    kind: str
    code: str
    text: str
    number: float
    unit: str
    price: Decimal


@dataclass(frozen=True, slots=True)
class Circuit:
    """A supply with its controller, if there is one, and its feeds: places in `LightPlan.feeds`."""

    supply: Supply
    controller: Controller | None
    feeds: tuple[int, ...]
    load_w: float

    @property
    def mains_w(self) -> float | None:
        """What it takes from the mains; None where its efficiency is not known."""
        efficiency = self.supply.efficiency_percent
        return self.load_w / (efficiency / 100) if efficiency else None


@dataclass(frozen=True, eq=False)
class LightPlan:
    """Everything of one panel's light. `pitch_mm` is the most that rows may be apart, None where there are
    none; `depth_mm` is what strips and their distance to the diffuser take behind it. `connectors` with their
    numbers: between pieces of a run, and in a panel of several modules one for each feed, where its lead
    meets its module, for runs end where modules meet. `problems` are warnings. `price` is that of the feeds,
    circuits and connectors; the strip costs the same however it is fed."""

    layout: LightLayout
    strip: LightStrip
    places: tuple[Place, ...]
    feeds: tuple[Feed, ...]
    circuits: tuple[Circuit, ...]
    connectors: tuple[tuple[Connector, int], ...]
    pitch_mm: float | None
    depth_mm: float
    problems: tuple[Problem, ...]
    price: Decimal

    @property
    def length_mm(self) -> float:
        return sum(feed.steps for feed in self.feeds) * self.strip.cut_mm

    @property
    def watts(self) -> float:
        return sum(feed.watts for feed in self.feeds)

    @property
    def lumens(self) -> float | None:
        """Of the bare strips, before anything that they shine through; None where nobody says."""
        per_m = self.strip.lumens_per_m
        return None if per_m is None else per_m * self.length_mm / 1000

    @property
    def mass_g(self) -> float:
        """That hangs with the panel; supplies lie elsewhere."""
        return self.strip.mass_g_per_m * self.length_mm / 1000

    @property
    def mains_w(self) -> float | None:
        """None where a supply's efficiency is not known."""
        drawn = [circuit.mains_w for circuit in self.circuits]
        known = [watts for watts in drawn if watts is not None]
        return sum(known) if len(known) == len(drawn) else None

    def kwh_a_year(self, hours_a_day: float) -> float:
        """From the mains, fully lit on all 365 days; without the supplies' own losses where nobody says what
        they are."""
        watts = self.watts if self.mains_w is None else self.mains_w
        return watts * hours_a_day * 365 / 1000

    def items(self) -> Iterator[LightItem]:
        """All that is bought, each thing once."""
        strip = self.strip
        yield LightItem("strips", strip.code, strip.text, self.length_mm / 1000, "m", strip.price)
        leads = {feed.lead.code: feed.lead for feed in self.feeds}
        for code, lead in leads.items():
            metres = sum(f.lead_mm + f.links_mm for f in self.feeds if f.lead.code == code) / 1000
            yield LightItem("leads", code, lead.text, metres, "m", lead.price)
        pieces = (
            ("fuses", Counter(feed.fuse for feed in self.feeds)),
            ("supplies", Counter(circuit.supply for circuit in self.circuits)),
            ("controllers", Counter(c.controller for c in self.circuits if c.controller)),
            ("connectors", dict(self.connectors)),
        )
        for kind, counted in pieces:
            for thing, number in counted.items():
                yield LightItem(kind, thing.code, thing.text, number, "each", thing.price)
