"""What a client gets for the price, in short lines."""

from collections.abc import Iterator

from studio.estimate.result import Estimate
from studio.lattice.hangers import load_kg

__all__ = ["included"]

BACKING = {"sheet": "a backing sheet", "diffuser": "a light-spreading backing (diffuser)"}
DELIVERY = {
    "collected": "ready to collect from the studio",
    "delivered": "delivery to your door",
    "delivered and hung": "delivery and hanging",
}


def included(estimate: Estimate) -> tuple[str, ...]:
    """Counted and chosen things only; no adjectives."""
    return tuple(text[0].upper() + text[1:] for text in _parts(estimate))


def _parts(estimate: Estimate) -> Iterator[str]:
    bill, brief = estimate.bill, estimate.brief
    pieces = sum(part.count for part in bill.infills)
    spares = sum(part.spares for part in bill.infills)
    yield f"the lattice in {_counted(len(bill.sections), 'section')}, put together"
    if pieces:
        yield f"{_counted(pieces, 'pattern piece')}, each fitted in its cell"
    if spares:
        yield f"{_counted(spares, 'spare piece')}, labelled"
    if brief.design.edging_width_mm:
        yield "edging on all four sides"
    if brief.design.backing in BACKING:
        yield BACKING[brief.design.backing]
    if brief.design.lit:
        yield "lighting behind the panel, low voltage, with its supply"
    if bill.hangers:
        load = f"{load_kg(estimate.hanger_load_needed_g):g} kg"
        yield f"{_counted(bill.hangers, 'hanger')}, each to be fixed so that it holds {load}"
    yield DELIVERY[brief.terms.delivery]
    if len(bill.modules) > 1:
        yield f"carried in as {len(bill.modules)} parts and joined on site"


def _counted(count: int, noun: str) -> str:
    return f"{count:,} {noun}" if count == 1 else f"{count:,} {noun}s"
