"""What an option can give up to cost less: each way in a few levels, from a little to a lot."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal, get_args

from studio.estimate.brief import Brief
from studio.lattice.composition import Composition
from studio.lattice.design import Design, Infill
from studio.lattice.infills import infills_of, with_infills
from studio.lattice.patterns import OPEN, pattern_of, patterns
from studio.lattice.piece import density, least_side_mm
from studio.problem import Refused

__all__ = ["MAY_MOVE", "Level", "Way", "Weights", "levels_of"]

Way = Literal["cell side", "colours", "density", "depth", "backing", "light", "delivery"]
MAY_MOVE: tuple[Way, ...] = get_args(Way)

Weights = {
    "cell side": 0.9, "colours": 0.25, "density": 0.7, "depth": 0.4, "backing": 0.25, "light": 0.5,
    "delivery": 0.3,
}  # fmt: skip
"""What the whole of each way is worth to a client, in one measure: our own judgement, no source. It orders
proposals and touches no price."""

LARGER = tuple(map(Decimal, ("1.05", "1.1", "1.15", "1.2", "1.3", "1.4", "1.6", "1.8", "2")))
SHALLOWER = tuple(map(Decimal, ("0.85", "0.7", "0.55")))
SPARSER = (0.8, 0.6, 0.4)
LEAST_DEPTH_MM, STEP_MM = Decimal(4), Decimal("0.5")
CHEAPER_DELIVERY = {"delivered and hung": ("delivered", "collected"), "delivered": ("collected",)}


@dataclass(frozen=True)
class Level:
    """One step of a way: the brief that it makes of another, what it gives up in plain words, and how much
    that is."""

    way: Way
    words: str
    loss: float
    apply: Callable[[Brief], Brief]

    def told(self, made: Composition) -> str:
        """The words once it is made: a fit may move the side of the cell a little."""
        return self.words.format(side=_mm(Decimal(str(made.fit.cell_side_mm))))


def levels_of(way: Way, brief: Brief, composition: Composition) -> tuple[Level, ...]:
    """The levels of a way for this brief, the smallest first; none where there is nothing to give up.
    Composition is the one of the brief: it tells which colours and patterns there are most of."""
    found = {
        "cell side": _sides,
        "colours": _colours,
        "density": _densities,
        "depth": _depths,
        "backing": _backing,
        "light": _light,
        "delivery": _delivery,
    }[way](brief, composition)
    return tuple(Level(way, words, Weights[way] * share, change) for words, share, change in found)


Steps = Iterable[tuple[str, float, Callable[[Brief], Brief]]]


def _redesigned(change: Callable[[Design], Design]) -> Callable[[Brief], Brief]:
    return lambda brief: replace(brief, design=change(brief.design))


def _sides(brief: Brief, composition: Composition) -> Steps:
    """Larger cells, as many as fit."""
    now = Decimal(str(composition.fit.cell_side_mm))
    for factor in LARGER:
        side = _stepped(now * factor, STEP_MM)

        def larger(design: Design, side: Decimal = side) -> Design:
            return replace(design, cell_side_mm=side, columns=None, rows=None)

        if side <= 400:
            yield f"cells of {{side}} instead of {_mm(now)}", float(factor) - 1, _redesigned(larger)


def _colours(brief: Brief, composition: Composition) -> Steps:
    """Fewer infill colours: the rarest gives way to the commonest."""
    counts = Counter(
        {name: int((composition.filament == i).sum()) for i, name in enumerate(composition.filaments)}
    )
    names = [name for name, _ in sorted(counts.items(), key=lambda item: (-item[1], item[0]))]
    for left in range(len(names) - 1, 0, -1):
        kept = frozenset(names[:left])

        def fewer(design: Design, kept: frozenset[str] = kept) -> Design:
            return with_infills(
                design,
                lambda infill: infill if infill.filament in kept else replace(infill, filament=names[0]),
            )

        words = f"{_counted(left, 'infill colour')} instead of {len(names)}"
        yield words, (len(names) - left) / (len(names) - 1), _redesigned(fewer)


def _densities(brief: Brief, composition: Composition) -> Steps:
    """Sparser patterns; last of all the rarest infill is left open."""
    design = brief.design
    dense = _by_density(design, composition.fit.cell_side_mm)
    used = [infill for infill in infills_of(design).values() if infill.pattern != OPEN]
    before: dict[str, str] = {}
    for level, share in enumerate(SPARSER, 1):
        swaps = {
            slug: new for slug in {infill.pattern for infill in used} if (new := _sparser(slug, share, dense))
        }
        if swaps and swaps != before:
            words = ", ".join(_instead(design, swaps))
            yield words, level / (len(SPARSER) + 1), _redesigned(_swapped(swaps))
        before = swaps
    if len(set(used)) > 1:
        rare = _rarest(design, composition)
        words = f"{_name(design, rare.pattern)} in {rare.filament} left open"
        yield (
            words,
            1.0,
            _redesigned(lambda d: with_infills(d, lambda i: replace(i, pattern=OPEN) if i == rare else i)),
        )


def _instead(design: Design, swaps: dict[str, str]) -> Iterator[str]:
    """Such as "cross instead of pinwheel and well crib", once for each new pattern."""
    for new in sorted(set(swaps.values())):
        old = sorted(_name(design, slug) for slug, other in swaps.items() if other == new)
        yield f"{_name(design, new)} instead of {' and '.join(old)}"


def _swapped(swaps: dict[str, str]) -> Callable[[Design], Design]:
    return lambda design: with_infills(
        design, lambda infill: replace(infill, pattern=swaps.get(infill.pattern, infill.pattern))
    )


def _by_density(design: Design, side_mm: float) -> dict[str, float]:
    """Share of the opening that each pattern covers, for those that can be printed at this side."""
    strips = float(design.strip_width_mm), float(design.infill_strip_mm), float(design.clearance_mm)
    found = {}
    for each in (*patterns(design.lattice), *design.own_patterns):
        try:
            if not each.is_open and least_side_mm(each, *strips, float(design.angle_deg)) <= side_mm:
                found[each.slug] = density(each, side_mm, *strips, float(design.angle_deg))
        except Refused:
            continue
    return found


def _sparser(slug: str, share: float, dense: dict[str, float]) -> str | None:
    """The densest pattern that covers no more than this share of what `slug` covers; else None."""
    most = share * dense.get(slug, 0)
    return max(
        (s for s, covered in dense.items() if covered <= most), key=lambda s: (dense[s], s), default=None
    )


def _rarest(design: Design, composition: Composition) -> Infill:
    pieces = Counter(
        (composition.pieces[piece].pattern, composition.filaments[filament])
        for piece, filament in zip(composition.piece.tolist(), composition.filament.tolist(), strict=True)
        if piece >= 0
    )
    used = {infill for infill in infills_of(design).values() if infill.pattern != OPEN}
    return min(used, key=lambda i: (pieces[i.pattern, i.filament], i.pattern, i.filament))


def _depths(brief: Brief, composition: Composition) -> Steps:
    now = brief.design.depth_mm
    for factor in SHALLOWER:
        depth = max(LEAST_DEPTH_MM, _stepped(now * factor, STEP_MM))

        def shallower(design: Design, depth: Decimal = depth) -> Design:
            inside = _stepped(design.infill_depth_mm * depth / now, STEP_MM)
            return replace(design, depth_mm=depth, infill_depth_mm=max(Decimal(2), min(inside, depth)))

        if depth < now:
            yield f"{_mm(depth)} deep instead of {_mm(now)}", float(1 - depth / now), _redesigned(shallower)


def _backing(brief: Brief, composition: Composition) -> Steps:
    """Light needs its diffuser."""
    if brief.design.backing != "none" and not brief.design.lit:
        what = "backing sheet" if brief.design.backing == "sheet" else "diffuser"
        yield f"no {what}", 1.0, _redesigned(lambda design: replace(design, backing="none"))


def _light(brief: Brief, composition: Composition) -> Steps:
    if brief.design.lit:
        yield "not lit", 0.7, _redesigned(lambda design: replace(design, lit=False))
        if brief.design.backing == "diffuser":
            both = _redesigned(lambda design: replace(design, lit=False, backing="none"))
            yield "not lit, no diffuser", 1.0, both


def _delivery(brief: Brief, composition: Composition) -> Steps:
    ways = CHEAPER_DELIVERY.get(brief.terms.delivery, ())
    for level, way in enumerate(ways, 1):

        def cheaper(brief: Brief, way: str = way) -> Brief:
            return replace(brief, terms=replace(brief.terms, delivery=way))  # type: ignore[arg-type]

        yield f"{way} instead of {brief.terms.delivery}", level / 2, cheaper


def _stepped(length_mm: Decimal, step_mm: Decimal) -> Decimal:
    return (length_mm / step_mm).to_integral_value(ROUND_HALF_UP) * step_mm


def _mm(length_mm: Decimal) -> str:
    return f"{length_mm.normalize():f} mm"


def _name(design: Design, slug: str) -> str:
    return pattern_of(design, Infill(pattern=slug, filament="-")).name.lower()


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"
