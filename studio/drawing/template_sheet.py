"""Sheets of a drilling template as SVG at full size."""

from collections.abc import Iterable

from studio.drawing.markup import FONT, element, escape, path
from studio.hanging.template_paper import Circle, Line, Sheet, Style, Text

__all__ = ["sheet_svg"]

PENS: dict[Style, tuple[float, str | None]] = {
    "level": (0.35, None),
    "centre": (0.35, "8 2 1 2"),
    "outline": (0.18, None),
    "join": (0.25, None),
    "hole": (0.25, None),
    "bar": (0.35, None),
    "cable": (0.25, "2 1.5"),
    "plan": (0.18, None),
}
"""Width in mm and dashes: ISO 128-2 series (from memory)."""
INK = "#000000"


def sheet_svg(sheet: Sheet, lettered: bool = True) -> str:
    """One sheet, a unit a millimetre, y turned down, to 0.001 mm. Without letters where a page sets them as
    text over it."""
    high, texts = sheet.height_mm, sheet.texts if lettered else ()
    content = "".join(
        (
            *(_lines(sheet.lines, style, high) for style in PENS),
            *(_circle(circle, high) for circle in sheet.circles),
            *(_text(text, high) for text in texts),
        )
    )
    name = f"Drilling template, sheet {sheet.name}"
    return element(
        "svg",
        element("title", escape(name)) + content,
        xmlns="http://www.w3.org/2000/svg",
        width=f"{_mm(sheet.width_mm)}mm",
        height=f"{_mm(sheet.height_mm)}mm",
        viewBox=f"0 0 {_mm(sheet.width_mm)} {_mm(sheet.height_mm)}",
        role="img",
        aria_label=name,
    )


def _lines(lines: Iterable[Line], style: Style, high: float) -> str:
    """All of a style as one path."""
    data = "".join(
        f"M{_mm(line.x1)} {_mm(high - line.y1)}L{_mm(line.x2)} {_mm(high - line.y2)}"
        for line in lines
        if line.style == style
    )
    width, dashes = PENS[style]
    pen = {"stroke": INK, "stroke_width": width, "stroke_dasharray": dashes}
    return path(data, class_=style, fill="none", **pen) if data else ""


def _circle(circle: Circle, high: float) -> str:
    at = {"cx": _mm(circle.x), "cy": _mm(high - circle.y), "r": _mm(circle.radius_mm)}
    return element("circle", **at, fill="none", stroke=INK, stroke_width=PENS["hole"][0])


def _text(text: Text, high: float) -> str:
    at = {"x": _mm(text.x), "y": _mm(high - text.y)}
    return element("text", escape(text.text), **at, font_size=text.size_mm, font_family=FONT, fill=INK)


def _mm(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")
