"""A drilling template as a PDF at full size: a page for each sheet, of its own size, without a margin."""

from collections.abc import Sequence

from studio.drawing.markup import escape
from studio.drawing.template_sheet import sheet_svg
from studio.hanging.template_paper import Sheet, Text
from studio.printed import printed

__all__ = ["template_pdf"]

STYLE = """
@font-face {{ font-family: "Source Sans Pro"; src: url(font:SourceSansPro-Regular.ttf) }}
@page {{ size: {wide}mm {high}mm; margin: 0 }}
body {{ margin: 0; font-family: "Source Sans Pro" }}
section {{ position: relative; width: {wide}mm; height: {high}mm; break-after: page }}
section:last-child {{ break-after: auto }}
svg {{ display: block }}
p {{ position: absolute; margin: 0; line-height: 1; white-space: nowrap }}
"""


def template_pdf(sheets: Sequence[Sheet]) -> bytes:
    """Sheets of one size, in order."""
    style = STYLE.format(wide=sheets[0].width_mm, high=sheets[0].height_mm)
    pages = "".join(f"<section>{_drawn(sheet)}</section>" for sheet in sheets)
    head = "<head><title>Drilling template</title></head>"
    return printed(f'<!doctype html><html lang="en">{head}<body>{pages}</body></html>', style)


def _drawn(sheet: Sheet) -> str:
    """Letters are text of the page, which is read aloud and found."""
    return sheet_svg(sheet, lettered=False) + "".join(_text(text, sheet.height_mm) for text in sheet.texts)


def _text(text: Text, high: float) -> str:
    place = f"left:{text.x:.2f}mm;top:{high - text.y - text.size_mm:.2f}mm;font-size:{text.size_mm}mm"
    return f'<p style="{place}">{escape(text.text)}</p>'
