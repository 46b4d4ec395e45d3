"""The documents of an issue: `figures`, all that a client may know and nothing personal; `parties`, which is
all that is personal; `making` for the workshop and `costs` for the studio alone.

All are canonical JSON bytes with a SHA-256 each. The seal covers figures and parties; the figures hold the
digests of the others. Golden files in tests/proposals hold the documents of each schema: a change of shape
needs a new SCHEMA and new files. In schema 1 the figures held the studio's lines, cost and margin too, and
there were no other documents.
"""

import zlib
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import date
from hashlib import sha256
from typing import Any

from studio.document import canonical, dump
from studio.drawing.elevation import elevation_svg
from studio.drawing.legend import legend
from studio.drawing.thumbnail import thumbnail_svg
from studio.estimate.costs_report import costs_report
from studio.estimate.engine import ENGINE
from studio.estimate.making_report import making_report
from studio.estimate.report import for_client
from studio.estimate.result import Estimate
from studio.lattice.patterns import pattern
from studio.pricing.rate_book import RateBook
from studio.pricing.tax_customs import due_with_payments
from studio.proposals.included import included
from studio.voice import Units, Voice

__all__ = [
    "SCHEMA", "Frozen", "Heading", "OptionSent", "figures_of", "freeze", "option_figures",
    "seal_of", "unpacked",
]  # fmt: skip

SCHEMA = 2
DISCOUNT = "Discount"
"""All that the figures say of it; the reason stands in the parties."""
DOMAIN = b"jigumi: seal of a proposal issue, form 1\0"


@dataclass(frozen=True, slots=True)
class Heading:
    """What an issue says of itself; the texts are the studio's, never a client's."""

    number: str
    issue: int
    issued_on: date
    valid_until: date
    locale: str
    units: Units
    paper: str
    terms_text: str

    @property
    def voice(self) -> Voice:
        return Voice(self.locale, self.units)


@dataclass(frozen=True, eq=False)
class OptionSent:
    """One option on its way into an issue, with the rates that it was estimated with. `colours` maps filament
    names to "#rrggbb"; `paragraph` is the option in words. `wanted` is where the client gave a day by which
    they want it: that day and, in words, whether it holds."""

    letter: str
    estimate: Estimate
    colours: Mapping[str, str]
    paragraph: str
    book: RateBook
    rate_book_sha256: str
    wanted: tuple[date, str] | None = None


@dataclass(frozen=True, slots=True)
class Frozen:
    """An issue's documents as bytes; all but the first two are packed."""

    figures: bytes
    parties: bytes
    drawings: bytes
    making: bytes
    costs: bytes

    @property
    def figures_sha256(self) -> str:
        return sha256(self.figures).hexdigest()

    @property
    def parties_sha256(self) -> str:
        return sha256(self.parties).hexdigest()

    @property
    def seal(self) -> str:
        return seal_of(self.figures_sha256, self.parties_sha256)


def seal_of(figures_sha256: str, parties_sha256: str) -> str:
    """SHA-256 over both digests, under a name of its own, so that no other digest can pass for a seal."""
    return sha256(DOMAIN + bytes.fromhex(figures_sha256) + bytes.fromhex(parties_sha256)).hexdigest()


def freeze(
    heading: Heading,
    options: tuple[OptionSent, ...],
    parties: Mapping[str, Any],
    salt: str,
    *,
    annex: bool = False,
) -> Frozen:
    """`parties` are plain JSON values with a salt of the caller's among them; the reason of a discount, which
    may be personal, joins them. `salt` goes into the costs, which nobody is to guess by their digest. With
    `annex` the client is given them on paper: what each line and total costs, and how it comes about."""
    voice = heading.voice
    packed = {
        "drawings": canonical({option.letter: _drawings(option, voice) for option in options}),
        "making": canonical({o.letter: making_report(o.estimate, o.book) for o in options}),
        "costs": canonical({"salt": salt, "options": {o.letter: _costs(o) for o in options}}),
    }
    digests = {f"{name}_sha256": sha256(document).hexdigest() for name, document in packed.items()}
    figures = {**figures_of(heading, options), "annex": annex, **digests}
    given = options[0].estimate.brief.terms.discount
    personal = {"schema": SCHEMA, "discount": given.reason if given else "", **parties}
    return Frozen(
        canonical(figures),
        canonical(personal),
        **{name: zlib.compress(document, level=6) for name, document in packed.items()},
    )


def unpacked(packed: bytes) -> bytes:
    """The bytes that `figures` gives the digest of."""
    return zlib.decompress(packed)


def figures_of(heading: Heading, options: tuple[OptionSent, ...]) -> dict[str, Any]:
    """Everything that was promised, and nothing that a client may not know."""
    terms = options[0].estimate.brief.terms
    return {
        "schema": SCHEMA,
        "engine": ENGINE,
        **dump(heading),
        "client_kind": terms.client_kind,
        "currency": options[0].estimate.price.currency,
        "cautions": _merged(option.estimate.cautions for option in options),
        "options": [option_figures(option, heading.voice) for option in options],
    }


def option_figures(option: OptionSent, voice: Voice) -> dict[str, Any]:
    """The part of the figures that is one option's."""
    brief, promised = option.estimate.brief, for_client(option.estimate)
    terms = _without_reason(dump(brief.terms), promised["client_lines"])
    del terms["referral"]  # who brought the client is paid a share of the price
    return {
        "letter": option.letter,
        "paragraph": option.paragraph,
        "design": dump(brief.design),
        "space": dump(brief.space),
        "terms": terms,
        "deposit_is_tax_point": due_with_payments(option.book.deposit_is_tax_point, voice.locale),
        "palette": _palette(option),
        "included": list(included(option.estimate, voice)),
        "estimate": promised,
        **({"wanted": _wanted(*option.wanted)} if option.wanted else {}),
    }


def _wanted(by: date, text: str) -> dict[str, str]:
    return {"by": by.isoformat(), "text": text}


def _costs(option: OptionSent) -> dict[str, Any]:
    costs = costs_report(option.estimate, option.book)
    terms = _without_reason(costs["terms"], costs["lines"])
    return {**costs, "terms": terms, "rate_book_sha256": option.rate_book_sha256}


def _without_reason(terms: dict[str, Any], lines: Iterable[dict[str, Any]]) -> dict[str, Any]:
    """The terms without the reason of a discount, which is taken out of the texts of the lines, too. Nobody
    goes anywhere where no distance is given: none is nothing here."""
    for line in lines:
        if line["code"] == "discount":
            line["text"] = DISCOUNT
    if terms["discount"]:
        del terms["discount"]["reason"]
    return {**terms, "distance_km": terms["distance_km"] or "0"}


def _palette(option: OptionSent) -> list[dict[str, Any]]:
    """Lattice and edging first, then the pieces by falling count."""
    design, colours = option.estimate.brief.design, option.colours
    ground = {"Lattice": design.lattice_filament}
    if design.edging_width_mm:
        ground["Edging"] = design.edging_filament
    rows = [
        {"name": name, "filament": filament, "colour": colours[filament], "count": None}
        for name, filament in ground.items()
    ]
    for entry in legend(option.estimate.composition, colours):
        name = pattern(entry.pattern, design.lattice, design.own_patterns).name
        rows.append({**asdict(entry), "name": name})
    return rows


def _drawings(option: OptionSent, voice: Voice) -> dict[str, str]:
    composition, letter = option.estimate.composition, option.letter
    title = f"Option {letter}, seen from the front"
    return {
        "elevation": elevation_svg(
            composition, option.colours, title=title, voice=voice, ident=f"option-{letter}"
        ),
        "thumbnail": thumbnail_svg(composition, option.colours, title=title, ident=f"thumbnail-{letter}"),
    }


def _merged(lists: Iterable[tuple[str, ...]]) -> list[str]:
    """Every text once. What only one option needs stands where that option has it, so the order holds."""
    merged: list[str] = []
    for texts in lists:
        at = 0
        for text in texts:
            if text not in merged:
                merged.insert(at, text)
            at = merged.index(text) + 1
    return merged
