"""What a client gets for the price, in short lines."""

from collections.abc import Iterator

from studio.estimate.lighting import running
from studio.estimate.result import Estimate
from studio.light.plan import LightPlan
from studio.pricing.terms import Delivery, Terms
from studio.voice import PLAIN, Voice

__all__ = ["included"]

BACKING = {"sheet": "a backing sheet", "diffuser": "a light-spreading backing (diffuser)"}
DELIVERY: dict[Delivery, str] = {
    "collected": "ready to collect from the studio",
    "sent by carrier": "sending to your door by a carrier",
    "delivered": "delivery to your door",
    "delivered and hung": "delivery and hanging",
}


def included(estimate: Estimate, voice: Voice = PLAIN) -> tuple[str, ...]:
    """Counted and chosen things only; no adjectives."""
    return tuple(text[0].upper() + text[1:] for text in _parts(estimate, voice))


def _parts(estimate: Estimate, voice: Voice) -> Iterator[str]:
    bill, brief = estimate.bill, estimate.brief
    pieces = sum(part.count for part in bill.infills)
    spares = sum(part.spares for part in bill.infills)
    if brief.terms.survey == "by the client":
        yield "made to your own measurements"
    yield f"the lattice in {voice.count(len(bill.sections), 'section')}, put together"
    if pieces:
        yield f"{voice.count(pieces, 'pattern piece')}, each fitted in its cell"
    if spares:
        yield f"{voice.count(spares, 'spare piece')}, labelled"
    if brief.design.edging_width_mm:
        yield "edging on all four sides"
    if brief.design.backing in BACKING:
        yield BACKING[brief.design.backing]
    if brief.design.lit:
        yield _light(estimate.light, brief.terms, voice)
    if bill.hangers:
        load = voice.load(estimate.hanger_load_needed_g)
        yield f"{voice.count(bill.hangers, 'hanger')}, each to be fixed so that it holds {load}"
    if stood := estimate.standing:
        yield f"{voice.count(stood.feet, 'foot', 'feet')} to stand on"
    yield DELIVERY[brief.terms.delivery]
    if len(bill.modules) > 1:
        yield f"carried in as {voice.count(len(bill.modules), 'part')} and joined on site"


def _light(light: LightPlan | None, terms: Terms, voice: Voice) -> str:
    if light is None:
        return "lighting behind the panel, low voltage, with its supply"
    supplies = voice.count(len(light.circuits), "supply", "supplies")
    strip = f"{voice.length(light.length_mm, 0)} of strip at {voice.quantity(light.strip.volts)} V"
    draws = light.watts if light.mains_w is None else light.mains_w
    runs = running(light, terms)
    cost = "" if runs.cost is None else f", about {voice.money(runs.cost)}"
    year = f"{voice.quantity(runs.kwh, 0)} kWh a year at {voice.quantity(runs.hours_a_day)} h a day{cost}"
    return f"light behind it: {strip}, {supplies}, about {voice.quantity(draws, 0)} W, {year}"
