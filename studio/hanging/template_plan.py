"""The first pages of a drilling template: which sheet lies where, and every hole by its coordinates."""

from collections.abc import Iterator, Sequence
from itertools import product
from textwrap import wrap

from studio.hanging.template import Hole, Template
from studio.hanging.template_paper import LETTERS_MM, MARGIN_MM, Grid, Line, Sheet, Text, sheet_name
from studio.voice import Voice

__all__ = ["hole_words", "plan_sheets"]

PICTURE_MM = 80.0
"""Height of the sheet plan, at most."""
LINE_MM = 6.0
LETTER_WIDTH = 0.5
"""Of a letter on average, in its size."""
TAPE = (
    "Print at 100 %, without fitting to the page. Paper moves with the air: before you drill, check the "
    "bars on "
    "each sheet and every distance below by tape. Level the level line; the centre line is the middle of the "
    "lattice."
)


def plan_sheets(template: Template, grid: Grid, voice: Voice) -> tuple[Sheet, ...]:
    """Distances are from the level line first, then from the centre line."""
    picture, names, low_mm = _picture(template, grid)
    listed = list(_listed(template, grid, voice))
    first = max(1, int((low_mm - MARGIN_MM) // LINE_MM) - 1)
    other = int((grid.paper[1] - 2 * MARGIN_MM) // LINE_MM)
    parts = [listed[:first], *(listed[i : i + other] for i in range(first, len(listed), other))]
    tops = [low_mm, *[grid.paper[1] - MARGIN_MM] * len(parts)]
    return tuple(
        Sheet(
            "plan" if page == 0 else f"plan {page + 1}",
            *grid.paper,
            picture if page == 0 else (),
            (),
            (*(names if page == 0 else ()), *_written(part, top)),
        )
        for page, (part, top) in enumerate(zip(parts, tops, strict=False))
    )


def _written(lines: Sequence[str], top_mm: float) -> Iterator[Text]:
    for number, line in enumerate(lines, start=1):
        yield Text(MARGIN_MM, top_mm - number * LINE_MM, line)


def _listed(template: Template, grid: Grid, voice: Voice) -> Iterator[str]:
    letters = int((grid.paper[0] - 2 * MARGIN_MM) / (LETTERS_MM * LETTER_WIDTH))
    for text in (TAPE, template.says):
        yield from wrap(text, letters)
    for hole in template.holes:
        yield hole_words(hole, voice)


def hole_words(hole: Hole, voice: Voice) -> str:
    """Where it is, from the level line first, and what its fixing carries with no factor."""
    up, across = round(hole.up_mm, 1), round(hole.across_mm, 1)
    level = (
        "on the level line"
        if not up
        else f"{voice.length(abs(up))} {'above' if up > 0 else 'below'} the level line"
    )
    aside = f"{voice.length(abs(across))} {'right' if across > 0 else 'left'} of the centre line"
    middle = "on the centre line" if not across else aside
    return f"Hole {hole.number}: {level}, {middle}; carries up to {voice.load(hole.load_g)}"


def _picture(template: Template, grid: Grid) -> tuple[tuple[Line, ...], tuple[Text, ...], float]:
    """The tiles and holes in small, and where the text below begins."""
    boxes = [grid.shown(column, row) for row, column in product(range(grid.rows), range(grid.columns))]
    names = [sheet_name(column, row) for row, column in product(range(grid.rows), range(grid.columns))]
    left, bottom = boxes[-grid.columns][0], boxes[-1][1]
    right, top = boxes[-1][2], boxes[0][3]
    scale = min((grid.paper[0] - 2 * MARGIN_MM) / (right - left), PICTURE_MM / (top - bottom))
    low = grid.paper[1] - MARGIN_MM - (top - bottom) * scale

    def line(x1: float, y1: float, x2: float, y2: float) -> Line:
        x, y = MARGIN_MM - left * scale, low - bottom * scale
        return Line(x1 * scale + x, y1 * scale + y, x2 * scale + x, y2 * scale + y, "plan")

    drawn = [
        line(*ends)
        for a, b, c, d in boxes
        for ends in ((a, b, c, b), (a, d, c, d), (a, b, a, d), (c, b, c, d))
    ]
    drawn += [line(left, up, right, up) for up in template.levels_mm]
    reach = 1.5 / scale
    for hole in template.holes:
        x, y = hole.across_mm, hole.up_mm
        drawn += [line(x - reach, y, x + reach, y), line(x, y - reach, x, y + reach)]
    at = [line(a, d, c, d) for a, _, c, d in boxes]
    texts = (Text(each.x1 + 3, each.y1 - 7, name) for each, name in zip(at, names, strict=True))
    return tuple(drawn), tuple(texts), low
