"""A design as words on the call page, and the words as a design. Fields lie under "design"."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from studio.commissions.call.arranging import arranged
from studio.commissions.words import ARRANGEMENTS
from studio.document import dump, parse
from studio.forms import Form, flat, nested
from studio.lattice.design import Design, LatticeKind
from studio.lattice.infills import infills_of
from studio.lattice.kinds import KINDS, kind_of
from studio.lattice.pattern import Pattern
from studio.lattice.patterns import patterns
from studio.problem import Problem, Refused
from studio.typed_lengths import as_typed, read_lengths, shown_length
from studio.voice import Voice

__all__ = [
    "LENGTHS", "WrittenDesign", "choosable", "design_form", "read_design", "with_own_patterns",
    "written_whole",
]  # fmt: skip

LENGTHS = (
    "cell_side_mm", "strip_width_mm", "infill_strip_mm", "clearance_mm", "depth_mm", "infill_depth_mm",
    "edging_width_mm",
)  # fmt: skip
SEAMS = ("seams_after_columns", "seams_after_rows")
MAY_BE_LEFT = "light_diffuser_mm"
"""A length that need not be given."""
MAY_BE_ZERO = ("clearance_mm", "edging_width_mm")
MOST_OWN = 40
LISTS = ("touch_ups", "own_patterns")
"""What a design has besides its words: changed by buttons (single_cells.py) or by what the words choose."""


@dataclass(frozen=True)
class WrittenDesign:
    """The design, the patterns that it could choose from, and whether its words need other fields than those
    that were on the page."""

    design: Design
    usable: tuple[Pattern, ...]
    reworded: bool


def design_form(design: Design, voice: Voice) -> Form:
    document = {name: value for name, value in dump(design).items() if name not in LISTS}
    document |= {name: ", ".join(map(str, getattr(design, name))) for name in SEAMS}
    values = flat(document, "design")
    for name in LENGTHS:
        values[f"design.{name}"] = shown_length(values[f"design.{name}"], voice)
    if design.light_diffuser_mm is not None:
        values[f"design.{MAY_BE_LEFT}"] = shown_length(design.light_diffuser_mm, voice)
    return Form(values)


def read_design(
    form: Form, before: Design, own: Iterable[Pattern] = (), filaments: Sequence[str] = ()
) -> WrittenDesign:
    """The design as typed; what has no field on the page stays as it was before. `own` are the studio's own
    patterns that can be chosen, `filaments` those that have a price. Raises Refused with fields under
    "design"."""
    typed = _typed(form)
    given = (*LENGTHS, *([MAY_BE_LEFT] if typed.get(MAY_BE_LEFT, "").strip() else []))
    lengths = read_lengths({name: typed[name] for name in given if name in typed}, MAY_BE_ZERO)
    raw = nested(typed | dict(lengths.mm))
    problems = list(lengths.problems)
    lattice = _lattice(raw.get("lattice"), before)
    usable = choosable(lattice, before, own)
    written = raw.get("arrangement", {})
    colours = _colours(typed, written, filaments)
    arrangement = arranged(written, lattice, [pattern.slug for pattern in usable], form["change"], colours)
    whole = {name: raw[name] or None for name in ("columns", "rows") if name in raw}
    if MAY_BE_LEFT in raw and not str(raw[MAY_BE_LEFT]).strip():
        whole[MAY_BE_LEFT] = None
    whole |= {name: raw[name].replace(",", " ").split() for name in SEAMS if isinstance(raw.get(name), str)}
    if "angle_deg" in typed:
        whole["angle_deg"] = typed["angle_deg"].rstrip("° ")
    unread = {problem.field for problem in problems}
    values = {name: value for name, value in raw.items() if name not in (*unread, *LISTS)}
    kept = {name: value for name, value in dump(before).items() if name in LISTS or name not in typed}
    if lattice != before.lattice:
        kept["touch_ups"] = []  # single cells of another lattice have no place, nor have its seams
        whole |= {name: [] for name in SEAMS}
    try:
        design = parse(Design, {**kept, **values, **whole, "arrangement": arrangement})
    except Refused as refused:
        problems += [as_typed(_on_page(problem), typed) for problem in refused.problems]
    if problems:
        raise Refused(*problems).under("design")
    reworded = lattice != before.lattice or arrangement != written
    return WrittenDesign(with_own_patterns(design, usable), usable, reworded)


def written_whole(
    form: Form, saved: Mapping[str, str], before: Design, own: Iterable[Pattern], filaments: Sequence[str]
) -> Form:
    """What was typed with every field that its page then has: those of the arrangement that is chosen, made
    from those that were there, and for all others what is `saved`."""
    typed = _typed(form)
    lattice, written = _lattice(typed.get("lattice"), before), nested(typed).get("arrangement", {})
    known = [pattern.slug for pattern in choosable(lattice, before, own)]
    made = arranged(written, lattice, known, form["change"], _colours(typed, written, filaments))
    fields = flat(made, "design.arrangement")
    if not any(name.endswith(".filament") for name in fields):
        return replace(form, values={**saved, **form.values})  # it makes no sense: as it was
    others = {
        name: text
        for name, text in {**saved, **form.values}.items()
        if not name.startswith("design.arrangement.")
    }
    return replace(form, values={**others, **fields})


def _typed(form: Form) -> dict[str, str]:
    fields = ((name, text.strip()) for name, text in form.values.items())
    return {name.removeprefix("design."): text for name, text in fields if name.startswith("design.")}


def _colours(typed: Mapping[str, str], written: Any, filaments: Sequence[str]) -> list[str]:
    """The colours with a price in the order in which a second infill takes one: the edging's, the lattice's,
    and the rate book's from the first infill's on."""
    around = [typed.get(name, "") for name in ("edging_filament", "lattice_filament")]
    first = next((text for name, text in flat(written).items() if name.endswith("filament")), "")
    place = filaments.index(first) if first in filaments else 0
    return [*(colour for colour in around if colour in filaments), *filaments[place:], *filaments[:place]]


def choosable(lattice: LatticeKind, design: Design, own: Iterable[Pattern] = ()) -> tuple[Pattern, ...]:
    """The patterns that an option can take: those that come with the program, those of its own that it has,
    as it has them and even when they are retired, and the studio's own."""
    embedded = {pattern.slug: pattern for pattern in design.own_patterns if _is_for(pattern, lattice)}
    return tuple(({pattern.slug: pattern for pattern in (*patterns(lattice), *own)} | embedded).values())


def _is_for(pattern: Pattern, lattice: LatticeKind) -> bool:
    return pattern.lattice == kind_of(lattice).family


def with_own_patterns(design: Design, usable: Iterable[Pattern]) -> Design:
    """With those of the studio's own patterns that the design uses, whole. Raises Refused for too many."""
    used = {infill.pattern for infill in infills_of(design).values()}
    own = tuple(pattern for pattern in usable if pattern.revision and pattern.slug in used)
    if len(own) > MOST_OWN:
        reason = f"the panel uses {len(own)} of your own patterns"
        raise Refused.because("design.arrangement", reason, f"use at most {MOST_OWN} of them")
    return replace(design, own_patterns=own)


def _lattice(typed: object, before: Design) -> LatticeKind:
    return next((name for name in KINDS if name == typed), before.lattice)


def _on_page(problem: Problem) -> Problem:
    """Pydantic names the kind of arrangement within the key, the page's fields do not; an angle's bounds are
    said together."""
    if problem.field == "angle_deg" and "decimals" not in problem.remedy:
        return Problem(problem.field, problem.reason, "give 30 to 150°")
    first, kind, *rest = [*problem.field.split("."), ""]
    if first in SEAMS:
        return Problem(first, problem.reason, "numbers of columns or rows, such as 8, 16")
    if first != "arrangement" or kind not in ARRANGEMENTS:
        return problem
    return Problem(".".join([first, *rest[:-1]]), problem.reason, problem.remedy)
