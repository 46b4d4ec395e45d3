"""A space as it is typed: up to three widths and heights, the way in, what stands near it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Annotated, get_args

from pydantic import Field

from studio.clients.models import Space as SpaceRow
from studio.document import document, dump, parse
from studio.forms import Form, flat, nested
from studio.lattice.design import Furniture, Space
from studio.meanwhile import Known, based, caught_up
from studio.people.models import User
from studio.problem import Problem, Refused, refuse_all
from studio.stored.kinds import SPACE
from studio.typed_lengths import as_typed, read_lengths, shown_length
from studio.voice import Voice

__all__ = ["FURNITURE", "MOUNTINGS", "ReadSpace", "read_space", "save_space", "space_form", "space_words"]

SIZES = tuple(f"{side}.{index}" for side in ("widths_mm", "heights_mm") for index in range(3))
LENGTHS = (*SIZES, "gap_mm", "way_in.width_mm", "way_in.length_mm", "floor_to_bottom_mm")
TICKS = ("indoors", "public_room", "near_heat", "above_people")
NEEDED = {"gap_mm": "gap", "way_in.width_mm": "narrowest width", "way_in.length_mm": "longest part"}
NEW = Space(widths_mm=(Decimal(1000),), heights_mm=(Decimal(1000),))
"""Gives a new space's form its usual gap and way in; its sizes are not shown."""
SAY = 'type it as it was said, such as 1200, 1.2 m, about 2 m or 47 1/4"'
FURNITURE: tuple[Furniture, ...] = get_args(Furniture)
MOST_FURNITURE = 4
MEASURED = {"on": "not measured yet", "off": "measured"}
KNOWN = Known(said=lambda name, text: MEASURED.get(text, "") if name == "space.about" else "")
MOUNTINGS = (("wall", "on a wall"), ("free-standing", "free-standing"), ("in a frame", "in a frame"))


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
    values["space.about"] = "off" if space.measured else "on"
    about = {name: getattr(row, name) or "" for name in Described.__dataclass_fields__}
    return based(Form({**values, **{name: str(value) for name, value in about.items()}}), KNOWN)


def read_space(form: Form, before: Space | None = None) -> ReadSpace:
    """Raises Refused with fields under "space". Fields that are not on the page stay as they were."""
    typed = {name: form[f"space.{name}"].strip() for name in LENGTHS if form[f"space.{name}"].strip()}
    lengths = read_lengths(typed, may_be_zero=("gap_mm", "floor_to_bottom_mm"))
    problems = [*lengths.problems, *_missing(form, typed, before)]
    if problems:
        raise Refused(*problems).under("space")
    values = _kept(form, before) | dict(lengths.mm)
    approximate = form["space.about"] == "on" or any(name in lengths.approximate for name in SIZES)
    if approximate and (before is None or before.measured):
        refuse_all(_measured_after_all(form, values))
    values |= {"measured": "off" if approximate else "on"}
    values = _furnished(form, values)
    values |= {name: form[f"space.{name}"] for name in (*TICKS, "mounting") if f"space.{name}" in form.values}
    try:
        return ReadSpace(parse(Space, nested(_closed_up(values))), _closed_up(typed))
    except Refused as refused:
        places = dict(zip(_closed_up(typed), typed, strict=True))
        placed = (Problem(places.get(p.field, p.field), p.reason, p.remedy) for p in refused.problems)
        raise Refused(*(as_typed(problem, typed) for problem in placed)).under("space") from None


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
    problems: list[Problem] = []
    described = read = None
    try:
        words = {name: form[name].strip() or None for name in Described.__dataclass_fields__}
        described = parse(
            Described, {name: text for name, text in words.items() if text} | {"name": words["name"] or ""}
        )
    except Refused as refused:
        problems += refused.problems
    try:
        read = read_space(form)
    except Refused as refused:
        problems += refused.problems
    if described is None or read is None:
        raise Refused(*problems)
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
    """What people write down only when they measure, in a space that is said to be unmeasured: they are
    asked, since either may be the slip."""
    remedy = "clear this tick and any “about”, or leave only what was said"
    for side, name in (("widths_mm", "widths"), ("heights_mm", "heights")):
        if (count := sum(key.startswith(f"{side}.") for key in values)) > 1:
            many = "two" if count == 2 else "three"
            yield Problem("space.about", f"{many} {name} are typed: are they measured?", remedy)
            return
    for key, name in (("measured_on", "date"), ("measured_by", "name")):
        if form[key].strip():
            yield Problem("space.about", f"a {name} of measuring is typed: is it measured?", remedy)
            return


def _missing(form: Form, typed: Mapping[str, str], before: Space | None) -> Iterator[Problem]:
    """What may not stay empty: one width, one height, and the fields that a page shows."""
    for side, name in (("widths_mm", "width"), ("heights_mm", "height")):
        on_page = before is None or f"space.{side}.0" in form.values
        if on_page and not any(key.startswith(side) for key in typed):
            yield Problem(f"{side}.0", f"no {name} is given", SAY)
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
