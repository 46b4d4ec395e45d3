"""One dimension: extension lines, a line with oblique strokes, a figure above it (ISO 129-1, clause 4)."""

from dataclasses import dataclass

from studio.drawing.lettering import text_width
from studio.drawing.sheet import Lettering, Pen, Segment

__all__ = ["Dimension"]

GAP_MM, BEYOND_MM = 1.0, 1.5
"""Extension lines on the sheet: their distance from the outline, how far they go past the dimension line."""
STROKE_MM = 1.1
"""Half an oblique stroke on the sheet, each way."""
OVER_MM = 1.0
"""On the sheet, between a dimension line and the foot of its figures."""


@dataclass(frozen=True, slots=True)
class Dimension:
    """From `start` to `end` along x, or along y when `upright` (then `start` is the lower end, the larger
    y). The line lies at `line` on the other axis; extension lines come from `outline`. The first of
    `texts` that has room is lettered; where none has, the last stands beyond the end."""

    texts: tuple[str, ...]
    start: float
    end: float
    line: float
    outline: float
    upright: bool = False

    def drawn(self, pen: Pen) -> tuple[list[Segment], Lettering]:
        """The lines and the lettering in drawing units."""
        away = 1 if self.end > self.start else -1
        room = abs(self.end - self.start) - 2 * STROKE_MM * pen.unit
        widths = {text: text_width(text, pen.capital) for text in self.texts}
        text = next((text for text in self.texts if widths[text] <= room), self.texts[-1])
        width, line_end = widths[text], self.end
        middle = (self.start + self.end) / 2
        if width > room:
            middle = self.end + away * (2 * STROKE_MM * pen.unit + width / 2)
            line_end = middle + away * width / 2
        foot = self.line - OVER_MM * pen.unit
        x, y = (foot, middle) if self.upright else (middle, foot)
        return self._lines(pen, line_end), Lettering(text, x, y, width, self.upright)

    def _lines(self, pen: Pen, line_end: float) -> list[Segment]:
        out = 1 if self.line > self.outline else -1
        near, far = self.outline + out * GAP_MM * pen.unit, self.line + out * BEYOND_MM * pen.unit
        stroke = STROKE_MM * pen.unit
        lines = [(self.start, self.line, line_end, self.line)]
        for at in (self.start, self.end):
            lines.append((at, near, at, far))
            lines.append((at - stroke, self.line + stroke, at + stroke, self.line - stroke))
        # Exchanging x and y turns the strokes as well: they rise to the right for whoever reads the figures.
        return [(b, a, d, c) for a, b, c, d in lines] if self.upright else lines
