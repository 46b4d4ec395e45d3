"""SVG that may be put into a page with a strict content security policy: presentation attributes and
classes only."""

import html
import re
from collections.abc import Iterable
from typing import Any

from studio.drawing.lettering import CAPITAL_EM
from studio.drawing.sheet import Frame, Lettering, Pen, Segment

__all__ = [
    "FONT",
    "LETTER",
    "element",
    "escape",
    "hairline",
    "letter_text",
    "path",
    "segments_path",
    "svg",
    "view_box",
]

NO_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Characters that no XML document may hold (XML 1.0, 2.2): one of them in a title breaks a whole PDF."""
LETTER = 100
"""Drawing units in a unit of lettering."""
FONT = "'Source Sans Pro', 'Source Sans 3', sans-serif"


def element(name: str, content: str = "", **attributes: object) -> str:
    """`content` is markup; attribute values are escaped, and an underscore in a name is a hyphen."""
    given = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(str(value))}"'
        for key, value in attributes.items()
        if value is not None
    )
    return f"<{name}{given}>{content}</{name}>" if content else f"<{name}{given}/>"


def path(data: str, **attributes: Any) -> str:
    """A path. Its data are ours and long, so they are not searched for what would need escaping."""
    return f'<path d="{data}"{element("", **attributes)[1:]}'


def hairline(class_: str, data: str, width_px: float, **more: Any) -> str:
    """A line as wide on the screen whatever the size of the picture, in the colour of the text round it."""
    colour, scaled = "currentColor", "non-scaling-stroke"
    return element(
        "path", class_=class_, d=data, stroke=colour, stroke_width=width_px, **more, vector_effect=scaled
    )


def svg(
    frame: Frame, content: str, *, title: str, ident: str, class_: str, describe: str = "", **more: Any
) -> str:
    """A whole picture. `ident` must be its own on the page: the title and description are found by it."""
    told, names = element("title", escape(title), id=f"{ident}-title"), f"{ident}-title"
    if describe:
        told += element("desc", escape(describe), id=f"{ident}-desc")
        names += f" {ident}-desc"
    return element(
        "svg",
        told + content,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=view_box(frame),
        role="img",
        class_=class_,
        fill="none",
        aria_labelledby=names,
        **more,
    )


def escape(text: str) -> str:
    """`text` as content or attribute value; what XML cannot hold becomes a space."""
    return html.escape(NO_XML.sub(" ", text))


def view_box(frame: Frame) -> str:
    return " ".join(str(round(part)) for part in (frame.left, frame.top, frame.width, frame.height))


def segments_path(segments: Iterable[Segment]) -> str:
    return "".join(f"M{round(a)} {round(b)}L{round(c)} {round(d)}" for a, b, c, d in segments)


def letter_text(lettering: Iterable[Lettering], pen: Pen) -> str:
    """Lettering in the colour of the text round the drawing, in larger units than the drawing's: browsers
    let no font be larger than 10 000."""
    texts = "".join(element("text", escape(item.text), **_place(item)) for item in lettering)
    return (
        element(
            "g",
            texts,
            class_="figures",
            fill="currentColor",
            font_family=FONT,
            font_size=round(pen.capital / CAPITAL_EM / LETTER),
            text_anchor="middle",
            transform=f"scale({LETTER})",
        )
        if texts
        else ""
    )


def _place(item: Lettering) -> dict[str, object]:
    x, y = round(item.x / LETTER), round(item.y / LETTER)
    return {"transform": f"translate({x} {y})rotate(-90)"} if item.turned else {"x": x, "y": y}
