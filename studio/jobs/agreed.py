"""What a yes agreed to pay, stage by stage: read from its frozen figures, never computed."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from studio.money import to_minor
from studio.proposals.models import Decision, ProposalIssue, Taping
from studio.proposals.refit import option_of_refit
from studio.proposals.stored import read

__all__ = ["Agreed", "Stage", "Taxed", "agreed_in", "agreed_of"]


@dataclass(frozen=True, slots=True)
class Taxed:
    """The part of a stage in one tax category, in minor units; `percent` as decimal text. `parts` are the
    several taxes of it, each with its text, percent and amount, which add up to its tax; `treatment` and
    `reason` say why there is none."""

    code: str
    text: str
    percent: str
    net_minor: int
    tax_minor: int
    parts: tuple[tuple[str, str, int], ...] = ()
    treatment: str = "taxed"
    reason: str = ""

    def opposite(self) -> "Taxed":
        """As a credit note has it."""
        parts = tuple((text, percent, -minor) for text, percent, minor in self.parts)
        return replace(self, net_minor=-self.net_minor, tax_minor=-self.tax_minor, parts=parts)


@dataclass(frozen=True, slots=True)
class Stage:
    """One payment as agreed, in minor units; `place` counts from 1. `taxes` add up to net and tax; there are
    none where an old issue of several taxes does not tell them apart."""

    place: int
    text: str
    net_minor: int
    tax_minor: int
    gross_minor: int
    taxes: tuple[Taxed, ...]


@dataclass(frozen=True, slots=True)
class Agreed:
    """The approved option's payments; with `deposit_is_tax_point` each one's tax is due with it, else all tax
    is due at hand-over."""

    issued_on: date
    currency: str
    stages: tuple[Stage, ...]
    deposit_is_tax_point: bool

    def stage(self, place: int) -> Stage | None:
        return next((stage for stage in self.stages if stage.place == place), None)


def agreed_of(yes: Decision) -> Agreed:
    """Of the panel that took the place of the agreed one, where there is one. Raises stored.Damaged when the
    figures are not what was sealed."""
    issue = ProposalIssue.objects.defer("pdf", "drawings", "making", "costs").get(pk=yes.issue_id)
    figures = read(issue).figures
    agreed = agreed_in(figures, yes.letter)
    taping = Taping.objects.filter(decision=yes, gross_minor__isnull=False).defer("making").first()
    if taping is None:
        return agreed
    return _settled(agreed, agreed_in({**figures, "options": [option_of_refit(taping)]}, yes.letter))


def _settled(agreed: Agreed, refit: Agreed) -> Agreed:
    """What another panel costs more or less falls on the last payment, so that those before it stay as they
    may have been invoiced and paid; where that would make it negative, the payments are the new ones."""
    earlier, last = agreed.stages[:-1], refit.stages[-1]
    codes = {tax.code for stage in earlier for tax in stage.taxes}
    taxes = tuple(_rest(tax, refit.stages, earlier) for tax in last.taxes)
    least = [min(t.net_minor, t.tax_minor, *(minor for *_named, minor in t.parts)) for t in taxes]
    if not codes <= {tax.code for tax in taxes} or min(least) < 0:
        return refit
    net, tax = sum(each.net_minor for each in taxes), sum(each.tax_minor for each in taxes)
    whole = replace(last, net_minor=net, tax_minor=tax, gross_minor=net + tax, taxes=taxes)
    return replace(agreed, stages=(*earlier, whole))


def _rest(tax: Taxed, stages: Sequence[Stage], earlier: Sequence[Stage]) -> Taxed:
    """What all of them have in a category, less what the earlier ones took of it."""

    def total(of: Sequence[Stage]) -> tuple[int, int, Counter[tuple[str, str]]]:
        own = [each for stage in of for each in stage.taxes if each.code == tax.code]
        parts = Counter[tuple[str, str]]()
        for text, percent, minor in (part for each in own for part in each.parts):
            parts[text, percent] += minor
        return sum(each.net_minor for each in own), sum(each.tax_minor for each in own), parts

    (net, due, parts), (net_before, due_before, parts_before) = total(stages), total(earlier)
    left = tuple((*key, parts[key] - parts_before[key]) for key in parts)
    return replace(tax, net_minor=net - net_before, tax_minor=due - due_before, parts=left)


def agreed_in(figures: Mapping[str, Any], letter: str) -> Agreed:
    """`figures` is a frozen document of a known schema."""
    option = next(option for option in figures["options"] if option["letter"] == letter)
    found, currency = option["estimate"], figures["currency"]
    stages = (
        _stage(place, part, found["taxes"], currency) for place, part in enumerate(found["deposits"], 1)
    )
    on = date.fromisoformat(figures["issued_on"])
    return Agreed(on, currency, tuple(stages), option.get("deposit_is_tax_point", False))


def _stage(place: int, part: Mapping[str, Any], taxes: Sequence[Mapping[str, Any]], currency: str) -> Stage:
    whole = {name: _minor(part[name], currency) for name in ("net", "tax", "gross")}
    return Stage(
        place,
        part["text"],
        whole["net"],
        whole["tax"],
        whole["gross"],
        tuple(_taxed(tax, currency) for tax in _by_category(part, taxes)),
    )


def _by_category(part: Mapping[str, Any], taxes: Sequence[Mapping[str, Any]]) -> Sequence[Mapping[str, Any]]:
    """Early issues gave no taxes with a payment: where there was only one, all of it was of that one."""
    if "taxes" in part or len(taxes) > 1:
        return part.get("taxes", ())
    return [{**tax, "net": part["net"], "tax": part["tax"]} for tax in taxes]


def _taxed(tax: Mapping[str, Any], currency: str) -> Taxed:
    net, due = _minor(tax["net"], currency), _minor(tax["tax"], currency)
    parts = (
        (each["text"], str(each["percent"]), _minor(each["tax"], currency)) for each in tax.get("parts", ())
    )
    why = {name: tax[name] for name in ("treatment", "reason") if name in tax}
    return Taxed(tax["code"], tax["text"], str(tax["percent"]), net, due, tuple(parts), **why)


def _minor(amount: str, currency: str) -> int:
    return to_minor(Decimal(amount), currency)
