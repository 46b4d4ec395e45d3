"""Feeds: each run of strips with its lead from the supply, its fuse, and what is lost on the way.

A lead goes from the supply, `LightRules.lead_mm` from the panel's lower left corner, along the panel's sides:
across, then up to where its run begins. Lengths in mm.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from math import floor

from studio.light.catalogue import CLASS_5_OHMS_PER_KM, Fuse, Lead, Lighting, LightRules, LightStrip
from studio.light.copper import lead_drop_v, longest_run_m, strip_drop_v, warm_factor
from studio.light.layout import Chain, Piece, Point
from studio.light.runs import Run, runs_of
from studio.problem import Refused
from studio.voice import at_most, length, number, said

__all__ = ["Feed", "feeds_of", "lead_ohms_per_m", "price_of"]

TOLERANCE = 1e-9


@dataclass(frozen=True, slots=True)
class Feed:
    """`pieces` in order from the feed; `lead_mm` from the supply to the first, `links_mm` from one to the
    next, of the same lead. `drop_v` is lost up to the far end, at most; `drop_percent` of the nominal volts.
    For a strip whose copper is not known, by its longest run."""

    module: int
    pieces: tuple[Piece, ...]
    steps: int
    length_mm: float
    watts: float
    amps: float
    lead: Lead
    lead_mm: float
    links_mm: float
    drop_v: float
    drop_percent: float
    fuse: Fuse


@dataclass(frozen=True, slots=True)
class _Wire:
    """A lead with the fuses that protect it, the cheapest first."""

    lead: Lead
    ohms_per_m: float
    fuses: tuple[Fuse, ...]

    @property
    def most_a(self) -> float:
        return max(fuse.amps for fuse in self.fuses)


@dataclass(frozen=True, slots=True)
class _Way:
    """How current goes to a run and along it, from the end and in the order that take the least lead.
    `weighed_mm` is the lead's length with those of the links, each by the share of the current that flows
    there; `along_v` is lost in the strip."""

    pieces: tuple[Piece, ...]
    steps: int
    amps: float
    lead_mm: float
    links_mm: float
    weighed_mm: float
    along_v: float


def lead_ohms_per_m(lead: Lead, rules: LightRules) -> float:
    """Of one conductor, as warm as the rules have it."""
    return CLASS_5_OHMS_PER_KM[lead.cross_section_mm2] / 1000 * warm_factor(rules.conductor_deg_c)


def price_of(feeds: Sequence[Feed]) -> Decimal:
    """Of leads, to 0.1 mm, and fuses."""
    metres = {feed.lead.code: 0.0 for feed in feeds}
    for feed in feeds:
        metres[feed.lead.code] += (feed.lead_mm + feed.links_mm) / 1000
    prices = {feed.lead.code: feed.lead.price for feed in feeds}
    leads = sum((Decimal(f"{metres[code]:.4f}") * price for code, price in prices.items()), Decimal(0))
    return leads + sum((feed.fuse.price for feed in feeds), Decimal(0))


def feeds_of(
    chains: Sequence[Chain], strip: LightStrip, lighting: Lighting, most_w: float
) -> Iterator[tuple[Feed, ...]]:
    """Ways to feed all chains, each run by the cheapest lead that holds: a way for each lead of the
    catalogue, with runs as long as it allows, so that thicker leads can be weighed against more feeds.
    `most_w` is what one feed may take.

    Raises Refused where no lead feeds as little as one cut step.
    """
    _refuse_unknown(strip)
    wires, rules = sorted(_wires(lighting), key=lambda wire: wire.lead.price), lighting.rules
    known: dict[tuple[Piece, int], _Way] = {}

    def way_of(run: Run) -> _Way:
        key = run.pieces[0], len(run.pieces)
        if key not in known:
            known[key] = _way(run, strip, rules)
        return known[key]

    found: set[tuple[Run, ...]] = set()
    for wire in wires:
        runs = [_runs(chain, wire, strip, rules, most_w, way_of) for chain in chains]
        if all(runs):
            found.add(tuple(run for each in runs for run in each))
    if not found:
        raise _not_fed(wires, strip, rules)
    for way in sorted(found, key=len):
        yield tuple(_fed(run, way_of(run), wires, strip, rules) for run in way)


def _runs(
    chain: Chain,
    wire: _Wire,
    strip: LightStrip,
    rules: LightRules,
    most_w: float,
    way_of: Callable[[Run], _Way],
) -> tuple[Run, ...]:
    """As few as this lead allows, none where it does not feed one cut step."""
    most = _most_steps(chain, wire, strip, rules, most_w)
    while most > 0:
        runs = runs_of(chain, most)
        ways = [way_of(run) for run in runs]
        if all(_drop_percent(way, wire, strip) <= rules.drop_percent + TOLERANCE for way in ways):
            return runs
        most = max(way.steps for way in ways) - 1
    return ()


def _wires(lighting: Lighting) -> Iterator[_Wire]:
    for lead in lighting.leads:
        fuses = [fuse for fuse in lighting.fuses if fuse.amps <= lead.amps]
        if fuses:
            cheapest = tuple(sorted(fuses, key=lambda fuse: (fuse.price, fuse.amps)))
            yield _Wire(lead, lead_ohms_per_m(lead, lighting.rules), cheapest)


def _way(run: Run, strip: LightStrip, rules: LightRules) -> _Way:
    turned = tuple(piece.turned for piece in run.pieces)
    pieces = min((run.pieces, turned, run.pieces[::-1], turned[::-1]), key=_wired_mm)
    steps = sum(piece.steps for piece in pieces)
    amps, lead_mm = steps * strip.watts_per_step / strip.volts, _lead_mm(pieces[0].start, rules)
    before, links_mm, weighed_mm = 0, 0.0, lead_mm
    for piece, following in pairwise(pieces):
        before, link_mm = before + piece.steps, _apart_mm(piece, following)
        links_mm, weighed_mm = links_mm + link_mm, weighed_mm + link_mm * (1 - before / steps)
    along_v = strip_drop_v(amps, steps * strip.cut_mm / 1000, _loop_ohms(strip, rules))
    return _Way(pieces, steps, amps, lead_mm, links_mm, weighed_mm, along_v)


def _drop_percent(way: _Way, wire: _Wire, strip: LightStrip) -> float:
    return 100 * (way.along_v + lead_drop_v(way.amps, way.weighed_mm / 1000, wire.ohms_per_m)) / strip.volts


def _fed(run: Run, way: _Way, wires: Sequence[_Wire], strip: LightStrip, rules: LightRules) -> Feed:
    """By the first lead that holds; a fuse is loaded as far as a supply is."""
    for wire in wires:
        percent = _drop_percent(way, wire, strip)
        fuse = next((each for each in wire.fuses if way.amps <= _carried_a(each, rules)), None)
        if fuse and percent <= rules.drop_percent + TOLERANCE:
            break
    else:
        raise AssertionError("a run within the bounds of a lead holds by that lead")
    return Feed(
        module=run.module,
        pieces=way.pieces,
        steps=way.steps,
        length_mm=way.steps * strip.cut_mm,
        watts=way.steps * strip.watts_per_step,
        amps=way.amps,
        lead=wire.lead,
        lead_mm=way.lead_mm,
        links_mm=way.links_mm,
        drop_v=percent * strip.volts / 100,
        drop_percent=percent,
        fuse=fuse,
    )


def _carried_a(fuse: Fuse, rules: LightRules) -> float:
    return fuse.amps * rules.load_percent / 100 + TOLERANCE


def _loop_ohms(strip: LightStrip, rules: LightRules) -> float:
    """Of the strip's own copper. Where only its longest run is known, that run is taken to lose all that may
    be lost, so that a lead before it makes it shorter: from (w L/V) r L/2 = drop."""
    if strip.ohms_per_m is not None:
        return strip.ohms_per_m * warm_factor(rules.conductor_deg_c)
    drop_v, run_m = strip.volts * rules.drop_percent / 100, (strip.longest_run_mm or 0.0) / 1000
    return 2 * drop_v * strip.volts / (strip.watts_per_m * run_m**2)


def _lead_mm(to: Point, rules: LightRules) -> float:
    return rules.lead_mm + to[0] + to[1]


def _wired_mm(pieces: tuple[Piece, ...]) -> float:
    """Lead along the panel's sides and between pieces."""
    return sum(pieces[0].start) + sum(_apart_mm(*pair) for pair in pairwise(pieces))


def _apart_mm(piece: Piece, following: Piece) -> float:
    (x0, y0), (x1, y1) = piece.end, following.start
    return abs(x1 - x0) + abs(y1 - y0)


def _most_steps(chain: Chain, wire: _Wire, strip: LightStrip, rules: LightRules, most_w: float) -> int:
    """The most cut steps of a run by this lead, were it to begin at the place nearest to the supply."""
    nearest_mm = min(_lead_mm(end, rules) for piece in chain.pieces for end in (piece.start, piece.end))
    lead_ohms = 2 * wire.ohms_per_m * nearest_mm / 1000
    drop_v, loop = strip.volts * rules.drop_percent / 100, _loop_ohms(strip, rules)
    most_m = min(
        longest_run_m(strip.volts, strip.watts_per_m, drop_v, lead_ohms, loop),
        wire.most_a * rules.load_percent / 100 * strip.volts / strip.watts_per_m,
        (strip.longest_run_mm or float("inf")) / 1000,
        most_w / strip.watts_per_m,
    )
    return floor(most_m * 1000 / strip.cut_mm + TOLERANCE)


def _refuse_unknown(strip: LightStrip) -> None:
    if strip.ohms_per_m is None and strip.longest_run_mm is None:
        raise Refused.because(
            f"rate_book.lighting.strips.{strip.code}.ohms_per_m",
            f"nobody says how far {strip.text} can be fed",
            "give the ohms per metre of its copper, or its longest run from one feed",
        )


def _not_fed(wires: Sequence[_Wire], strip: LightStrip, rules: LightRules) -> Refused:
    """Why nothing feeds one cut step; that a supply carries it was seen before."""
    if not wires:
        return Refused.because(
            "rate_book.lighting.fuses",
            "there is no lead with a fuse that is no larger than what it may carry",
            "add a lead, or a smaller fuse",
        )
    longest_mm = strip.longest_run_mm
    if longest_mm is not None and strip.cut_mm > longest_mm:
        told = "{} is cut every {}, and from one feed it may be {} long"
        reason = said(told, strip.text, length(strip.cut_mm), length(longest_mm))
        field = f"rate_book.lighting.strips.{strip.code}.cut_mm"
        return Refused.because(field, reason, said("a cut step of at most {}", at_most(longest_mm)))
    most_a, least_a = max(wire.most_a for wire in wires), strip.watts_per_step / strip.volts
    if least_a > most_a * rules.load_percent / 100:
        told = "one cut step of {} takes {} A, and no fuse carries that at {} %"
        reason = said(told, strip.text, number(least_a), number(rules.load_percent))
        return Refused.because("rate_book.lighting.fuses", reason, "a larger fuse, on a lead for it")
    told = "behind the longest lead, not one cut step of {} stays within a drop of {} %"
    reason = said(told, strip.text, number(rules.drop_percent))
    return Refused.because("rate_book.lighting.leads", reason, "a thicker lead, or a supply that is nearer")
