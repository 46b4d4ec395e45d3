"""A drilling template on sheets of paper: tiles that overlap, or one large sheet."""

from collections.abc import Iterable, Iterator
from itertools import product
from math import ceil

from studio.hanging.template import Template
from studio.hanging.template_paper import (
    BARS_MM,
    FOOT_MM,
    LARGE,
    MARGIN_MM,
    OVERLAP_MM,
    PAPERS,
    SMALL_MM,
    Box,
    Circle,
    Grid,
    Line,
    Paper,
    Sheet,
    Style,
    Text,
    sheet_name,
)  # fmt: skip
from studio.hanging.template_plan import plan_sheets
from studio.problem import Refused
from studio.voice import PLAIN, Voice, length, said

__all__ = ["one_sheet", "tiles"]

HOLE_MM, CROSS_MM, TICK_MM = 3.0, 12.0, 4.0
SHARES = 0.25, 0.75
"""Where along an overlap its crosses lie."""


def tiles(template: Template, paper: Paper, voice: Voice = PLAIN) -> tuple[Sheet, ...]:
    """The sheet plan, then the tiles, row by row, on sheets whichever way takes fewer of them."""
    wide, high = PAPERS[paper]
    grids = [_grid(template.region, size) for size in ((wide, high), (high, wide))]
    grid = min(grids, key=lambda grid: grid.columns * grid.rows)
    shown = [_tile(template, grid, column, row, voice) for row, column in _places(grid)]
    return (*plan_sheets(template, grid, voice), *shown)


def one_sheet(template: Template, voice: Voice = PLAIN) -> Sheet:
    """On the smallest of the A sheets that takes it. Raises Refused beyond A0."""
    left, bottom, right, top = template.region
    for name, turned in product(LARGE, (False, True)):
        size = PAPERS[name][::-1] if turned else PAPERS[name]
        grid = Grid(size, 1, 1, template.region)
        if right - left <= grid.field[0] and top - bottom <= grid.field[1]:
            return _tile(template, grid, 0, 0, voice)
    needed = said("{} by {}", length(right - left, 0), length(top - bottom, 0))
    tiled = len(tiles(template, "A4"))
    raise Refused.because(
        "template.paper",
        said("the template shows {} of wall, more than one A0 sheet takes", needed),
        said("{} A4 sheets, which are joined", tiled),
    )


def _grid(region: Box, paper: tuple[float, float]) -> Grid:
    left, bottom, right, top = region
    wide, high = Grid(paper, 1, 1, region).field
    columns = max(1, ceil((right - left - OVERLAP_MM) / (wide - OVERLAP_MM)))
    rows = max(1, ceil((top - bottom - OVERLAP_MM) / (high - OVERLAP_MM)))
    return Grid(paper, columns, rows, region)


def _places(grid: Grid) -> Iterable[tuple[int, int]]:
    return product(range(grid.rows), range(grid.columns))


def _tile(template: Template, grid: Grid, column: int, row: int, voice: Voice) -> Sheet:
    box, corner = grid.shown(column, row), (MARGIN_MM, MARGIN_MM + FOOT_MM)
    lines = [
        _placed(line, box, corner)
        for line in (*_marks(template), *_joins(grid, column, row))
        if _cut(line, box)
    ]
    seen = [hole for hole in template.holes if _inside(hole.across_mm, hole.up_mm, box)]
    at = [(hole.across_mm - box[0] + corner[0], hole.up_mm - box[1] + corner[1]) for hole in seen]
    numbers = [
        Text(x + TICK_MM, y + TICK_MM, str(hole.number)) for hole, (x, y) in zip(seen, at, strict=True)
    ]
    name = sheet_name(column, row)
    return Sheet(
        name,
        *grid.paper,
        (*lines, *_bars()),
        tuple(Circle(x, y, HOLE_MM) for x, y in at),
        (*numbers, *_lettered(template, box, corner, voice), *_foot(name, grid, voice)),
    )


def _inside(x: float, y: float, box: Box) -> bool:
    return box[0] <= x <= box[2] and box[1] <= y <= box[3]


def _cut(line: Line, box: Box) -> bool:
    """Whether any of a level or upright line lies in the box."""
    return (
        max(line.x1, line.x2) >= box[0]
        and min(line.x1, line.x2) <= box[2]
        and max(line.y1, line.y2) >= box[1]
        and min(line.y1, line.y2) <= box[3]
    )


def _placed(line: Line, box: Box, corner: tuple[float, float]) -> Line:
    """Cut to the box, on paper."""

    def x(value: float) -> float:
        return min(max(value, box[0]), box[2]) - box[0] + corner[0]

    def y(value: float) -> float:
        return min(max(value, box[1]), box[3]) - box[1] + corner[1]

    return Line(x(line.x1), y(line.y1), x(line.x2), y(line.y2), line.style)


def _marks(template: Template) -> Iterator[Line]:
    """Everything on the wall, all of it level or upright."""
    left, bottom, right, top = template.region
    for up in template.levels_mm:
        yield Line(left, up, right, up, "level")
    yield Line(0, bottom, 0, top, "centre")
    for boxes, style in ((template.outlines, "outline"), (template.cables, "cable")):
        for box in boxes:
            yield from _frame(box, "outline" if style == "outline" else "cable")
    for hole in template.holes:
        x, y, half = hole.across_mm, hole.up_mm, CROSS_MM / 2
        yield Line(x - half, y, x + half, y, "hole")
        yield Line(x, y - half, x, y + half, "hole")


def _frame(box: Box, style: Style) -> Iterator[Line]:
    a, b, c, d = box
    yield from (Line(a, b, c, b, style), Line(a, d, c, d, style))
    yield from (Line(a, b, a, d, style), Line(c, b, c, d, style))


def _joins(grid: Grid, column: int, row: int) -> Iterator[Line]:
    """Crosses in the middle of each overlap, the same on both sheets: laid one on the other they meet."""
    left, bottom, right, top = grid.shown(column, row)
    half = OVERLAP_MM / 2
    upright = [left + half] * (column > 0) + [right - half] * (column < grid.columns - 1)
    level = [top - half] * (row > 0) + [bottom + half] * (row < grid.rows - 1)
    points = [(x, bottom + share * (top - bottom)) for x in upright for share in SHARES]
    points += [(left + share * (right - left), y) for y in level for share in SHARES]
    for x, y in points:
        yield Line(x - TICK_MM, y, x + TICK_MM, y, "join")
        yield Line(x, y - TICK_MM, x, y + TICK_MM, "join")


def _lettered(template: Template, box: Box, corner: tuple[float, float], voice: Voice) -> Iterator[Text]:
    """Names of the level and centre lines, where this sheet shows them. From the uppermost level line all is
    measured, so that the others bear their distance from it."""
    for up in template.levels_mm:
        if box[1] <= up <= box[3]:
            name = f"{voice.length(-up)} below the level line" if up else "level line"
            yield Text(corner[0] + 1, up - box[1] + corner[1] + 1, name, SMALL_MM)
    if box[0] <= 0 <= box[2]:
        low = max(template.region[1] - box[1], 0)
        yield Text(corner[0] - box[0] + 1, low + corner[1] + 1, "centre line", SMALL_MM)


def _bars() -> Iterator[Line]:
    """Check bars with ends."""
    for bar, up in zip(BARS_MM, (MARGIN_MM + 13, MARGIN_MM + 6), strict=True):
        yield Line(MARGIN_MM, up, MARGIN_MM + bar, up, "bar")
        for x in (MARGIN_MM, MARGIN_MM + bar):
            yield Line(x, up - 1.5, x, up + 1.5, "bar")


def _foot(name: str, grid: Grid, voice: Voice) -> Iterator[Text]:
    x = MARGIN_MM + BARS_MM[1] + 4
    yield Text(x, MARGIN_MM + 12, "100 mm", SMALL_MM)
    yield Text(x, MARGIN_MM + 5, "4 inches", SMALL_MM)
    yield Text(MARGIN_MM, MARGIN_MM + 18, f"Sheet {name}. Print at 100 %, and check bars and holes by tape.")
    if grid.columns * grid.rows > 1:
        overlap = voice.length(OVERLAP_MM)
        told = f"Lay the crosses of two sheets on each other: they overlap by {overlap}."
        yield Text(MARGIN_MM, MARGIN_MM, told, SMALL_MM)
