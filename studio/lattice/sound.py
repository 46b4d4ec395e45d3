"""Whether the strokes of a pattern make sense: what a document's types cannot tell."""

from collections.abc import Iterator
from math import floor
from typing import cast

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon

from studio.lattice.cell import cell_polygon
from studio.lattice.kinds import kind_of
from studio.lattice.pattern import Arc, CellForm, Fill, Line, Pattern
from studio.lattice.shapes import shape_in
from studio.lattice.strokes import CellScale, path_of, scale_of
from studio.memo import memo
from studio.problem import Problem, refuse_all

__all__ = ["MOST_CROSSINGS", "MOST_POINTS", "refuse_unsound", "unsound"]

SIDE_MM, HAIR_MM = 100.0, 0.05
"""Strokes are judged in a cell of this side; what is shorter or nearer than a hair counts as nothing."""
MOST_POINTS = 1000
MOST_CROSSINGS = 2000
"""Of the strokes in one cell: more could not be told apart in print, and would keep a caller waiting."""

Stroke = Line | Arc | Fill


def refuse_unsound(pattern: Pattern) -> None:
    """Raise Refused with every problem of the pattern's strokes. Fields are paths into its document, such as
    half.2.points: the third stroke of half cells."""
    refuse_all(unsound(pattern))


@memo
def unsound(pattern: Pattern) -> tuple[Problem, ...]:
    """Every problem of the pattern's strokes, none when they make sense."""
    problems = list(_names(pattern))
    for form in kind_of(pattern.lattice).forms:
        problems += _form(pattern, form)
    return tuple(problems)


def _names(pattern: Pattern) -> Iterator[Problem]:
    for field, text in (("name", pattern.name), ("shows", pattern.shows)):
        if not text.isprintable() or text != text.strip():
            reason = "the text holds tabs, line breaks or other signs that cannot be printed, or blank ends"
            yield Problem(field, reason, "plain words on one line")
    if pattern.slug == "open" and not pattern.is_open:
        yield Problem("slug", "“open” is the pattern that leaves cells empty", "another short name")


def _form(pattern: Pattern, form: CellForm) -> list[Problem]:
    """Cheap questions first: what is asked later may take long for a tangle."""
    key, strokes = form.replace(" ", "_"), pattern.strokes(form)
    points = sum(len(stroke.points) for stroke in strokes if not isinstance(stroke, Arc))
    if points > MOST_POINTS:
        reason = f"the strokes of a {form} cell have {points} points"
        return [Problem(key, reason, f"at most {MOST_POINTS}")]
    if arcs := [Problem(f"{key}.{i}", *found) for i, stroke in enumerate(strokes) for found in _arc(stroke)]:
        return arcs
    scale = scale_of(pattern.lattice, SIDE_MM)
    drawn = np.array([path_of(stroke, scale) for stroke in strokes], dtype=object)
    if (crossings := _crossings(drawn)) > MOST_CROSSINGS:
        reason = f"the strokes of a {form} cell cross each other in about {crossings} places"
        return [Problem(key, reason, f"at most {MOST_CROSSINGS}")]
    flaws = [_flaw(stroke, path) for stroke, path in zip(strokes, drawn, strict=True)]
    if any(flaws):
        return [Problem(f"{key}.{i}", *flaw) for i, flaw in enumerate(flaws) if flaw]
    return [Problem(f"{key}.{i}", *found) for i, found in _placed(pattern, form, drawn, scale)]


def _arc(stroke: Stroke) -> Iterator[tuple[str, str]]:
    """Reason and remedy of what is wrong with an arc."""
    if not isinstance(stroke, Arc):
        return
    span = stroke.end_deg - stroke.start_deg
    if abs(span) < 0.01 or stroke.radius < HAIR_MM / SIDE_MM:
        yield "the arc spans nothing", "an end some degrees after its start, and a radius to be seen"
    elif span < 0:
        yield (
            f"the arc ends at {stroke.end_deg:g} degrees, before its start at {stroke.start_deg:g}, "
            "and arcs run anticlockwise",
            f"an end of {stroke.end_deg - 360 * floor(span / 360):g} degrees, or the two exchanged",
        )
    elif span > 360:
        yield f"the arc spans {span:g} degrees", "at most 360, a full ring"


def _flaw(stroke: Stroke, path: LineString) -> tuple[str, str] | None:
    """Reason and remedy of what is wrong with a line or a fill in itself."""
    if path.length < HAIR_MM:
        return f"the {stroke.kind} has no length", "points that lie apart"
    if isinstance(stroke, Fill):
        area = Polygon(path)
        if not area.is_valid:
            return "the edge of the fill crosses or touches itself", "corners in order round the fill"
        return None if area.area > HAIR_MM else ("the fill has no area", "corners that are not in one line")
    if path.length - shapely.union_all([path]).length > HAIR_MM:
        return "the line runs back over itself", "each stretch once"
    return None


def _placed(
    pattern: Pattern, form: CellForm, drawn: NDArray[np.object_], scale: CellScale
) -> Iterator[tuple[int, tuple[str, str]]]:
    """Strokes that miss their cell or lie on others, by number, with reason and remedy."""
    cell = cell_polygon(pattern.lattice, shape_in(form, 0), 0, SIDE_MM)
    areas = [
        Polygon(path) if isinstance(stroke, Fill) else path
        for stroke, path in zip(pattern.strokes(form), drawn, strict=True)
    ]
    inside = shapely.length(shapely.intersection(np.array(areas, dtype=object), cell))
    for i in np.flatnonzero(inside < HAIR_MM).tolist():
        reason = f"the stroke lies wholly outside a {form} cell"
        yield i, (reason, f"points within the cell: {_range(cell, scale)}")
    for i, first in _twice(drawn):
        yield i, (f"the stroke lies on stroke {first} of the same cell", "each stroke once")


def _range(cell: Polygon, scale: CellScale) -> str:
    """The bounds of a cell in the pattern's units."""
    left, low, right, high = cell.bounds
    x, y, _ = scale
    return f"x from {left / x:.2f} to {right / x:.2f}, y from {low / y:.2f} to {high / y:.2f}"


def _twice(drawn: NDArray[np.object_]) -> list[tuple[int, int]]:
    """Strokes that lie wholly on another one, each with the first it lies on."""
    bands = shapely.buffer(drawn, HAIR_MM / 10)
    on, under = shapely.STRtree(bands).query(drawn, predicate="covered_by")
    found: dict[int, int] = {}
    for i, j in sorted(zip(on.tolist(), under.tolist(), strict=True)):
        if i != j and found.get(j) != i:
            found.setdefault(i, j)
    return list(found.items())


def _crossings(drawn: NDArray[np.object_]) -> int:
    """How many pairs of stretches meet, roughly: neighbours within a stroke included."""
    points, stroke = shapely.get_coordinates(drawn, return_index=True)
    joined = stroke[1:] == stroke[:-1]
    ends = np.stack((points[:-1][joined], points[1:][joined]), axis=1)
    stretches = cast("NDArray[np.object_]", shapely.linestrings(ends))
    first, _ = shapely.STRtree(stretches).query(stretches, predicate="intersects")
    return max(0, (len(first) - 3 * len(stretches)) // 2)
