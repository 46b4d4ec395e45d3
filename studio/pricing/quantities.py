"""Everything that pricing counts, as Decimals: the one door from float to money."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from typing import assert_never

from studio.lattice.bill import Bill
from studio.lattice.design import Design
from studio.light.plan import LightItem, LightPlan
from studio.making.plan import FilamentUse, MakingPlan
from studio.pricing.rate_book import Per
from studio.pricing.terms import Terms

__all__ = ["Grams", "Parcel", "Quantities", "count", "hundredths", "parcels_of"]

MM2_PER_M2 = 10**6


@dataclass(frozen=True, slots=True)
class Grams:
    """One filament's grams to 0.01: in the panel, in spares, expected for reprints, and for starts: what a
    plate's beginning and a change of filament take."""

    panel: Decimal
    spares: Decimal
    reprints: Decimal
    starts: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class Parcel:
    """What a carrier takes as one: a module, its longest side to 0.01 mm and its share of the mass to 0.01
    g."""

    longest_mm: float
    mass_g: float


@dataclass(frozen=True)
class Quantities:
    """`counts` has every Per. Minutes are by printer kind and exclude reprints and changes of filament, which
    are apart, as are the energy of reprints and the plates that are to be expected again; grams are by
    filament. `parcels` are there where a carrier brings the panel, `light` is what is bought by
    the catalogue. All are to 0.01, so
    that a person can recompute what follows."""

    counts: Mapping[Per, Decimal]
    minutes: Mapping[str, Decimal]
    reprint_minutes: Mapping[str, Decimal]
    grams: Mapping[str, Grams]
    change_minutes: Mapping[str, Decimal] = field(default_factory=dict)
    energy_kwh: Decimal = Decimal(0)
    reprint_energy_kwh: Decimal = Decimal(0)
    reprinted_plates: Decimal = Decimal(0)
    parcels: tuple[Parcel, ...] = ()
    light: tuple[LightItem, ...] = ()

    @property
    def hung(self) -> bool:
        return bool(self.counts["hanging"])


def hundredths(value: float) -> Decimal:
    """A float as a Decimal with at most two decimals."""
    return Decimal(str(round(value, 2)))


def count(
    bill: Bill, plan: MakingPlan, design: Design, terms: Terms, light: LightPlan | None = None
) -> Quantities:
    """What there is to pay for. Spares are made, not placed, so they count in grams and minutes only."""
    return Quantities(
        counts=_panel(bill, plan) | _extras(bill, design) | _light(bill, design, light) | _trips(terms),
        minutes=_decimals(plan.minutes_by_printer),
        reprint_minutes=_decimals(plan.reprint_minutes_by_printer),
        grams={use.filament: _grams(use) for use in plan.filaments},
        change_minutes=_decimals(plan.change_minutes_by_printer),
        energy_kwh=hundredths(plan.energy_kwh),
        reprint_energy_kwh=hundredths(plan.reprint_energy_kwh),
        reprinted_plates=hundredths(plan.reprinted_plates),
        light=tuple(light.items()) if light else (),
    )


def _panel(bill: Bill, plan: MakingPlan) -> dict[Per, Decimal]:
    return {
        "commission": Decimal(1),
        "plate": Decimal(len(plan.plates)),
        "filament change": Decimal(plan.colour_changes),
        "infill": Decimal(sum(part.count for part in bill.infills)),
        "glued infill": Decimal(sum(part.count for part in bill.infills if part.holding == "glue dot")),
        "section": Decimal(len(bill.sections)),
        "seam key": Decimal(sum(seam.joints for seam in bill.seams)),
        "site joint": Decimal(sum(seam.on_site for seam in bill.seams)),
        "module": Decimal(len(bill.modules)),
        "colour": Decimal(bill.colours),
        "square metre": hundredths(bill.fit.width_mm * bill.fit.height_mm / MM2_PER_M2),
        "hanger": Decimal(bill.hangers),
    }


def _extras(bill: Bill, design: Design) -> dict[Per, Decimal]:
    sheet_m2 = diffuser_m2 = Decimal(0)
    match design.backing:
        case "none":
            pass
        case "sheet":
            sheet_m2 = hundredths(bill.backing_area_mm2 / MM2_PER_M2)
        case "diffuser":
            diffuser_m2 = hundredths(bill.backing_area_mm2 / MM2_PER_M2)
        case _:
            assert_never(design.backing)
    return {
        "edged module": Decimal(len(bill.modules) * bool(design.edging_width_mm)),
        "backed panel": Decimal(design.backing != "none"),
        "sheet square metre": sheet_m2,
        "diffuser square metre": diffuser_m2,
    }


def _light(bill: Bill, design: Design, light: LightPlan | None) -> dict[Per, Decimal]:
    length_mm = light.length_mm if light else bill.light_length_mm
    return {
        "light metre": hundredths(length_mm / 1000),
        "lit panel": Decimal(design.lit),
        "feed": Decimal(len(light.feeds) if light else 0),
        "light supply": Decimal(len(light.circuits) if light else 0),
    }


def _trips(terms: Terms) -> dict[Per, Decimal]:
    """A trip to the survey, if there is one; another, also when the panel is delivered and hung, unless it is
    collected. Both there and back."""
    there_and_back = (2 * (terms.distance_km or Decimal(0))).quantize(Decimal("0.01"), ROUND_HALF_UP)
    return {
        "survey": Decimal(terms.survey == "trip"),
        "survey kilometre": there_and_back * (terms.survey == "trip"),
        "measurements sent": Decimal(terms.survey == "by the client"),
        "kilometre": there_and_back * terms.by_van,
        "delivery": Decimal(terms.by_van),
        "hanging": Decimal(terms.delivery == "delivered and hung"),
    }


def parcels_of(bill: Bill, mass_g: float) -> tuple[Parcel, ...]:
    """A parcel for each module; `mass_g` is that of the whole panel as hung, shared by area."""
    areas = [module.width_mm * module.height_mm for module in bill.modules]
    return tuple(
        Parcel(round(max(module.width_mm, module.height_mm), 2), round(mass_g * area / sum(areas), 2))
        for module, area in zip(bill.modules, areas, strict=True)
    )


def _grams(use: FilamentUse) -> Grams:
    grams = (use.panel_g, use.spares_g, use.reprints_g, round(use.starts_g + use.purge_g, 2))
    return Grams(*map(hundredths, grams))


def _decimals(values: Mapping[str, float]) -> dict[str, Decimal]:
    return {name: hundredths(value) for name, value in values.items()}
