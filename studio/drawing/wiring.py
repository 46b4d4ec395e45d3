"""How a light is wired: strips, links, leads and feeds behind a panel, seen from the front."""

from collections.abc import Iterator
from itertools import pairwise

from studio.drawing.elevation import screen_pen
from studio.drawing.lettering import text_width
from studio.drawing.markup import hairline, letter_text, segments_path, svg
from studio.drawing.rings import PER_MM
from studio.drawing.sheet import Lettering, Pen, Segment, frame_of
from studio.lattice.composition import Composition
from studio.light.feeds import Feed
from studio.light.layout import Point
from studio.light.plan import LightPlan
from studio.voice import PLAIN, Voice

__all__ = ["feed_words", "wiring_svg"]

MODULE_PX, STRIP_PX, LEAD_PX = 1.0, 2.6, 0.8
OVER_MM = 0.8
"""On the sheet, between a strip and the foot of its figures."""


def wiring_svg(
    composition: Composition, light: LightPlan, *, title: str, ident: str, voice: Voice = PLAIN
) -> str:
    """Strips in a heavy line, modules in a light one; leads from the supplies' corner and the links between
    strips are dashed. Each feed is lettered at its first strip with as much as there is room for, at least
    its number. `title` is plain text, `ident` its own on the page."""
    place, pen = _Place(composition), screen_pen(composition)
    supplies = {feed: number for number, each in enumerate(light.circuits, 1) for feed in each.feeds}
    words = [feed_words(i, feed, supplies[i], voice) for i, feed in enumerate(light.feeds)]
    content = (
        hairline("modules", segments_path(place.modules(light)), MODULE_PX)
        + hairline("leads", segments_path(place.leads(light)), LEAD_PX, stroke_dasharray="4 3")
        + hairline("strips", segments_path(place.strips(light)), STRIP_PX)
        + letter_text([place.lettered(*pair, pen) for pair in zip(light.feeds, words, strict=True)], pen)
    )
    counted = voice.count(len(light.feeds), "feed"), voice.count(len(light.circuits), "supply", "supplies")
    told = f"{voice.length(light.length_mm, 0)} of strip, {' from '.join(counted)}"
    frame = frame_of(composition).around(2 * pen.capital)
    return svg(frame, content, title=title, describe=f"{told}.", ident=ident, class_="drawing wiring")


def feed_words(number: int, feed: Feed, supply: int, voice: Voice) -> tuple[str, ...]:
    """What stands at a feed (numbered from 0), the longest first: its number, length, fuse, lead and
    supply."""
    name = f"F{number + 1}"
    fuse, lead = (
        f"{voice.quantity(feed.fuse.amps)} A",
        f"{voice.quantity(float(feed.lead.cross_section_mm2))} mm²",
    )
    return f"{name}: {voice.length(feed.length_mm, 0)}, {fuse}, {lead}, S{supply}", f"{name} S{supply}", name


class _Place:
    """From the plan's millimetres to drawing units."""

    def __init__(self, composition: Composition) -> None:
        fit = composition.fit
        self.edging_mm = float(composition.design.edging_width_mm)
        self.top_mm = fit.lattice_height_mm + self.edging_mm

    def at(self, point: Point) -> Point:
        return PER_MM * (point[0] - self.edging_mm), PER_MM * (self.top_mm - point[1])

    def between(self, start: Point, end: Point) -> Segment:
        return *self.at(start), *self.at(end)

    def modules(self, light: LightPlan) -> Iterator[Segment]:
        for p in light.places:
            corners = (
                (p.left_mm, p.bottom_mm), (p.right_mm, p.bottom_mm), (p.right_mm, p.top_mm),
                (p.left_mm, p.top_mm), (p.left_mm, p.bottom_mm),
            )  # fmt: skip
            yield from (self.between(*pair) for pair in pairwise(corners))

    def strips(self, light: LightPlan) -> Iterator[Segment]:
        return (self.between(piece.start, piece.end) for feed in light.feeds for piece in feed.pieces)

    def leads(self, light: LightPlan) -> Iterator[Segment]:
        """Across along the panel's lower side, then up; and between the pieces of a run."""
        for feed in light.feeds:
            start = feed.pieces[0].start
            yield self.between((0, 0), (start[0], 0))
            yield self.between((start[0], 0), start)
            for piece, following in pairwise(feed.pieces):
                yield self.between(piece.end, following.start)

    def lettered(self, feed: Feed, words: tuple[str, ...], pen: Pen) -> Lettering:
        """Over the first piece; upright ones are read from the right."""
        (x0, y0), (x1, y1) = (self.at(point) for point in (feed.pieces[0].start, feed.pieces[0].end))
        room, upright = max(abs(x1 - x0), abs(y1 - y0)), abs(y1 - y0) > abs(x1 - x0)
        widths = {text: text_width(text, pen.capital) for text in words}
        text = next((text for text in words if widths[text] <= room), words[-1])
        x, y, over = (x0 + x1) / 2, (y0 + y1) / 2, OVER_MM * pen.unit
        x, y = (x - over, y) if upright else (x, y - over)
        return Lettering(text, x, y, widths[text], upright)
