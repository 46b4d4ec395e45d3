"""What sets one priced option apart from another: the difference in money and what makes it."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from studio.estimate.result import Estimate
from studio.lattice.design import Design
from studio.pricing.labour import BY_MODULE
from studio.pricing.rate_book import Per
from studio.pricing.rates import plain
from studio.pricing.sheet import PriceLine, PriceSheet
from studio.pricing.terms import Survey
from studio.voice import count, distance, mass, said

__all__ = ["Comparison", "Share", "compare", "money_by_group"]

GROUPS = (
    ("material", "material", ("material",)),
    ("machine", "printing", ("machine",)),
    ("labour", "labour", ("labour",)),
    ("bought-in", "bought in", ("bought-in",)),
    ("reprints", "reprints", ("reprints",)),
    ("overhead", "overhead", ("overhead",)),
    ("shares", "fees and commission", ("shares",)),
    ("margin", "margin", ("margin", "adjustment")),
)
"""Where the money of a net price goes; what lifts or lowers the price after the margin is the margin's."""
MOST_REASONS = 4
TRIP = ("delivery", "hanging")
SURVEY: dict[Survey, str] = {
    "trip": "a trip to measure", "by the client": "measured by the client", "none": "no survey"
}  # fmt: skip
"""Headings of what is not there when a panel is collected."""

Reason = tuple[Decimal, str]


@dataclass(frozen=True, slots=True)
class Share:
    """One group of a net price."""

    code: str
    text: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Comparison:
    """`more` is what the second option costs more than the first, by the price that the client reads first;
    negative when it costs less. `reasons` say why in plain words, the ones with most money first."""

    more: Decimal
    reasons: tuple[str, ...]
    groups: tuple[tuple[Share, Share], ...]


def money_by_group(found: Estimate) -> tuple[Share, ...]:
    """Where the money of the net price goes; the amounts add up to net."""
    return tuple(
        Share(code, text, _sum(line.amount for line in found.price.lines if line.group in groups))
        for code, text, groups in GROUPS
    )


def compare(first: Estimate, second: Estimate) -> Comparison:
    """Both in one currency."""
    gross = second.brief.terms.gross_first
    prices = [each.price.gross if gross else each.price.net for each in (first, second)]
    groups = tuple(zip(money_by_group(first), money_by_group(second), strict=True))
    reasons = sorted(_reasons(first, second), key=lambda reason: -reason[0])
    return Comparison(prices[1] - prices[0], tuple(words for _, words in reasons[:MOST_REASONS]), groups)


def _reasons(first: Estimate, second: Estimate) -> Iterator[Reason]:
    """Each with the money of the net price that it moves. A cost moves more than itself: what is put on it
    goes with it."""
    share = first.price.net / first.price.cost if first.price.cost else Decimal(1)
    for reasons in (_made, _designed, _placed):
        yield from ((share * cost, words) for cost, words in reasons(first, second))
    yield from ((money, words) for money, words in _agreed(first, second) if money)


def _made(first: Estimate, second: Estimate) -> Iterator[Reason]:
    """What there is more or less of."""
    hours = [sum(each.plan.minutes_by_printer.values()) / 60 for each in (first, second)]
    if words := _more(hours[1] - hours[0], "printing"):
        yield _in_groups(first, second, "machine", "reprints"), words
    labour = [float(each.price.labour_minutes) / 60 for each in (first, second)]
    if words := _more(labour[1] - labour[0], "work"):
        yield _in_groups(first, second, "labour", "overhead"), words
    grams = [sum(use.mass_g for use in each.plan.filaments) for each in (first, second)]
    if round(more_g := abs(grams[1] - grams[0]), -2):
        words = said("{} {} filament", mass(more_g), "more" if grams[1] > grams[0] else "less")
        yield _in_groups(first, second, "material"), words
    if more := second.bill.colours - first.bill.colours:
        yield _counted_by(first, second, "colour"), _fewer(more, "colour")
    pieces = [sum(part.count for part in each.bill.infills) for each in (first, second)]
    if more := pieces[1] - pieces[0]:
        yield _counted_by(first, second, "infill", "glued infill"), _fewer(more, "piece")
    if more := len(second.bill.modules) - len(first.bill.modules):
        yield _counted_by(first, second, "module", "edged module", "site joint"), _fewer(more, "module")


def _designed(first: Estimate, second: Estimate) -> Iterator[Reason]:
    """What was put in or left out of the design."""
    was, now = first.brief.design, second.brief.design
    if was.backing != now.backing:
        money = _counted_by(first, second, "backed panel", "sheet square metre", "diffuser square metre")
        yield money, {"none": "no backing", "sheet": "a backing sheet", "diffuser": "a diffuser"}[now.backing]
    if was.lit != now.lit:
        yield _for_light(first, second), "a light" if now.lit else "no light"
    elif now.lit and _light(was) != _light(now):
        yield _for_light(first, second), "another light"
    widths = was.edging_width_mm, now.edging_width_mm
    if widths[0] != widths[1]:
        yield _counted_by(first, second, "edged module"), _change(*widths, "edging", ("narrower", "wider"))


def _placed(first: Estimate, second: Estimate) -> Iterator[Reason]:
    """Where the panel goes and how it is held there, as far as that costs anything."""
    was, now = first.brief.space.mounting, second.brief.space.mounting
    hangers = _counted_by(first, second, "hanger")
    if was != now and hangers:
        yield hangers, "hung on a wall" if now == "wall" else now
    ways = [each.brief.terms.distance_km or Decimal(0) for each in (first, second)]
    further = ways[1] - ways[0]
    trips = _counted_by(first, second, "survey kilometre", "kilometre")
    if further and trips:
        yield trips, said("{} {}", distance(abs(further)), "further" if further > 0 else "nearer")


def _agreed(first: Estimate, second: Estimate) -> Iterator[Reason]:
    """Terms, by the lines of the price that they make."""
    was, now = first.brief.terms, second.brief.terms
    if was.delivery != now.delivery:
        sums = [_for_trips(each.price) for each in (first, second)]
        yield abs(sums[1] - sums[0]), now.delivery
    if was.survey != now.survey:
        moved = _counted_by(first, second, "survey", "survey kilometre", "measurements sent")
        yield moved, SURVEY[now.survey]
    off = [-_sum(line.amount for line in e.price.lines if line.code == "discount") for e in (first, second)]
    given = [(each.kind, each.value) if each else None for each in (was.discount, now.discount)]
    if given[0] != given[1] and off[0] != off[1]:
        yield abs(off[1] - off[0]), _change(off[0], off[1], "discount", ("smaller", "larger"))
    if was.referral != now.referral:
        money = _moved(first, second, lambda line: line.code == "referral")
        yield money, "a referral" if now.referral else "no referral"
    if was.tax != now.tax and now.gross_first:
        yield _tax_moved(first, second), _tax_words(second)


def _for_trips(price: PriceSheet) -> Decimal:
    """Of the net price, also where lines hold their tax."""
    paid = _sum(line.amount for line in price.client_lines if line.code in TRIP)
    return paid * price.net / price.gross if price.lines_with_tax and price.gross else paid


def _tax_moved(first: Estimate, second: Estimate) -> Decimal:
    """What the categories alone move: the rest of the tax follows the net price."""
    was, now = first.price, second.price
    return abs(now.tax - was.tax * now.net / was.net) if was.net else now.tax


def _tax_words(found: Estimate) -> str:
    return ", ".join(f"{line.text} {plain(line.percent)} %" for line in found.price.taxes)


def _in_groups(first: Estimate, second: Estimate, *groups: str) -> Decimal:
    return _moved(first, second, lambda line: line.group in groups)


def _counted_by(first: Estimate, second: Estimate, *pers: Per) -> Decimal:
    """The cost that lines counted by these move, whatever a studio calls them: what a line of labour or of a
    bought-in thing is counted by stands first in its working."""

    names = {*pers, *(BY_MODULE[per] for per in pers if per in BY_MODULE)}

    def counted(line: PriceLine) -> bool:
        return line.group in ("labour", "bought-in") and line.working.inputs[0].name in names

    return _moved(first, second, counted)


def _light(design: Design) -> tuple[object, ...]:
    return design.light_layout, design.light_strip, design.light_control, design.light_diffuser_mm


def _for_light(first: Estimate, second: Estimate) -> Decimal:
    """By what is counted, and what the catalogue has."""
    listed = _moved(first, second, lambda line: line.code.startswith("lighting."))
    return listed + _counted_by(first, second, "light metre", "lit panel", "feed", "light supply")


def _moved(first: Estimate, second: Estimate, chosen: Callable[[PriceLine], bool]) -> Decimal:
    was, now = (_sum(line.amount for line in each.price.lines if chosen(line)) for each in (first, second))
    return abs(now - was)


def _sum(amounts: Iterable[Decimal]) -> Decimal:
    return sum(amounts, Decimal(0))


def _change(was: Decimal, now: Decimal, noun: str, less_or_more: tuple[str, str]) -> str:
    """Such as "no edging", "an edging", "a wider edging"."""
    if not now:
        return f"no {noun}"
    if not was:
        return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"
    return f"a {less_or_more[now > was]} {noun}"


def _more(hours: float, what: str) -> str:
    """Such as "61 h more printing"; empty where the difference rounds to nothing."""
    if not (amount := round(abs(hours))):
        return ""
    return said("{} h {} {}", amount, "more" if hours > 0 else "less", what)


def _fewer(difference: int, noun: str) -> str:
    return said("{}", count(abs(difference), f"{'more' if difference > 0 else 'fewer'} {noun}"))
