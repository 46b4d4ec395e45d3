"""The documents of an issue: `figures`, in which nothing is personal, and `parties`, which is all that is.

Both are canonical JSON bytes with a SHA-256 each; the seal covers the two. The golden file in
tests/proposals holds one document of each schema: a change of shape needs a new SCHEMA and a new file.
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
from studio.estimate.report import report
from studio.estimate.result import Estimate
from studio.lattice.patterns import pattern
from studio.pricing.totals import Total
from studio.proposals.included import included
from studio.voice import Units, Voice

__all__ = [
    "ENGINE", "SCHEMA", "Frozen", "Heading", "OptionSent", "figures_of", "freeze", "seal_of", "unpacked",
]  # fmt: skip

SCHEMA = 1
ENGINE = "0.1.0"
"""The version that computed the figures: pyproject.toml's."""
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
    """One option on its way into an issue. `colours` maps filament names to "#rrggbb"; `paragraph` is the
    option in words. `totals` are there when the client is to have the workings, which show cost and margin;
    the workings of the lines are in every estimate."""

    letter: str
    estimate: Estimate
    colours: Mapping[str, str]
    paragraph: str
    rate_book_sha256: str
    deposit_is_tax_point: bool = False
    totals: tuple[Total, ...] | None = None


@dataclass(frozen=True, slots=True)
class Frozen:
    """An issue's documents as bytes."""

    figures: bytes
    parties: bytes
    drawings: bytes

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


def freeze(heading: Heading, options: tuple[OptionSent, ...], parties: Mapping[str, Any]) -> Frozen:
    """`parties` are plain JSON values with a salt of the caller's among them; the reason of a discount, which
    may be personal, joins them."""
    drawings = canonical({option.letter: _drawings(option, heading.voice) for option in options})
    figures = figures_of(heading, options, sha256(drawings).hexdigest())
    given = options[0].estimate.brief.terms.discount
    personal = {"schema": SCHEMA, "discount": given.reason if given else "", **parties}
    return Frozen(canonical(figures), canonical(personal), zlib.compress(drawings, level=6))


def unpacked(drawings: bytes) -> bytes:
    """The bytes that `figures` gives the digest of."""
    return zlib.decompress(drawings)


def figures_of(heading: Heading, options: tuple[OptionSent, ...], drawings_sha256: str) -> dict[str, Any]:
    """Everything that was computed and promised; the client's lines and the studio's own."""
    terms = options[0].estimate.brief.terms
    return {
        "schema": SCHEMA,
        "engine": ENGINE,
        **dump(heading),
        "client_kind": terms.client_kind,
        "currency": options[0].estimate.price.currency,
        "cautions": _merged(option.estimate.cautions for option in options),
        "options": [_option(option, heading.voice) for option in options],
        "drawings_sha256": drawings_sha256,
    }


def _option(option: OptionSent, voice: Voice) -> dict[str, Any]:
    brief = option.estimate.brief
    computed, terms = report(option.estimate), dump(brief.terms)
    # the title names the client's place, the reason of a discount anything, and the digest covers both
    del computed["title"], computed["digest"]
    if brief.terms.discount:
        del terms["discount"]["reason"]
    for line in (*computed["lines"], *computed["client_lines"]):
        if line["code"] == "discount":
            line["text"] = DISCOUNT
    workings = {} if option.totals is None else {"workings": [_total(total) for total in option.totals]}
    return {
        **workings,
        "letter": option.letter,
        "paragraph": option.paragraph,
        "design": dump(brief.design),
        "space": dump(brief.space),
        "terms": terms,
        "rate_book_sha256": option.rate_book_sha256,
        "deposit_is_tax_point": option.deposit_is_tax_point,
        "palette": _palette(option),
        "included": list(included(option.estimate, voice)),
        "estimate": computed,
    }


def _total(total: Total) -> dict[str, Any]:
    text, amount, working = total
    return {"text": text, "amount": str(amount), "working": asdict(working)}


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
