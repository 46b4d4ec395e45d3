"""From a bill and a catalogue to the plan of a light, chosen at least cost."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from studio.lattice.bill import Bill
from studio.lattice.design import LightControl, LightLayout
from studio.light.catalogue import Connector, Lighting, LightRules, LightStrip
from studio.light.feeds import Feed, feeds_of, price_of
from studio.light.heat import heat_problems
from studio.light.layout import Chain, Place, places_of, ring, rows
from studio.light.plan import Circuit, LightPlan
from studio.light.supplies import Offer, Price, priced_by, shared_out
from studio.problem import Problem, Refused
from studio.voice import at_least, count, length, number, said

__all__ = ["Wanted", "light_plan"]

MM2_PER_M2 = 10**6


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a design asks for. `strip` is a code of the catalogue, "" for the first that suits. `diffuser_mm`
    is how far strips lie from the diffuser, None for the catalogue's figure."""

    layout: LightLayout = "rows"
    strip: str = ""
    control: LightControl = "dimmed"
    diffuser_mm: float | None = None


def light_plan(
    bill: Bill,
    wanted: Wanted,
    lighting: Lighting,
    materials: Iterable[str],
    a_feed: Decimal = Decimal(0),
) -> LightPlan:
    """The plan with the first strip that suits, for a panel of these materials. Where leads of different
    thickness allow runs of different lengths, the way of feeding whose leads, fuses, connectors, supplies and
    controllers cost least, with `a_feed` for the work on each feed.

    Raises Refused where no strip suits: with the reasons against the one that is asked for, or the first.
    """
    refused: list[Refused] = []
    for strip in _strips(wanted, lighting):
        try:
            return _planned(bill, wanted, lighting, strip, frozenset(materials), a_feed)
        except Refused as reasons:
            refused.append(reasons)
    raise refused[0]


def _strips(wanted: Wanted, lighting: Lighting) -> Sequence[LightStrip]:
    if not lighting.strips:
        raise Refused.because("rate_book.lighting.strips", "there is no light strip", "add one")
    if not wanted.strip:
        return lighting.strips
    found = [strip for strip in lighting.strips if strip.code == wanted.strip]
    if not found:
        known = ", ".join(strip.code for strip in lighting.strips)
        reason = f"there is no light strip {wanted.strip}"
        raise Refused.because("design.light_strip", reason, f"use one of: {known}")
    return found


def _planned(
    bill: Bill,
    wanted: Wanted,
    lighting: Lighting,
    strip: LightStrip,
    materials: frozenset[str],
    a_feed: Decimal,
) -> LightPlan:
    places, rules = places_of(bill), lighting.rules
    diffuser_mm = wanted.diffuser_mm if wanted.diffuser_mm is not None else rules.diffuser_mm
    pitch_mm = _pitch_mm(rules, strip, diffuser_mm) if wanted.layout == "rows" else None
    chains = _laid(bill, places, rules, strip, pitch_mm)
    stages = tuple(_stages(wanted, lighting, strip))
    most_w = min(max(offer.most_w for offer in offers) for offers in stages)
    ways = feeds_of(chains, strip, lighting, most_w)
    priced = priced_by(stages)
    made = (_wired(feeds, priced, lighting, strip, len(places), a_feed) for feeds in ways)
    feeds, circuits, connectors, price = min(made, key=lambda way: way[-1])
    watts = sum(feed.watts for feed in feeds)
    area_m2 = bill.fit.width_mm * bill.fit.height_mm / MM2_PER_M2
    return LightPlan(
        layout=wanted.layout,
        strip=strip,
        places=places,
        feeds=feeds,
        circuits=circuits,
        connectors=connectors,
        pitch_mm=pitch_mm,
        depth_mm=diffuser_mm + strip.thick_mm,
        problems=(
            *heat_problems(watts, area_m2, materials, lighting),
            *_unsaid(strip, circuits, connectors, lighting, len(places)),
        ),
        price=price,
    )


def _pitch_mm(rules: LightRules, strip: LightStrip, diffuser_mm: float) -> float:
    """How far apart rows may be. Raises Refused where there is no depth for them."""
    pitch_mm = rules.pitch_factor * diffuser_mm
    if diffuser_mm < rules.least_diffuser_mm or pitch_mm < strip.width_mm:
        least_mm = max(rules.least_diffuser_mm, strip.width_mm / rules.pitch_factor)
        told = "at {} from the diffuser, rows would lie {} apart, too near for a strip {} wide"
        if pitch_mm >= strip.width_mm:
            told = "at {} from the diffuser, rows {} apart of a strip {} wide would be seen one by one"
        reason = said(told, length(diffuser_mm), length(pitch_mm), length(strip.width_mm))
        raise Refused.because("design.light_diffuser_mm", reason, said("at least {}", at_least(least_mm)))
    return pitch_mm


def _laid(
    bill: Bill, places: tuple[Place, ...], rules: LightRules, strip: LightStrip, pitch_mm: float | None
) -> tuple[Chain, ...]:
    """Raises Refused where a module has no room for a cut step of the strip."""
    edging_mm = (bill.fit.width_mm - bill.fit.lattice_width_mm) / 2
    if pitch_mm is None:
        chains = tuple(ring(places, edging_mm, rules.margin_mm, strip.width_mm, strip.cut_mm))
    else:
        chains = tuple(rows(places, edging_mm, rules.margin_mm, pitch_mm, strip.cut_mm))
    if not chains or not all(chain.pieces for chain in chains):
        reason = said("a module has no room for one cut step of {}, {}", strip.text, length(strip.cut_mm))
        raise Refused.because("design.light_strip", reason, "a strip with shorter cut steps")
    return chains


def _stages(wanted: Wanted, lighting: Lighting, strip: LightStrip) -> Iterator[tuple[Offer, ...]]:
    """Supplies, and controllers where the light is dimmed, for the strip's volts."""
    yield _supplies(lighting, strip)
    if wanted.control == "dimmed":
        controllers = tuple(
            Offer(each.code, each.amps * each.volts, each.price)
            for each in lighting.controllers
            if each.volts == strip.volts
        )
        if not controllers:
            reason = said("no controller is for {} V, which {} needs", number(strip.volts), strip.text)
            raise Refused.because(
                "rate_book.lighting.controllers", reason, "add one, or do not dim the light"
            )
        yield _carrying(controllers, "controllers", strip)


def _supplies(lighting: Lighting, strip: LightStrip) -> tuple[Offer, ...]:
    rules, field = lighting.rules, "rate_book.lighting.supplies"
    fitting = [supply for supply in lighting.supplies if supply.volts == strip.volts]
    if not fitting:
        volts = ", ".join(f"{supply.volts:g} V" for supply in lighting.supplies) or "none"
        reason = said("{} needs a supply of {} V; there is: {}", strip.text, number(strip.volts), volts)
        raise Refused.because(field, reason, "add one, or choose another strip")
    most_va = rules.most_va(strip.volts)
    allowed = [supply for supply in fitting if not rules.limited or supply.watts <= most_va]
    if not allowed:
        told = "every supply of {} V has more than the {} VA that a limited one may have"
        reason = said(told, number(strip.volts), number(most_va))
        raise Refused.because(field, reason, "add a limited one")
    offers = tuple(Offer(each.code, each.watts * rules.load_percent / 100, each.price) for each in allowed)
    return _carrying(offers, "supplies", strip)


def _carrying(offers: tuple[Offer, ...], kind: str, strip: LightStrip) -> tuple[Offer, ...]:
    """Raises Refused where none carries one cut step."""
    most_w = max(offer.most_w for offer in offers)
    if strip.watts_per_step > most_w:
        told = "one cut step of {} takes {} W, and none here carries more than {} W"
        reason = said(told, strip.text, number(strip.watts_per_step), number(most_w))
        raise Refused.because(f"rate_book.lighting.{kind}", reason, "add a larger one")
    return offers


Way = tuple[tuple[Feed, ...], tuple[Circuit, ...], tuple[tuple[Connector, int], ...], Decimal]


def _wired(
    feeds: tuple[Feed, ...],
    priced: Price,
    lighting: Lighting,
    strip: LightStrip,
    modules: int,
    a_feed: Decimal,
) -> Way:
    """Feeds with their circuits and connectors, and what all that costs."""
    loads = shared_out([round(feed.watts, 6) for feed in feeds], priced)
    supplies = {supply.code: supply for supply in lighting.supplies}
    controllers = {each.code: each for each in lighting.controllers}
    circuits = tuple(
        Circuit(
            supply=supplies[load.offers[0]],
            controller=controllers[load.offers[1]] if len(load.offers) > 1 else None,
            feeds=load.feeds,
            load_w=sum(feeds[i].watts for i in load.feeds),
        )
        for load in loads
    )
    connectors = tuple(_connectors(feeds, modules, lighting))
    price = price_of(feeds) + sum((load.price for load in loads), Decimal(0)) + a_feed * len(feeds)
    price += sum((each.price * times for each, times in connectors), Decimal(0))
    return feeds, circuits, connectors, price


def _connectors(feeds: Sequence[Feed], modules: int, lighting: Lighting) -> Iterator[tuple[Connector, int]]:
    """The cheapest of each sort; what has none in the catalogue is soldered."""
    times = {
        "strips": sum(len(feed.pieces) - 1 for feed in feeds),
        "modules": len(feeds) if modules > 1 else 0,
    }
    for joins, needed in times.items():
        offered = [each for each in lighting.connectors if each.joins == joins]
        if needed and offered:
            yield min(offered, key=lambda each: each.price), needed


def _unsaid(
    strip: LightStrip,
    circuits: Sequence[Circuit],
    connectors: Sequence[tuple[Connector, int]],
    lighting: Lighting,
    modules: int,
) -> Iterator[Problem]:
    if strip.ohms_per_m is None:
        reason = f"the drop along {strip.text} is not known: its maker's longest run stands for it"
        yield Problem(f"rate_book.lighting.strips.{strip.code}.ohms_per_m", reason, "measure it")
    dimmers = sum(circuit.controller is not None for circuit in circuits)
    if dimmers > 1:
        reason = said("the light has {}, each set by itself", count(dimmers, "dimmer"))
        yield Problem("brief.design.light_control", reason, "set them alike, or bind them together")
    if modules > 1 and not any(each.joins == "modules" for each, _times in connectors):
        reason = "there is no connector for where a lead meets its module"
        yield Problem("rate_book.lighting.connectors", reason, "add one, so that a module comes off the wall")
