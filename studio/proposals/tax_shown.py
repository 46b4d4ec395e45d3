"""What an issue's figures say of tax: how its price is named, each tax with its amount, why there is none,
and when it is due. Figures from before there were treatments and parts have neither."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Literal

from studio.pricing.price_words import price_words
from studio.pricing.terms import reads_gross_first
from studio.voice import Voice

__all__ = [
    "Sum", "Which", "by_rate", "first_of", "is_taxed", "price_name", "price_read", "reasons", "tax_of_line",
    "tax_point", "totals_shown", "words_of",
]  # fmt: skip

Which = Literal["net", "gross"]
Figures = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Sum:
    """A text with its amount."""

    text: str
    amount: str


def first_of(option: Figures, client_kind: str) -> Which:
    """The price that the client of a frozen option reads first."""
    gross = reads_gross_first(client_kind, option["terms"].get("prices", "usual"))
    return "gross" if gross else "net"


def words_of(found: Figures, which: Which) -> str:
    """What stands beside the net or the gross of an option's frozen estimate."""
    return price_words(which == "gross", map(_treatment, found["taxes"]))


def price_read(option: Figures, client_kind: str, voice: Voice) -> str:
    """Such as "£1,000.00 without tax", of a frozen option."""
    found, which = option["estimate"], first_of(option, client_kind)
    return f"{voice.using(found['currency']).money(found[which])} {words_of(found, which)}".rstrip()


def price_name(found: Figures, which: Which) -> str:
    return f"Price {words_of(found, which)}".rstrip()


def is_taxed(found: Figures) -> bool:
    """Whether net and gross are two prices."""
    return any(_treatment(tax) == "taxed" for tax in found["taxes"])


def totals_shown(found: Figures, size: str, voice: Voice) -> Iterator[Sum]:
    """The lines' sum, each tax by its name, what follows; a single sum where there is none. `size` says what
    a price is for."""
    first: Which = "gross" if found.get("lines_with_tax") else "net"
    last: Which = "net" if first == "gross" else "gross"
    yield Sum(price_name(found, first) + size, voice.money(found[first]))
    if not is_taxed(found):
        return
    for tax in found["taxes"]:
        base = f" of {voice.money(tax['net'])}" if len(found["taxes"]) > 1 else ""
        for each in tax.get("parts") or (tax,):
            text = f"{each['text']}, {voice.percent(each['percent'])}{base}"
            yield Sum(f"in it: {text}" if first == "gross" else text, voice.money(each["tax"]))
    yield Sum(price_name(found, last) + size, voice.money(found[last]))


def tax_of_line(found: Figures, voice: Voice) -> dict[str, str]:
    """By category, what a line says of its tax where there are several; of an exempt one, that."""
    if len(found["taxes"]) < 2:
        return {}
    return {
        tax["code"]: f" ({voice.percent(tax['percent'])} tax)"
        if _treatment(tax) == "taxed"
        else f" ({price_words(False, [_treatment(tax)])})"
        for tax in found["taxes"]
    }


def by_rate(part: Figures, voice: Voice) -> Iterator[Sum]:
    """A payment's taxes, where there are several."""
    taxes = [tax for tax in part.get("taxes", ()) if Decimal(tax["tax"])]
    if len(taxes) > 1 or any(tax.get("parts") for tax in taxes):
        for tax in taxes:
            if not tax.get("parts"):
                yield Sum(f"{voice.percent(tax['percent'])} tax", voice.money(tax["tax"]))
            for each in tax.get("parts", ()):
                yield Sum(f"{each['text']}, {voice.percent(each['percent'])}", voice.money(each["tax"]))


def reasons(found: Figures, tax_number: str) -> Iterator[str]:
    """Why there is no tax: on invoices Council Directive 2006/112/EC, Article 226 (11) and (11a), asks for a
    reference to the exemption and for the words "Reverse charge" (from memory), and the client's number with
    those; a proposal says the same."""
    for tax in found["taxes"]:
        reason = tax.get("reason", "").strip()
        match _treatment(tax):
            case "reverse charge":
                number = f" Your tax number: {tax_number}." if tax_number else ""
                yield f"{_headed('Reverse charge', reason)}{number}"
            case "exempt":
                yield _headed("Exempt from tax", reason)
            case _:
                yield from [reason] if reason else []


def _headed(words: str, reason: str) -> str:
    """Words that a studio wrote itself are not there twice."""
    said = reason if reason.lower().startswith(words.lower()) else f"{words}: {reason}"
    return said if said.endswith(".") else f"{said}."


def tax_point(found: Figures, with_payments: bool) -> str:
    """When tax is due; nothing where there is none."""
    if not Decimal(found["tax"]):
        return ""
    taxes = [tax for tax in found["taxes"] if Decimal(tax["tax"])]
    names = [part["text"] for tax in taxes for part in tax.get("parts") or (tax,)]
    if with_payments:
        of = f" of {_and(names)}" if len(names) > 1 else ""
        return (
            "Tax is due on each payment when it is received: each payment’s invoice shows its share"
            f"{of}. Local tax rules decide."
        )
    named = f" ({_and(names)})" if len(names) > 1 else ""
    return (
        f"Tax{named} on the whole price is invoiced at hand-over; what stands beside each payment is the tax "
        "in it. Local tax rules decide."
    )


def _and(names: list[str]) -> str:
    return f"{', '.join(names[:-1])} and {names[-1]}"


def _treatment(tax: Figures) -> str:
    return str(tax.get("treatment", "taxed"))
