"""What an option can give up to cost less: each way in a few levels, from a little to a lot."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial
from typing import Literal, get_args

import numpy as np

from studio.estimate.brief import Brief
from studio.estimate.fewer_cells import STEP_MM, Steps, Told, larger_cells, redesigned, smaller_panel, stepped
from studio.estimate.sparser import by_density, pieces_by_infill, sparser, sparser_told
from studio.lattice.composition import Composition
from studio.lattice.design import Design, Infill, backing_word
from studio.lattice.fit import Fit, best_fit
from studio.lattice.infills import with_infills
from studio.lattice.patterns import OPEN
from studio.voice import count, length, said

__all__ = ["MAY_MOVE", "Level", "Way", "levels_of"]

Way = Literal["cell side", "size", "density", "colours", "depth", "backing", "light", "delivery"]
MAY_MOVE: tuple[Way, ...] = get_args(Way)
"""In the order in which they are applied: a smaller panel counts cells of the side that it will have, what is
left open is picked before colours run together."""

WEIGHTS: dict[Way, float] = {
    "cell side": 0.9, "size": 1.2, "colours": 0.25, "density": 0.7, "depth": 0.4, "backing": 0.25,
    "light": 0.5, "delivery": 0.3,
}  # fmt: skip
"""What the whole of each way is worth to a client, in one measure: our own judgement, no source. It orders
proposals and touches no price."""

SHALLOWER = tuple(map(Decimal, ("0.85", "0.7", "0.55")))
SPARSER = (0.8, 0.6, 0.4)
LEAST_DEPTH_MM, LEAST_INFILL_DEPTH_MM = Decimal(4), Decimal(2)
CHEAPER_DELIVERY = {
    "delivered and hung": ("delivered", "sent by carrier", "collected"),
    "delivered": ("sent by carrier", "collected"),
    "sent by carrier": ("collected",),
}


@dataclass(frozen=True)
class Level:
    """One step of a way: how much it gives up, the brief that it makes of another, and in plain words what
    is given up in the composition that was made: "" where it came to nothing there."""

    way: Way
    loss: float
    apply: Callable[[Brief], Brief]
    told: Told


def levels_of(way: Way, brief: Brief, composition: Composition) -> tuple[Level, ...]:
    """The levels of a way for this brief, the smallest first; none where there is nothing to give up.
    Composition is the one of the brief: it tells which colours and patterns there are most of."""
    found: Steps = {
        "cell side": larger_cells,
        "size": smaller_panel,
        "density": _densities,
        "colours": _colours,
        "depth": _depths,
        "backing": _backing,
        "light": _light,
        "delivery": _delivery,
    }[way](brief, composition)
    return tuple(Level(way, WEIGHTS[way] * share, change, told) for told, share, change in found)


def _said(words: str) -> Told:
    return lambda made: words


def _densities(brief: Brief, composition: Composition) -> Steps:
    """Sparser patterns; last of all the rarest infill is left open."""
    design, told = brief.design, partial(sparser_told, brief.design)
    dense = by_density(design, composition.fit.cell_side_mm)
    counts = pieces_by_infill(composition)
    swaps: dict[str, str] = {}
    for level, share in enumerate(SPARSER, 1):
        new = {i.pattern: s for i in counts if (s := sparser(design, i.pattern, share, dense))}
        if swaps | new != swaps:
            swaps = swaps | new
            change = _keeping_side(_swapped(swaps), brief, composition.fit)
            yield told, level / (len(SPARSER) + 1), redesigned(change)
    if len(counts) > 1:
        rare = min(counts, key=lambda infill: (counts[infill], infill.pattern, infill.filament))
        yield told, 1.0, redesigned(_keeping_side(_left_open(rare), brief, composition.fit))


def _keeping_side(change: Callable[[Design], Design], brief: Brief, now: Fit) -> Callable[[Design], Design]:
    """The change, with the present side held where other patterns would let the fit take another one."""
    if best_fit(change(brief.design), brief.space) == now:
        return change
    side = Decimal(str(now.cell_side_mm))

    def held(design: Design) -> Design:
        play = design.side_play_percent
        return change(replace(design, cell_side_mm=side, side_play_percent=Decimal(0)) if play else design)

    return held


def _swapped(swaps: dict[str, str]) -> Callable[[Design], Design]:
    return lambda design: with_infills(
        design, lambda infill: replace(infill, pattern=swaps.get(infill.pattern, infill.pattern))
    )


def _left_open(rare: Infill) -> Callable[[Design], Design]:
    return lambda design: with_infills(
        design, lambda infill: replace(infill, pattern=OPEN) if infill == rare else infill
    )


def _colours(brief: Brief, composition: Composition) -> Steps:
    """Fewer infill colours: the rarest gives way to the commonest."""
    counts = np.bincount(composition.filament[composition.filament >= 0]).tolist()
    ranked = sorted(zip(counts, composition.filaments, strict=True), key=lambda pair: (-pair[0], pair[1]))
    names = [name for _, name in ranked]

    def told(made: Composition) -> str:
        left = len(made.filaments)
        return said("{} instead of {}", count(left, "infill colour"), len(names)) if left < len(names) else ""

    for left in range(len(names) - 1, 0, -1):
        fewer = partial(_run_together, frozenset(names[:left]), names[0])
        yield told, (len(names) - left) / (len(names) - 1), redesigned(fewer)


def _run_together(kept: frozenset[str], commonest: str, design: Design) -> Design:
    def coloured(infill: Infill) -> Infill:
        stays = infill.filament in kept or infill.pattern == OPEN
        return infill if stays else replace(infill, filament=commonest)

    return with_infills(design, coloured)


def _depths(brief: Brief, composition: Composition) -> Steps:
    now, inside_now = brief.design.depth_mm, brief.design.infill_depth_mm
    depths = {max(LEAST_DEPTH_MM, stepped(now * factor, STEP_MM)) for factor in SHALLOWER}
    for depth in sorted((depth for depth in depths if depth < now), reverse=True):
        scaled = max(LEAST_INFILL_DEPTH_MM, stepped(inside_now * depth / now, STEP_MM))
        inside = min(inside_now, scaled)
        words = said("{} deep instead of {}", length(depth), length(now))
        if inside < inside_now:
            words = said("{}, infills {} instead of {}", words, length(inside), length(inside_now))
        shallower = partial(replace, depth_mm=depth, infill_depth_mm=inside)
        yield _said(words), float(1 - depth / now), redesigned(shallower)


def _backing(brief: Brief, composition: Composition) -> Steps:
    """Light needs its diffuser."""
    if (what := backing_word(brief.design.backing)) and not brief.design.lit:
        yield _said(f"no {what}"), 1.0, redesigned(lambda design: replace(design, backing="none"))


def _light(brief: Brief, composition: Composition) -> Steps:
    if brief.design.lit:
        yield _said("not lit"), 0.7, redesigned(lambda design: replace(design, lit=False))
        if brief.design.backing == "diffuser":
            both = redesigned(lambda design: replace(design, lit=False, backing="none"))
            yield _said("not lit, no diffuser"), 1.0, both


def _delivery(brief: Brief, composition: Composition) -> Steps:
    ways = CHEAPER_DELIVERY.get(brief.terms.delivery, ())
    for level, way in enumerate(ways, 1):

        def cheaper(brief: Brief, way: str = way) -> Brief:
            return replace(brief, terms=replace(brief.terms, delivery=way))  # type: ignore[arg-type]

        yield _said(f"{way} instead of {brief.terms.delivery}"), level / len(ways), cheaper
