"""An issue's figures as texts: what the screen and the PDF both show, so that no figure can differ."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from studio.commissions.date_words import place_words
from studio.lattice.origin import TAPED
from studio.proposals.tax_shown import (
    Sum,
    Which,
    by_rate,
    first_of,
    is_taxed,
    price_name,
    reasons,
    tax_of_line,
    tax_point,
    totals_shown,
    words_of,
)
from studio.voice import Voice

__all__ = ["Payment", "SheetShown", "ShownOption", "Sum", "Swatch", "place_of", "shown", "voice_in"]


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
    told); `price_is` names the price without its noun; `reasons` say why there is no tax, `tax_point` when
    it is due (empty where there is none)."""

    letter: str
    paragraph: str
    size: str
    cells: str
    pieces: str
    mass: str
    price: Sum
    price_is: str
    also: Sum | None
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
    reasons: tuple[str, ...]

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


def shown(figures: dict[str, Any], discount: str = "", tax_number: str = "") -> SheetShown:
    """`figures` is a frozen document of a known schema, in the first of which an option's workings tell of an
    annex; `discount` is the parties' reason for one, `tax_number` the client's."""
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
            _option(option, first_of(option, figures["client_kind"]), discount, tax_number, voice)
            for option in figures["options"]
        ),
        annex=figures.get("annex", any("workings" in option for option in figures["options"])),
    )


def _option(
    option: dict[str, Any], first: Which, discount: str, tax_number: str, voice: Voice
) -> ShownOption:
    found, firm = option["estimate"], _firm(option)
    other: Which = "net" if first == "gross" else "gross"
    return ShownOption(
        letter=option["letter"],
        paragraph=option["paragraph"],
        size=f"{voice.length(found['fit']['width_mm'])} wide, {voice.length(found['fit']['height_mm'])} high",
        cells=_cells(found["cells"], voice),
        pieces=voice.number(sum(infill["count"] for infill in found["infills"])),
        mass=_mass(found, firm, voice),
        price=_price(found, first, firm, voice),
        price_is=words_of(found, first) if firm else f"{words_of(found, first)}, unmeasured".lstrip(", "),
        also=_price(found, other, firm, voice) if is_taxed(found) else None,
        lines=tuple(_lines(found, discount, voice)),
        totals=tuple(totals_shown(found, "" if firm else ", for the size as said", voice)),
        deposits=tuple(_deposits(found, voice)),
        range=_range(found, first, firm, voice),
        firm=firm,
        ready=voice.day(found.get("held_on", found["ready_on"])),
        ready_if=_ready_if(found, firm, voice),
        hung=_hung(option, voice),
        palette=tuple(_swatch(row, voice) for row in option["palette"]),
        included=tuple(option["included"]),
        tax_point=tax_point(found, option.get("deposit_is_tax_point", False)),
        wanted=option.get("wanted", {}).get("text", ""),
        carried=option["terms"]["delivery"] == "sent by carrier",
        reasons=tuple(reasons(found, tax_number)),
    )


def _firm(option: dict[str, Any]) -> bool:
    """Whether the space was measured, whoever did."""
    space = option["space"]
    taped = {space.get("width_origin"), space.get("height_origin")} <= set(TAPED)
    return option["estimate"]["price_range"] is None or taped


def _price(found: dict[str, Any], which: Which, firm: bool, voice: Voice) -> Sum:
    """Never a single figure for a space that was not measured."""
    if firm:
        return Sum(price_name(found, which), voice.money(found[which]))
    return Sum(f"{price_name(found, which)}, unmeasured", _span(found, which, voice))


def _span(found: dict[str, Any], which: str, voice: Voice) -> str:
    return " to ".join(dict.fromkeys(map(voice.money, found["price_range"][which])))


def _mass(found: dict[str, Any], firm: bool, voice: Voice) -> str:
    one = [found["panel_mass_g"]]
    masses = one if firm else found["price_range"].get("masses_g", one)
    return " to ".join(dict.fromkeys(map(voice.mass, masses)))


def _lines(found: dict[str, Any], discount: str, voice: Voice) -> Iterator[Sum]:
    """Where there are several taxes, each line says its own."""
    taxes = tax_of_line(found, voice)
    for line in found["client_lines"]:
        reason = f": {discount}" if line["code"] == "discount" and discount else ""
        text = line["text"] + reason + taxes.get(line["tax"], "")
        yield Sum(text, voice.money(line["amount"]))


def _cells(cells: dict[str, int], voice: Voice) -> str:
    kinds = [(kind, cells[kind]) for kind in ("whole", "half", "quarter") if cells[kind]]
    return ", ".join(f"{voice.number(count)} {kind}" for kind, count in kinds)


def _deposits(found: dict[str, Any], voice: Voice) -> Iterator[Payment]:
    for part in found["deposits"]:
        tax = voice.money(part["tax"]) if Decimal(part["tax"]) else ""
        text = f"{part['text']}, {voice.percent(part['percent'])}"
        yield Payment(text, voice.money(part["gross"]), tax, tuple(by_rate(part, voice)))


def _range(found: dict[str, Any], first: Which, firm: bool, voice: Voice) -> str:
    known = found["price_range"]
    if known is None:
        return ""
    span = _span(found, first, voice)
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
