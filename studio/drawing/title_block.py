"""The title block of a drawing: whose it is, what it shows, at which scale."""

from dataclasses import dataclass

from studio.drawing.lettering import CAPITAL_EM, text_width
from studio.drawing.markup import FONT, LETTER, element, escape, segments_path
from studio.drawing.sheet import Pen, Segment

__all__ = ["HEIGHT_MM", "WIDTH_MM", "TitleBlock", "title_block"]

WIDTH_MM, ROW_MM = 180.0, 10.0
"""ISO 7200:2004 makes a title block 180 mm wide, as wide as an A4 sheet with its margins."""
PAD_MM, CAPTION_MM, VALUE_MM, LEAST_MM = 1.5, 1.5, 2.5, 1.5
"""On the sheet: from a line to its text, height of capitals in a caption, in what it heads, at the least."""
LINE_PX = 0.7

ROWS = (
    (("studio", 60.0), ("client", 60.0), ("space", 60.0)),
    (("title", 110.0), ("number", 45.0), ("issue", 25.0)),
    (("shows", 60.0), ("created_by", 40.0), ("date", 30.0), ("scale", 25.0), ("sheet", 25.0)),
)
"""Fields and their widths on the sheet, as far as a studio has use for those of ISO 7200:2004: legal owner,
identification number, revision index, date of issue, sheet, title, document type, creator."""
HEIGHT_MM = ROW_MM * len(ROWS)


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """Plain texts. `number` and `issue` are those of the proposal or option that the drawing belongs to;
    `sheet` reads "1 of 3"; `scale` is filled in by whoever lays the sheet out."""

    studio: str
    client: str
    space: str
    title: str
    shows: str
    number: str
    issue: str
    date: str
    created_by: str = ""
    scale: str = ""
    sheet: str = "1 of 1"


def title_block(block: TitleBlock, right: float, bottom: float, pen: Pen) -> str:
    """As an SVG group with its lower right corner at a point in drawing units. A text that is too long for
    its field is set smaller, then cut."""
    texts, lines = "", []
    left, top = right - WIDTH_MM * pen.unit, bottom - HEIGHT_MM * pen.unit
    for i, row in enumerate(ROWS):
        x, y = left, top + i * ROW_MM * pen.unit
        for name, width in row:
            room = (width - 2 * PAD_MM) * pen.unit
            foot = x + PAD_MM * pen.unit, y + ROW_MM * pen.unit
            texts += _text(name.replace("_", " "), foot[0], y + 3.5 * pen.unit, CAPTION_MM * pen.unit)
            texts += _fitted(str(getattr(block, name)), foot[0], foot[1] - 2.2 * pen.unit, pen, room)
            x += width * pen.unit
            lines.append((x, y, x, foot[1]))
        lines.append((left, y, right, y))
    lines += [(left, top, left, bottom), (left, bottom, right, bottom)]
    return element("g", _ruled(lines) + _lettered(texts), class_="title-block")


def _ruled(lines: list[Segment]) -> str:
    return element(
        "path",
        d=segments_path(lines),
        stroke="currentColor",
        stroke_width=LINE_PX,
        vector_effect="non-scaling-stroke",
    )


def _lettered(texts: str) -> str:
    return element("g", texts, fill="currentColor", font_family=FONT, transform=f"scale({LETTER})")


def _fitted(text: str, x: float, y: float, pen: Pen, room: float) -> str:
    usual, least = VALUE_MM * pen.unit, LEAST_MM * pen.unit
    capital = min(usual, usual * room / max(text_width(text, usual), 1e-9))
    if capital < least:
        capital = least
        text = text[: int(len(text) * room / text_width(text, least)) - 1].rstrip() + "…"
    return _text(text, x, y, capital)


def _text(text: str, x: float, y: float, capital: float) -> str:
    size = round(capital / CAPITAL_EM / LETTER, 1)
    return (
        element("text", escape(text), x=round(x / LETTER), y=round(y / LETTER), font_size=size)
        if text
        else ""
    )
