"""An issue's figures as texts: what the screen and the PDF both show, so that no figure can differ."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from studio.commissions.date_words import place_words
from studio.lattice.origin import TAPED
from studio.voice import Voice

__all__ = ["Payment", "SheetShown", "ShownOption", "Sum", "Swatch", "place_of", "shown", "voice_in"]


@dataclass(frozen=True, slots=True)
class Sum:
    """A text with its amount."""

    text: str
    amount: str


@dataclass(frozen=True, slots=True)
class Payment:
    """One payment with the tax in it (empty where there is none); `by_rate` where it is of several rates."""

    text: str
    amount: str
    tax: str
    by_rate: tuple[Sum, ...] = ()


@dataclass(frozen=True, slots=True)
class Swatch:
    """One filament in one use; `count` is empty for lattice and edging."""

    name: str
    filament: str
    colour: str
    count: str


@dataclass(frozen=True, slots=True)
class ShownOption:
    """`price` is the one that this client reads first; for an unmeasured space it is a range. `range` says
    why, or between what the price of a space that the client taped may still come to lie; only what is
    `firm` can be approved. `totals` begins with the lines' sum: what is paid, of
    which the tax in it and the rest follow, or what tax is added to. `ready` is the day that is
    promised, `hung` where the panel is from which day on (empty where nobody brings it or that was not
    told); `tax_point` says when tax is due (empty where there is none)."""

    letter: str
    paragraph: str
    size: str
    cells: str
    pieces: str
    mass: str
    price: Sum
    also: Sum
    lines: tuple[Sum, ...]
    totals: tuple[Sum, ...]
    deposits: tuple[Payment, ...]
    range: str
    firm: bool
    ready: str
    ready_if: str
    hung: str
    palette: tuple[Swatch, ...]
    included: tuple[str, ...]
    tax_point: str
    wanted: str
    carried: bool

    @property
    def several_taxes(self) -> bool:
        """Net and gross, and more than one tax between them."""
        return len(self.totals) > 3

    @property
    def colours(self) -> tuple[Swatch, ...]:
        """Each filament once, in the order of the palette."""
        return tuple({swatch.filament: swatch for swatch in reversed(self.palette)}.values())[::-1]


@dataclass(frozen=True, slots=True)
class SheetShown:
    """`annex` tells that the client was given the workings on paper."""

    number: str
    issue: int
    issued_on: str
    issued_iso: str
    valid_until: str
    cautions: tuple[str, ...]
    terms_text: str
    options: tuple[ShownOption, ...]
    annex: bool

    @property
    def unmeasured(self) -> bool:
        return not all(option.firm for option in self.options)

    @property
    def tax_points(self) -> tuple[str, ...]:
        """When tax is due, once; by option where rates of different days say different things."""
        texts = {option.tax_point for option in self.options if option.tax_point}
        if len(texts) < 2:
            return tuple(texts)
        return tuple(f"Option {o.letter}: {o.tax_point}" for o in self.options if o.tax_point)

    def option(self, letter: str) -> ShownOption | None:
        return next((option for option in self.options if option.letter == letter), None)


def voice_in(figures: Mapping[str, Any]) -> Voice:
    """How the studio wrote when this was issued."""
    return Voice(figures["locale"], figures["units"], figures["currency"])


def shown(figures: dict[str, Any], discount: str = "") -> SheetShown:
    """`figures` is a frozen document of a known schema, in the first of which an option's workings tell of an
    annex; `discount` is the parties' reason for one."""
    voice = voice_in(figures)
    return SheetShown(
        number=figures["number"],
        issue=figures["issue"],
        issued_on=voice.day(figures["issued_on"]),
        issued_iso=figures["issued_on"],
        valid_until=voice.day(figures["valid_until"]),
        cautions=tuple(figures["cautions"]),
        terms_text=figures["terms_text"],
        options=tuple(
            _option(option, figures["client_kind"], discount, voice) for option in figures["options"]
        ),
        annex=figures.get("annex", any("workings" in option for option in figures["options"])),
    )


def _option(option: dict[str, Any], client_kind: str, discount: str, voice: Voice) -> ShownOption:
    found, firm = option["estimate"], _firm(option)
    net, gross = _price(found, "net", firm, voice), _price(found, "gross", firm, voice)
    price, also = (gross, net) if client_kind == "consumer" else (net, gross)
    return ShownOption(
        letter=option["letter"],
        paragraph=option["paragraph"],
        size=f"{voice.length(found['fit']['width_mm'])} wide, {voice.length(found['fit']['height_mm'])} high",
        cells=_cells(found["cells"], voice),
        pieces=voice.number(sum(infill["count"] for infill in found["infills"])),
        mass=_mass(found, firm, voice),
        price=price,
        also=also,
        lines=tuple(_lines(found, discount, voice)),
        totals=tuple(_totals(found, firm, voice)),
        deposits=tuple(_deposits(found, voice)),
        range=_range(found, client_kind, firm, voice),
        firm=firm,
        ready=voice.day(found.get("held_on", found["ready_on"])),
        ready_if=_ready_if(found, firm, voice),
        hung=_hung(option, voice),
        palette=tuple(_swatch(row, voice) for row in option["palette"]),
        included=tuple(option["included"]),
        tax_point=_tax_point(found, option.get("deposit_is_tax_point", False)),
        wanted=option.get("wanted", {}).get("text", ""),
        carried=option["terms"]["delivery"] == "sent by carrier",
    )


PRICES = {"net": "Price without tax", "gross": "Price with tax"}


def _firm(option: dict[str, Any]) -> bool:
    """Whether the space was measured, whoever did."""
    space = option["space"]
    taped = {space.get("width_origin"), space.get("height_origin")} <= set(TAPED)
    return option["estimate"]["price_range"] is None or taped


def _price(found: dict[str, Any], which: str, firm: bool, voice: Voice) -> Sum:
    """Never a single figure for a space that was not measured."""
    if firm:
        return Sum(PRICES[which], voice.money(found[which]))
    return Sum(f"{PRICES[which]}, unmeasured", _span(found, which, voice))


def _span(found: dict[str, Any], which: str, voice: Voice) -> str:
    return " to ".join(dict.fromkeys(map(voice.money, found["price_range"][which])))


def _mass(found: dict[str, Any], firm: bool, voice: Voice) -> str:
    one = [found["panel_mass_g"]]
    masses = one if firm else found["price_range"].get("masses_g", one)
    return " to ".join(dict.fromkeys(map(voice.mass, masses)))


def _lines(found: dict[str, Any], discount: str, voice: Voice) -> Iterator[Sum]:
    """Where there are several taxes, each line says its own."""
    percents = {tax["code"]: f" ({voice.percent(tax['percent'])} tax)" for tax in found["taxes"]}
    several = len(percents) > 1
    for line in found["client_lines"]:
        reason = f": {discount}" if line["code"] == "discount" and discount else ""
        text = line["text"] + reason + (percents[line["tax"]] if several else "")
        yield Sum(text, voice.money(line["amount"]))


def _cells(cells: dict[str, int], voice: Voice) -> str:
    kinds = [(kind, cells[kind]) for kind in ("whole", "half", "quarter") if cells[kind]]
    return ", ".join(f"{voice.number(count)} {kind}" for kind, count in kinds)


def _totals(found: dict[str, Any], firm: bool, voice: Voice) -> Iterator[Sum]:
    size = "" if firm else ", for the size as said"
    first, last = ("gross", "net") if found.get("lines_with_tax") else ("net", "gross")
    yield Sum(PRICES[first] + size, voice.money(found[first]))
    for tax in found["taxes"]:
        base = f" of {voice.money(tax['net'])}" if len(found["taxes"]) > 1 else ""
        within = "in it: " if first == "gross" else ""
        yield Sum(f"{within}{tax['text']}, {voice.percent(tax['percent'])}{base}", voice.money(tax["tax"]))
    yield Sum(PRICES[last] + size, voice.money(found[last]))


def _deposits(found: dict[str, Any], voice: Voice) -> Iterator[Payment]:
    for part in found["deposits"]:
        tax = voice.money(part["tax"]) if Decimal(part["tax"]) else ""
        text = f"{part['text']}, {voice.percent(part['percent'])}"
        yield Payment(text, voice.money(part["gross"]), tax, tuple(_by_rate(part, voice)))


def _by_rate(part: dict[str, Any], voice: Voice) -> Iterator[Sum]:
    taxes = [tax for tax in part.get("taxes", ()) if Decimal(tax["tax"])]
    if len(taxes) > 1:
        for tax in taxes:
            yield Sum(f"{voice.percent(tax['percent'])} tax", voice.money(tax["tax"]))


def _tax_point(found: dict[str, Any], with_deposits: bool) -> str:
    if not Decimal(found["tax"]):
        return ""
    if with_deposits:
        return "Tax is due with each payment, as it says beside it; local tax rules decide."
    return (
        "Tax on the whole price is invoiced at hand-over; what stands beside each payment is the tax in it. "
        "Local tax rules decide."
    )


def _range(found: dict[str, Any], client_kind: str, firm: bool, voice: Voice) -> str:
    known = found["price_range"]
    if known is None:
        return ""
    span = _span(found, "gross" if client_kind == "consumer" else "net", voice)
    span = span if known.get("whole", True) else f"{span}, and may be outside of it"
    if firm:
        return (
            "The price is for the size that you taped. We tape it ourselves before anything is made; for "
            f"what we may find the price is {span}."
        )
    return (
        f"The space has not been measured yet. For a size about as said the price is {span}; it is settled "
        "once we have measured."
    )


def _ready_if(found: dict[str, Any], firm: bool, voice: Voice) -> str:
    size = "" if firm else "for the size as said, "
    days = found.get("held_working_days", found["working_days"])
    counted = voice.count(days, "working day")
    return (
        f"{size}{counted} from cleared deposit and approved colours, if that is by "
        f"{voice.day(found['starts_on'])}"
    )


def place_of(option: dict[str, Any]) -> str:
    """Where the panel is after the appointment."""
    return place_words(option["terms"]["delivery"], option["space"]["mounting"])


def _hung(option: dict[str, Any], voice: Voice) -> str:
    """Where the panel is from which day; figures from before 0.3.0 count that into being ready."""
    day = option["estimate"].get("hung_from")
    return f"{place_of(option)} from {voice.day(day)}" if day else ""


def _swatch(row: dict[str, Any], voice: Voice) -> Swatch:
    count = "" if row["count"] is None else voice.number(row["count"])
    return Swatch(row["name"], row["filament"], row["colour"], count)
