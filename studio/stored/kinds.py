"""Every kind of document that rows keep. A field that comes, goes or changes its meaning is a new step here
and a golden file in `tests/stored`; steps that rows may need are never taken away."""

from typing import Any

from studio.document import parse
from studio.lattice.design import Design, Space
from studio.lattice.pattern import Pattern
from studio.making.shop import Calendar
from studio.pricing.rate_book import RateBook
from studio.pricing.terms import Terms
from studio.problem import Problem, Refused
from studio.stored.before import Before
from studio.stored.door import DocumentKind
from studio.stored.jobs_apart import without_jobs

__all__ = ["BEFORE", "DESIGN", "KINDS", "PATTERN", "RATE_BOOK", "SHOP", "SPACE", "TERMS"]


def _asked(values: dict[str, Any]) -> dict[str, Any]:
    """Space 2: what nobody asked is unknown, and each side says where its size comes from.

    Schema 1 had ticks, so that a page nobody looked at said that a space was indoors and nothing else: of
    each answer the one that was there unasked reads as unknown (`indoors` true, the others false), and the
    other one, which somebody ticked, stays. A size that was not measured had been said; that the studio
    itself taped the others is how the tick was meant."""
    origin = "taped by us" if _yes(values.get("measured", True), "measured") else "said"
    answers = {name: _answer(values.get(name), name, was) for name, was in UNASKED.items()}
    kept = {name: value for name, value in values.items() if name != "measured"}
    return {"width_origin": origin, "height_origin": origin, **kept, **answers}


UNASKED = {"indoors": True, "public_room": False, "near_heat": False, "above_people": False}


def _answer(value: Any, name: str, unasked: bool) -> bool | None:
    return None if value is None or _yes(value, name) is unasked else not unasked


def _yes(value: Any, name: str) -> bool:
    """Raises Refused for what is neither yes nor no."""
    try:
        return parse(bool, value)
    except Refused as refused:
        raise Refused(*(Problem(name, each.reason, each.remedy) for each in refused.problems)) from None


def _uncertain(values: dict[str, Any]) -> dict[str, Any]:
    """Rate book 2: `unmeasured_percent` was for what is said, and is now one of several."""
    kept = {name: value for name, value in values.items() if name != "unmeasured_percent"}
    if "unmeasured_percent" not in values:
        return kept
    return {"uncertainty": {"said_percent": values["unmeasured_percent"]}, **kept}


def _swap_and_survey(values: dict[str, Any]) -> dict[str, Any]:
    """Rate book 3: a swap of a plate takes the minutes of the workshop's hours, so its operation has none
    and one person swaps; a survey is counted only where somebody goes there. When tax is due is what a
    country is used to, unless it is said; until then it was the hand-over."""
    operations = values["operations"]
    by_plate = [row["code"] for row in operations if row["per"] == "plate"]
    swap = "swap-plate" if "swap-plate" in by_plate else next(iter(by_plate), None)
    carried = [_carried_operation(row, swap) for row in operations]
    return {"deposit_is_tax_point": False, **values, "operations": carried}


def _carried_operation(row: dict[str, Any], swap: str | None) -> dict[str, Any]:
    if row["per"] == "plate" and row["code"] == swap:
        return {**row, "minutes": None, "people": 1}
    surveyed = row["per"] == "commission" and row["code"] == "survey"
    return {**row, "per": "survey"} if surveyed else row


def _surveyed(values: dict[str, Any]) -> dict[str, Any]:
    """Terms 2: who measures is asked; until then somebody always went there."""
    return {"survey": "trip", **values}


def _distanced(values: dict[str, Any]) -> dict[str, Any]:
    """Terms 3: no distance is none given, and 0 is one. Until then 0 stood there unasked and read as none."""
    given = str(values.get("distance_km", 0)).strip("0.")
    return values if given else {**values, "distance_km": None}


def _promised(values: dict[str, Any]) -> dict[str, Any]:
    """Calendar 3: samples have days of their own, and a day holds in as many courses as the studio promises.
    No studio had chosen either; they are what a new one begins with, written down, so that they stay."""
    return {"sample_days": 10, "promise_holds_percent": 90, **values}


def _unseamed(values: dict[str, Any]) -> dict[str, Any]:
    """Design 2: a maker may fix seams, which nobody had done."""
    return values


DESIGN = DocumentKind("design", Design, (_unseamed,))
"""Options and every step of their undo; own patterns lie within."""
SPACE = DocumentKind("space", Space, (_asked,))
TERMS = DocumentKind("terms", Terms, (_surveyed, _distanced))
RATE_BOOK = DocumentKind("rate book", RateBook, (_uncertain, _swap_and_survey))
"""The studio's measured plates lie within."""
SHOP = DocumentKind("calendar and stock", Calendar, (without_jobs, _promised))
"""Under the name of the page that saves it; stock and jobs are movements."""
PATTERN = DocumentKind("pattern", Pattern)
BEFORE = DocumentKind("what was sold", Before)
"""While a variation is open."""

KINDS: tuple[DocumentKind[Any], ...] = (DESIGN, SPACE, TERMS, RATE_BOOK, SHOP, PATTERN, BEFORE)
