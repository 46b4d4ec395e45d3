"""A space as it is typed: up to three widths and heights, the way in, what stands near it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Annotated, get_args

from pydantic import Field

from studio.clients.models import Space as SpaceRow
from studio.document import document, dump, parse
from studio.form_tree import Known
from studio.forms import Form, flat, nested
from studio.lattice.design import Furniture, Space
from studio.lattice.origin import TAPED, Origin
from studio.meanwhile import based, caught_up
from studio.people.models import User
from studio.problem import Problem, Refused, both, refuse_all
from studio.stored.kinds import SPACE
from studio.typed_lengths import as_typed, read_lengths, shown_length
from studio.voice import Voice

__all__ = [
    "FURNITURE", "MOUNTINGS", "NEW_ORIGIN", "ORIGINS", "YES_OR_NO", "ReadSpace",
    "read_space", "save_space", "space_form", "space_said", "space_words",
]  # fmt: skip

SIDES = {"widths_mm": "width", "heights_mm": "height"}
SIZES = tuple(f"{side}.{index}" for side in SIDES for index in range(3))
DIAGONALS = ("diagonals_mm.0", "diagonals_mm.1")
MAY_BE_ZERO = ("gap_mm", "floor_to_bottom_mm", "photograph_mm", "out_of_plumb_mm")
LENGTHS = (*SIZES, *DIAGONALS, *MAY_BE_ZERO, "way_in.width_mm", "way_in.length_mm")
ANSWERS = ("indoors", "public_room", "near_heat", "above_people")
CHOSEN = (*ANSWERS, "mounting", "width_origin", "height_origin")
NEEDED = {"gap_mm": "gap", "way_in.width_mm": "narrowest width", "way_in.length_mm": "longest part"}
NEW = Space(widths_mm=(Decimal(1000),), heights_mm=(Decimal(1000),))
"""Gives a new space's form its usual gap and way in; its sizes are not shown."""
SAY = 'type it as it was said, such as 1200, 1.2 m, about 2 m or 47 1/4"'
FURNITURE: tuple[Furniture, ...] = get_args(Furniture)
MOST_FURNITURE = 4
YES_OR_NO = (("", "not known yet"), ("on", "yes"), ("off", "no"))
ORIGINS = (
    ("said", "said"), ("paced", "paced"), ("photograph", "from a photograph"),
    ("taped by the client", "taped by the client"), ("taped by us", "taped by us"),
)  # fmt: skip
NEW_ORIGIN: Origin = "taped by the client"
"""Of an exact size, when nobody chose: who says one has measured. “About” is said."""
MOUNTINGS = (("wall", "on a wall"), ("free-standing", "free-standing"), ("in a frame", "in a frame"))


def space_said(name: str, text: str) -> str:
    """The value of a field of a space as people read it; "" where that is as it is typed."""
    field = name.removeprefix("space.")
    told = dict(YES_OR_NO) if field in ANSWERS else dict(ORIGINS) if field.endswith("_origin") else {}
    return told.get(text, "")


KNOWN = Known(said=space_said)


@document
class Described:
    """What is written down about a space besides its figures."""

    name: Annotated[str, Field(min_length=1, max_length=200)]
    measured_by: Annotated[str, Field(max_length=200)] = ""
    measured_on: date | None = None
    notes: Annotated[str, Field(max_length=5000)] = ""


@dataclass(frozen=True)
class ReadSpace:
    """The space, and its lengths as they were typed."""

    space: Space
    typed: Mapping[str, str]


def space_form(row: SpaceRow, voice: Voice) -> Form:
    """The space with its lengths as they were typed; those that nobody typed are written out."""
    space = SPACE.readable(row.document)
    unknown, space = space is None, space or NEW
    values = {f"space.{name}": text for name, text in flat(dump(replace(space, stands_near=()))).items()}
    values |= {_stands(thing): "on" if thing in space.stands_near else "off" for thing in FURNITURE}
    for name in LENGTHS:
        if values.get(f"space.{name}"):
            values[f"space.{name}"] = shown_length(values[f"space.{name}"], voice)
    if unknown:
        values |= {f"space.{name}": "" for name in SIZES}
    values |= {f"space.{name}": text for name, text in row.typed_texts.items() if name in LENGTHS}
    if unknown:
        values |= {f"space.{side}_origin": NEW_ORIGIN for side in SIDES.values()}
    about = {name: getattr(row, name) or "" for name in Described.__dataclass_fields__}
    return based(Form({**values, **{name: str(value) for name, value in about.items()}}), KNOWN)


def read_space(form: Form, before: Space | None = None) -> ReadSpace:
    """Raises Refused with fields under "space". Fields that are not on the page stay as they were."""
    typed = {name: form[f"space.{name}"].strip() for name in LENGTHS if form[f"space.{name}"].strip()}
    lengths = read_lengths(typed, MAY_BE_ZERO)
    problems = [*lengths.problems, *_missing(form, typed, before)]
    if problems:
        raise Refused(*problems).under("space")
    values = _kept(form, before) | dict(lengths.mm)
    values |= {name: form[f"space.{name}"] for name in CHOSEN if form[f"space.{name}"]}
    values |= _origins(values, lengths.approximate, before)
    if before is None or before.measured:
        refuse_all(_measured_after_all(form, values))
    values = _furnished(form, values)
    try:
        return ReadSpace(parse(Space, nested(_closed_up(values))), _closed_up(typed))
    except Refused as refused:
        places = dict(zip(_closed_up(typed), typed, strict=True))
        placed = (Problem(places.get(p.field, p.field), p.reason, p.remedy) for p in refused.problems)
        raise Refused(*(as_typed(problem, typed) for problem in placed)).under("space") from None


def _origins(values: Mapping[str, str], approximate: frozenset[str], before: Space | None) -> dict[str, str]:
    """Whatever else is chosen, “about” is said; but a side that is newly called taped may not stay “about”:
    either may be the slip. Raises Refused."""
    found, problems = {}, []
    for side, name in SIDES.items():
        chosen = values.get(f"{name}_origin", NEW_ORIGIN)
        about = any(size.startswith(side) for size in approximate)
        if about and before and chosen in TAPED and getattr(before, f"{name}_origin") not in TAPED:
            reason = f"the {name} is typed with “about”: is it measured?"
            remedy = "clear the “about”, or leave it unmeasured"
            problems.append(Problem(f"{name}_origin", reason, remedy))
        found[f"{name}_origin"] = "said" if about and chosen != "paced" else chosen
    if problems:
        raise Refused(*problems).under("space")
    return found


def _stands(thing: str) -> str:
    """The field that says that something stands there."""
    return f"space.stands.{thing}"


def _furnished(form: Form, values: Mapping[str, str]) -> dict[str, str]:
    """With what is ticked to stand there, where the page asks it. Raises Refused for more than a drawing has
    room for."""
    if not any(_stands(thing) in form.values for thing in FURNITURE):
        return dict(values)
    others = {name: text for name, text in values.items() if not name.startswith("stands_near.")}
    there = [thing for thing in FURNITURE if form[_stands(thing)] == "on"]
    if len(there) > MOST_FURNITURE:
        reason = f"{len(there)} things are ticked, more than a drawing has room for"
        raise Refused.because(_stands(there[0]), reason, f"tick at most {MOST_FURNITURE}")
    return others | {f"stands_near.{place}": thing for place, thing in enumerate(there)}


def save_space(posted: Form, row: SpaceRow, voice: Voice, by: User | None) -> tuple[SpaceRow, str]:
    """Save a row that is locked, or a new one, merged with what others saved since the page was made; the
    text tells what they changed. Raises Refused with the fields that do not make a space."""
    if not row.pk:
        return _saved(posted, row, by), ""
    merged = caught_up(posted, space_form(row, voice), KNOWN, row.toucher(by))
    row.touch(merged.changed, by)
    return merged.attempt(lambda: _saved(merged.form, row, by)), merged.told


def _saved(form: Form, row: SpaceRow, by: User | None) -> SpaceRow:
    """The words and the figures are both checked."""
    words = {name: form[name].strip() for name in Described.__dataclass_fields__}
    told = {name: text for name, text in words.items() if text or name == "name"}
    described, read = both(lambda: parse(Described, told), lambda: read_space(form))
    for name, value in vars(described).items():
        setattr(row, name, value)
    row.document, row.typed, row.by = SPACE.write(read.space), dict(read.typed), row.by or by
    row.save()
    return row


def space_words(row: SpaceRow, voice: Voice) -> str:
    """The size in a few words: of several widths and heights the smallest, which counts."""
    space = SPACE.readable(row.document)
    if space is None:
        return "its size cannot be read"
    wide, high = (voice.length(min(sizes)) for sizes in (space.widths_mm, space.heights_mm))
    return f"{wide} wide, {high} high, {'measured' if space.measured else 'not measured yet'}"


def _measured_after_all(form: Form, values: Mapping[str, str]) -> Iterator[Problem]:
    """What people write down only when they measure, of a side that was only said: they are asked, since
    either may be the slip."""
    remedy = "say who taped it and clear any “about”, or leave only what was said"
    said = {side: name for side, name in SIDES.items() if values[f"{name}_origin"] == "said"}
    for side, name in said.items():
        if (count := sum(key.startswith(f"{side}.") for key in values)) > 1:
            many = "two" if count == 2 else "three"
            yield Problem(f"space.{name}_origin", f"{many} {name}s are typed: are they measured?", remedy)
            return
    for key, name in (("measured_on", "date"), ("measured_by", "name")):
        if form[key].strip() and len(said) == len(SIDES):
            reason = f"a {name} of measuring is typed: is it measured?"
            yield Problem("space.width_origin", reason, remedy)
            return


def _missing(form: Form, typed: Mapping[str, str], before: Space | None) -> Iterator[Problem]:
    """What may not stay empty: one width, one height, and the fields that a page shows."""
    for side, name in (("widths_mm", "width"), ("heights_mm", "height")):
        on_page = before is None or f"space.{side}.0" in form.values
        if on_page and not any(key.startswith(side) for key in typed):
            yield Problem(f"{side}.0", f"no {name} is given", SAY)
    if len(both := [name for name in DIAGONALS if name in typed]) == 1:
        missing = next(name for name in DIAGONALS if name not in both)
        yield Problem(missing, "one diagonal says nothing of a corner", "measure both, or leave both empty")
    for key, name in NEEDED.items():
        if f"space.{key}" in form.values and key not in typed:
            yield Problem(key, f"no {name} is given", "type a length such as 5 mm or 760")


def _kept(form: Form, before: Space | None) -> dict[str, str]:
    """What stays of the space as it was: everything whose field is not on the page."""
    if before is None:
        return {}
    on_page = {name.removeprefix("space.").split(".")[0] for name in form.values if name.startswith("space.")}
    kept = flat(dump(before))
    return {name: text for name, text in kept.items() if name.split(".")[0] not in on_page and text != ""}


def _closed_up(values: Mapping[str, str]) -> dict[str, str]:
    """Widths and heights numbered without a gap, whichever of the three were typed."""
    closed: dict[str, str] = {}
    for name, text in values.items():
        side, _dot, number = name.partition(".")
        if side in ("widths_mm", "heights_mm") and number.isdecimal():
            number = str(sum(key.startswith(f"{side}.") for key in closed))
            name = f"{side}.{number}"
        closed[name] = text
    return closed
