"""Drawings for documents, as images that WeasyPrint 70 places without parsing any path.

drawing = PanelDrawing(composition, colours) image = drawing.elevation((174, 120))
write_pdf(cache={"lattice:A": image, "lattice:A-detail": drawing.detail(...)}) # a fresh dict each time

The panel is stored once per document, whatever shows it. WeasyPrint's image protocol is not promised from
one release to the next; tests/drawing/test_weasy.py tells when it changes.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256
from itertools import takewhile
from typing import Any
from zlib import compress

import pydyf

from studio.drawing.panel_dimensions import Dimensioned, dimensioned
from studio.drawing.pdf_content import INK, panel_content
from studio.drawing.rings import PER_MM
from studio.drawing.scale import Scale, largest_scale, listed_scales
from studio.drawing.sheet import Frame, Lettering, Pen, corner_of, frame_of
from studio.lattice.composition import Composition
from studio.voice import PLAIN, Voice

__all__ = ["CAPITAL_MM", "LatticeImage", "PanelDrawing", "PaperFigure"]

CAPITAL_MM = 2.5
"""Height of capitals on paper: ISO 3098 series (from memory)."""
LINE_MM, OUTLINE_MM = 0.18, 0.35
"""Dimension lines, the panel's outline: ISO 128-2 series (from memory)."""
SMALLEST = 1000
"""No panel needs a smaller scale than 1:1000; 20 m at 1:200 are 100 mm."""
PX_PER_MM = 96 / 25.4
"""CSS pixels."""


@dataclass(frozen=True, slots=True)
class PaperFigure:
    """Lettering that the template sets as text over the image, so that it can be searched, read aloud and
    copied. `style` places a box, centred on the figure and measured from the image's upper left corner."""

    text: str
    style: str


class _Form:
    """The panel as a PDF form; the same object in every image of the panel, hence stored once."""

    def __init__(self, composition: Composition, colours: Mapping[str, str]) -> None:
        content = panel_content(composition, colours)
        frame = frame_of(composition).around(PER_MM)
        self._box = (frame.left, frame.top, frame.right, frame.bottom)
        self._content = compress(content, 6)
        self.id = "lattice" + sha256(content).hexdigest()[:32]

    def get_x_object(self, interpolate: bool, dpi_ratio: float) -> pydyf.Stream:
        return pydyf.Stream(
            [self._content],
            pydyf.Dictionary(
                {
                    "Type": "/XObject",
                    "Subtype": "/Form",
                    "BBox": pydyf.Array(round(edge) for edge in self._box),
                    "Resources": pydyf.Dictionary(),
                    "Filter": "/FlateDecode",
                }
            ),
        )


class LatticeImage:
    """A view of a panel at a scale, in WeasyPrint's image protocol. Without CSS sizes it has its true
    size on paper."""

    def __init__(self, form: _Form, view: Frame, scale: Scale, dimensions: Dimensioned | None = None) -> None:
        self.form, self.view, self.scale, self.dimensions = form, view, scale, dimensions
        self.id = form.id

    @property
    def width_mm(self) -> float:
        return self.scale.paper_mm(self.view.width / PER_MM)

    @property
    def height_mm(self) -> float:
        return self.scale.paper_mm(self.view.height / PER_MM)

    @property
    def figures(self) -> tuple[PaperFigure, ...]:
        """Sizes to be set over the image; none without dimensions."""
        return tuple(map(self._figure, self.dimensions.lettering)) if self.dimensions else ()

    def get_intrinsic_size(self, image_resolution: float, font_size: float) -> tuple[float, float, float]:
        width, height = self.width_mm * PX_PER_MM, self.height_mm * PX_PER_MM
        return width, height, width / height

    def draw(self, stream: Any, concrete_width: float, concrete_height: float, style: Any) -> None:
        view = self.view
        a, d = concrete_width / view.width, concrete_height / view.height
        # as text, because pydyf would round the small factors to six decimals
        stream.stream.append(f"{a:.12f} 0 0 {d:.12f} {-view.left * a:.6f} {-view.top * d:.6f} cm".encode())
        stream.rectangle(view.left, view.top, view.width, view.height)
        stream.clip()
        stream.end()
        stream.draw_x_object(stream.add_image(self.form, False, 1))
        if self.dimensions:
            stream.stream.append(_dimension_content(self.dimensions, PER_MM / self.scale.paper_mm(1)))

    def get_x_object(self, interpolate: bool, dpi_ratio: float) -> pydyf.Stream:
        return self.form.get_x_object(interpolate, dpi_ratio)

    def _figure(self, item: Lettering) -> PaperFigure:
        left, top, width = (
            self.scale.paper_mm(part / PER_MM)
            for part in (item.x - self.view.left, item.y - self.view.top, item.width)
        )
        half_height = CAPITAL_MM / 2
        x, y = (left - half_height, top) if item.turned else (left, top - half_height)
        box = f"left:{x - width / 2 - 1:.2f}mm;top:{y - CAPITAL_MM:.2f}mm;width:{width + 2:.2f}mm;"
        turn = "transform:rotate(-90deg)" if item.turned else ""
        return PaperFigure(item.text, f"{box}height:{2 * CAPITAL_MM}mm;{turn}")


def _dimension_content(dimensions: Dimensioned, unit: float) -> bytes:
    panel = dimensions.panel
    outline = f"{panel.left:.1f} {panel.top:.1f} {panel.width:.1f} {panel.height:.1f} re"
    lines = " ".join(f"{a:.1f} {b:.1f} m {c:.1f} {d:.1f} l" for a, b, c, d in dimensions.lines)
    pens = [(OUTLINE_MM, outline), (LINE_MM, lines)]
    drawn = " ".join(f"{width * unit:.2f} w {path} S" for width, path in pens)
    return f"q {INK} RG {drawn} Q".encode()


class PanelDrawing:
    """All that a document shows of one panel."""

    def __init__(self, composition: Composition, colours: Mapping[str, str]) -> None:
        self._composition, self._colours = composition, colours

    @cached_property
    def _form(self) -> _Form:
        return _Form(self._composition, self._colours)

    def elevation(self, field_mm: tuple[float, float], voice: Voice = PLAIN) -> LatticeImage:
        """The dimensioned elevation at the largest listed scale that fits a field (width, height) on
        paper."""
        for scale in takewhile(lambda scale: scale.real <= SMALLEST, listed_scales()):
            pen = Pen(PER_MM * scale.real / scale.drawn, CAPITAL_MM)
            dimensions = dimensioned(self._composition, pen, voice)
            image = LatticeImage(self._form, dimensions.frame, scale, dimensions)
            if image.width_mm <= field_mm[0] and image.height_mm <= field_mm[1]:
                return image
        raise ValueError(
            f"a field of {field_mm[0]} by {field_mm[1]} mm does not hold the dimensions of a panel"
        )

    def thumbnail(self) -> LatticeImage:
        """The panel alone at 1:20; the template gives its size."""
        return LatticeImage(self._form, frame_of(self._composition).around(PER_MM / 2), Scale(1, 20))

    def detail(self, field_mm: tuple[float, float], cells: tuple[int, int] = (4, 3)) -> LatticeImage:
        """The upper left corner, about `cells` across and up, at the largest listed scale that fits the
        field."""
        crop = corner_of(self._composition, cells)
        scale = largest_scale(crop.width / PER_MM, crop.height / PER_MM, field_mm)
        return LatticeImage(self._form, crop, scale)
