"""What sets one priced option apart from another: the difference in money and what makes it."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from studio.estimate.result import Estimate

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
        Share(
            code, text, sum((line.amount for line in found.price.lines if line.group in groups), Decimal(0))
        )
        for code, text, groups in GROUPS
    )


def compare(first: Estimate, second: Estimate) -> Comparison:
    """Both in one currency."""
    consumer = second.brief.terms.client_kind == "consumer"
    prices = [each.price.gross if consumer else each.price.net for each in (first, second)]
    groups = tuple(zip(money_by_group(first), money_by_group(second), strict=True))
    reasons = sorted(_reasons(first, second, groups), key=lambda reason: -reason[0])
    return Comparison(prices[1] - prices[0], tuple(words for _, words in reasons[:MOST_REASONS]), groups)


def _reasons(
    first: Estimate, second: Estimate, groups: tuple[tuple[Share, Share], ...]
) -> Iterator[tuple[Decimal, str]]:
    """Each with the money that it moves."""
    moved = {a.code: abs(b.amount - a.amount) for a, b in groups}
    hours = [sum(each.plan.minutes_by_printer.values()) / 60 for each in (first, second)]
    if words := _more(hours[1] - hours[0], "h", "printing"):
        yield moved["machine"] + moved["reprints"], words
    labour = [float(each.price.labour_minutes) / 60 for each in (first, second)]
    if words := _more(labour[1] - labour[0], "h", "work"):
        yield moved["labour"] + moved["overhead"], words
    mass = [each.plan.panel_mass_g / 1000 for each in (first, second)]
    if words := _more(mass[1] - mass[0], "kg", "filament", 1):
        yield moved["material"], words
    colours = second.bill.colours - first.bill.colours
    if colours:
        yield _lines(first, second, ("labour.samples",)), _counted(colours, "colour")
    pieces = [sum(part.count for part in each.bill.infills) for each in (first, second)]
    if pieces[0] != pieces[1]:
        handled = tuple(f"labour.{code}-infill" for code in ("clean", "sort", "place", "glue"))
        yield _lines(first, second, handled), _counted(pieces[1] - pieces[0], "piece")
    yield from _extras(first, second)


def _extras(first: Estimate, second: Estimate) -> Iterator[tuple[Decimal, str]]:
    was, now = first.brief.design, second.brief.design
    if was.backing != now.backing:
        names = {"none": "no backing", "sheet": "a backing sheet", "diffuser": "a diffuser"}
        yield (
            _lines(first, second, ("bought.sheet", "bought.diffuser", "labour.back-panel")),
            names[now.backing],
        )
    if was.lit != now.lit:
        light = ("bought.strip", "bought.supply", "bought.dimmer", "labour.wire", "labour.lay-light")
        yield _lines(first, second, light), "a light" if now.lit else "no light"
    if first.brief.terms.delivery != second.brief.terms.delivery:
        trip = ("bought.vehicle", "labour.load", "labour.travel", "labour.install")
        yield _lines(first, second, trip), second.brief.terms.delivery


def _lines(first: Estimate, second: Estimate, codes: tuple[str, ...]) -> Decimal:
    """The money that lines of these codes move."""
    sums = [
        sum((line.amount for line in e.price.lines if line.code in codes), Decimal(0))
        for e in (first, second)
    ]
    return abs(sums[1] - sums[0])


def _more(difference: float, unit: str, what: str, digits: int = 0) -> str:
    """Such as "61 h more printing"; empty where the difference rounds to nothing."""
    amount = round(abs(difference), digits)
    if not amount:
        return ""
    return f"{amount:.{digits}f} {unit} {'more' if difference > 0 else 'less'} {what}"


def _counted(difference: int, noun: str) -> str:
    count = abs(difference)
    return f"{count:,} {'more' if difference > 0 else 'fewer'} {noun}{'s' if count != 1 else ''}"
