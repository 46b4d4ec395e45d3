"""Another panel than was agreed, because the opening turned out another: made again from what was frozen, at
the rates that were agreed, and frozen in its turn."""

import json
import zlib
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from hashlib import sha256
from typing import Any

from studio.commissions.estimating import estimated, shop_for
from studio.commissions.words import spoken_paragraph
from studio.document import canonical, parse
from studio.estimate.brief import Brief
from studio.estimate.engine import ENGINE
from studio.estimate.making_report import making_report
from studio.lattice.design import Design, Space
from studio.lattice.fit import Fit, best_fit
from studio.lattice.opening import sides_out_mm
from studio.lattice.refit import with_seams_of
from studio.pricing.rate_book import RateBook
from studio.pricing.terms import Terms
from studio.problem import Problem, Refused, refuse_all
from studio.proposals.freeze import SCHEMA, OptionSent, option_figures
from studio.proposals.models import Decision, Taping
from studio.proposals.shown import voice_in
from studio.proposals.stored import Damaged, Stored, costs_of
from studio.voice import length, said
from studio.workshop.books import book_of
from studio.workshop.models import RateBookRevision

__all__ = [
    "agreed_option",
    "fitted",
    "frozen_refit",
    "making_of_refit",
    "option_of_refit",
    "same_panel",
]

VARY = "begin a variation on the proposal’s page"


def agreed_option(decision: Decision, stored: Stored) -> dict[str, Any]:
    """What the issue's figures say of the option that was agreed."""
    return next(each for each in stored.figures["options"] if each["letter"] == decision.letter)


def _is_taped(option: Mapping[str, Any]) -> bool:
    """Whether the figures were for a size that we had taped; that is how schema 1 meant its tick."""
    space = option["space"]
    ours = space.get("width_origin") == space.get("height_origin") == "taped by us"
    return bool(space["measured"]) if "measured" in space else ours


def untaped(yes: Decision, stored: Stored) -> bool:
    """Whether what is sold is still for a size that somebody else said."""
    return not hasattr(yes, "taping") and not _is_taped(agreed_option(yes, stored))


def refuse_untaped(yes: Decision, stored: Stored) -> None:
    """Raise Refused where nothing may be made yet."""
    if untaped(yes, stored):
        reason = "the size that was agreed is not taped by us"
        raise Refused.because("taping", reason, "tape the space, and write down what you found")


def same_panel(option: Mapping[str, Any], space: Space) -> bool:
    """Whether the panel that was agreed is the one that fits. Raises Refused where none does."""
    fit, agreed = best_fit(parse(Design, option["design"]), space), option["estimate"]["fit"]
    return _counted(fit) == (agreed["columns"], agreed["rows"], agreed["cell_side_mm"])


def _counted(fit: Fit) -> tuple[int, int, float]:
    return fit.columns, fit.rows, round(fit.cell_side_mm, 2)


def _revision(sha256: str) -> RateBookRevision:
    """Rates that were saved again unchanged are the same document. Raises Refused."""
    if found := RateBookRevision.objects.filter(sha256=sha256).order_by("pk").first():
        return found
    raise Refused.because("width", "the rates of what was agreed are not among the rate books", VARY)


def fitted(decision: Decision, stored: Stored, space: Space, on: date) -> OptionSent:
    """The panel for the taped space. Raises Refused, with what to do, where its sizes are further out than
    those that were agreed may be, or its price lies outside of the range that was agreed; Damaged."""
    option, costs = agreed_option(decision, stored), costs_of(decision.issue, stored)
    agreed = option["estimate"]["price_range"]
    if costs is None or agreed is None:
        raise Refused.because("width", "another panel fits, and no range was agreed", VARY)
    own = costs[decision.letter]
    book = book_of(_revision(own["rate_book_sha256"]))
    refuse_all(_further_out(parse(Space, option["space"]), space, book))
    design = parse(Design, option["design"])
    design = with_seams_of(design, best_fit(design, space))
    brief = Brief(design=design, space=space, terms=_terms(own["terms"], stored))
    found = estimated(brief, book, shop_for(decision.issue.proposal.commission, on), on)
    for which, amount in (("net", found.price.net), ("gross", found.price.gross)):
        low, high = map(Decimal, agreed[which])
        if not low <= amount <= high:
            money = voice_in(stored.figures).money
            reason = f"another panel fits, for {money(amount)}, and {money(low)} to {money(high)} was agreed"
            raise Refused.because("width", reason, VARY)
    return OptionSent(
        letter=decision.letter,
        estimate=found,
        colours={filament.name: filament.colour for filament in book.filaments},
        paragraph=spoken_paragraph(brief, found.bill.fit, voice_in(stored.figures)),
        book=book,
        rate_book_sha256=own["rate_book_sha256"],
    )


def _terms(frozen: Mapping[str, Any], stored: Stored) -> Terms:
    """With the reason of a discount, which stands apart."""
    given = frozen["discount"]
    discount = given and {**given, "reason": stored.parties.get("discount") or "as agreed"}
    return parse(Terms, {**frozen, "discount": discount})


def _further_out(agreed: Space, taped: Space, book: RateBook) -> list[Problem]:
    sides = (("width", agreed.widths_mm, taped.widths_mm), ("height", agreed.heights_mm, taped.heights_mm))
    found = []
    for (side, were, are), out_mm in zip(sides, sides_out_mm(agreed, book.uncertainty), strict=True):
        if abs(min(are) - min(were)) > out_mm:
            reason = "another panel fits, and the {} is more than {} from the {} that was agreed"
            reason = said(reason, side, length(out_mm), length(min(were)))
            found.append(Problem(side, reason, f"look whether it is right; then {VARY}"))
    return found


def frozen_refit(sent: OptionSent, stored: Stored) -> tuple[bytes, bytes]:
    """Figures as JSON, and the making, packed, whose digest they hold."""
    making = canonical(making_report(sent.estimate, sent.book))
    figures = {
        "schema": SCHEMA,
        "engine": ENGINE,
        "option": option_figures(sent, voice_in(stored.figures)),
        "making_sha256": sha256(making).hexdigest(),
    }
    return canonical(figures), zlib.compress(making, level=6)


def option_of_refit(taping: Taping) -> dict[str, Any]:
    """What an issue's figures say of an option. Raises Damaged when it is not what was written."""
    return dict(_figures(taping)["option"])


def making_of_refit(taping: Taping) -> dict[str, Any]:
    """As `stored.making_of`, of the one option. Raises Damaged."""
    making = zlib.decompress(bytes(taping.making or b""))
    _same(making, _figures(taping)["making_sha256"], taping)
    return dict(json.loads(making))


def _figures(taping: Taping) -> dict[str, Any]:
    document = bytes(taping.figures or b"")
    _same(document, taping.figures_sha256, taping)
    return dict(json.loads(document))


def _same(document: bytes, digest: str, taping: Taping) -> None:
    if sha256(document).hexdigest() != digest:
        raise Damaged(f"a stored document of the {taping} has changed")
