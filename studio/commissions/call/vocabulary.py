"""What each word of the call page can be changed to."""

from typing import Any

from studio.clients.space_form import MOUNTINGS, ORIGINS, YES_OR_NO
from studio.commissions.call.design_form import choosable
from studio.commissions.call.terms_form import DELIVERIES, DISCOUNTS, KINDS, MANNERS, SURVEYS
from studio.commissions.estimating import design_of
from studio.commissions.models import Option
from studio.commissions.words import ARRANGEMENTS, point_words, within
from studio.forms import Form
from studio.lattice.design import Rings
from studio.lattice.kinds import LatticeKind, kind_of, kinds
from studio.pricing.rate_book import RateBook
from studio.stored.kinds import SPACE
from studio.workshop.own_patterns import usable

__all__ = ["lattice_in", "vocabulary"]

FIT = "Empty: as many as fit."


def lattice_in(form: Form) -> LatticeKind:
    """The lattice that is typed, or the usual one."""
    return next((kind.name for kind in kinds() if kind.name == form["design.lattice"]), "three-way")


def vocabulary(option: Option, rates: RateBook, form: Form) -> dict[str, Any]:
    design, lattice = design_of(option), lattice_in(form)
    hints = [f"{hint} {FIT}".strip() for hint in kind_of(lattice).hints]
    space = SPACE.read(option.commission.space.document)
    strips = rates.lighting.strips
    choices = choosable(lattice, design, usable(lattice))
    return {
        "lattices": [(kind.name, kind.spoken) for kind in kinds()],
        "kind_of_lattice": kind_of(lattice),
        "first_patterns": [(pattern.slug, pattern.name) for pattern in choices],
        "patterns": [(pattern.slug, within(pattern.name)) for pattern in choices],
        "filaments": [(filament.name, filament.name.lower()) for filament in rates.filaments],
        "kinds": list(ARRANGEMENTS.items()),
        "directions": [(way, way) for way in ("upright", "level")],
        "ways": [(way, way) for way in ("to the right", "to the left", "upwards", "downwards")],
        "bands": _rows("bands", form),
        "rings": _rows("rings", form),
        "ring_point": point_words(rings) if isinstance(rings := design.arrangement, Rings) else "the middle",
        "columns_hint": hints[0],
        "rows_hint": hints[1],
        "lights": (("off", "not lit"), ("on", "lit from behind")),
        "light_strips": [("", "the first that suits"), *((each.code, each.text) for each in strips)],
        "hangers": [("", "the cheapest that holds"), *((each.code, each.text) for each in rates.hangers)],
        "light_layouts": (("rows", "in rows"), ("round the edge", "round the edge")),
        "light_controls": (("dimmed", "dimmed"), ("on and off", "on and off")),
        "backings": (
            ("none", "open at the back"), ("sheet", "on a backing sheet"), ("diffuser", "on a diffuser"),
        ),
        "origins": ORIGINS,
        "yes_or_no": YES_OR_NO,
        "deliveries": DELIVERIES,
        "surveys": SURVEYS,
        "client_kinds": KINDS,
        "discounts": DISCOUNTS,
        "taxes": [(tax.code, tax.text) for tax in rates.tax],
        "price_manners": MANNERS,
        "untaxed": all(tax.treatment == "untaxed" for tax in rates.tax),
        "mountings": MOUNTINGS,
        "edged": bool(design.edging_width_mm),
        "one_width": len(space.widths_mm) == 1,
        "one_height": len(space.heights_mm) == 1,
        "space": space,
    }  # fmt: skip


def _rows(kind: str, form: Form) -> list[dict[str, str]]:
    """The fields of each band or ring that is typed, and what follows its last word."""
    first = f"design.arrangement.{kind}."
    count = sum(name.startswith(first) and name.endswith(".cells") for name in form.values)
    after = [*[","] * (count - 2), *[""] * (count > 1), "."]
    return [{"name": f"{first}{row}", "after": after[row]} for row in range(count)]
