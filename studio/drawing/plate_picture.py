"""A plate as it lies on its bed."""

from collections.abc import Iterator, Mapping, Sequence

import shapely
from shapely import Polygon, box

from studio.drawing.colour import colour_of, needs_edge
from studio.drawing.layers import EDGE, OUTLINE
from studio.drawing.markup import path, svg
from studio.drawing.paths import outline_path
from studio.drawing.rings import PER_MM
from studio.drawing.sheet import Frame
from studio.lattice.part import Part
from studio.making.equipment import Printer
from studio.making.plate import Plate, lay_out, placed
from studio.voice import PLAIN, Voice

__all__ = ["plate_svg"]

MARGIN = 0.02
"""White round the bed, of its longer side."""
OPENINGS = 0.55
"""How dense a lattice section is shown, whose openings are counted and have no place."""


def plate_svg(
    plate: Plate,
    parts: Sequence[Part],
    printers: Sequence[Printer],
    colours: Mapping[str, str],
    *,
    title: str,
    ident: str,
    voice: Voice = PLAIN,
) -> str:
    """The bed from above, its front below: its margin dashed, the pieces in the colour of their filament.
    `parts` are those of the bill; `title` is plain text, `ident` its own on the page. Raises Refused for a
    filament without a colour."""
    printer = next(printer for printer in printers if printer.name == plate.printer)
    width, depth, margin = printer.bed_width_mm, printer.bed_depth_mm, printer.margin_mm
    bed, usable = box(0, 0, width, depth), box(margin, margin, width - margin, depth - margin)
    content = path(outline_path([bed]), class_="bed", **OUTLINE)
    content += path(outline_path([usable]), class_="margin", stroke_dasharray="4 3", **EDGE)
    content += "".join(_pieces(plate, parts, printer, colour_of(colours, plate.filament)))
    around = MARGIN * max(width, depth) * PER_MM
    frame = Frame(0, -depth * PER_MM, width * PER_MM, 0).around(around)
    said = described(plate, parts, printer, voice)
    return svg(frame, content, title=title, ident=ident, class_="drawing plate", describe=said)


def _pieces(plate: Plate, parts: Sequence[Part], printer: Printer, colour: str) -> Iterator[str]:
    """A path for each row of equal pieces."""
    for run in lay_out(plate, parts, [printer]):
        face = parts[run.part].face
        drawn = [Polygon(rings[0], rings[1:]) for rings in placed(run, face)]
        moved = list(shapely.transform(drawn, lambda points: points + printer.margin_mm))
        counted = any(ring.count > 1 for ring in face.rings)
        yield path(
            outline_path(moved),
            class_=parts[run.part].code,
            fill=colour,
            fill_opacity=OPENINGS if counted else None,
            **(EDGE if counted or needs_edge(colour) else {}),
        )


def described(plate: Plate, parts: Sequence[Part], printer: Printer, voice: Voice) -> str:
    """The plate in words, for who cannot see it: "162 pieces in Tea on a bed of 256 mm by 256 mm: 162 infill,
    hemp-leaf whole"."""
    kinds = []
    for item in plate.parts:
        part = parts[item.part]
        name = " ".join(voice.say(word) for word in (part.pattern, part.size) if word)
        kinds.append(f"{voice.number(item.count)} {part.code}, {name}")
    width, depth = voice.length(printer.bed_width_mm), voice.length(printer.bed_depth_mm)
    pieces = f"{voice.count(plate.pieces, 'piece')} in {plate.filament}"
    return f"{pieces} on a bed of {width} by {depth}: {'; '.join(kinds)}"
