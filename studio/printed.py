"""HTML as a tagged PDF: fonts from the site's own files, nothing from any network."""

from collections.abc import Mapping
from typing import Any

from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import URLFetcher, URLFetcherResponse

from studio.fonts import FACES

__all__ = ["OnlyFonts", "printed"]

FONT_URL = "font:"


class OnlyFonts(URLFetcher):  # type: ignore[misc]  # WeasyPrint has no types
    """Refuses every address but the faces of studio.fonts: names and texts cannot make us load anything."""

    def fetch(self, url: str, headers: Any = None) -> URLFetcherResponse:
        name = url.removeprefix(FONT_URL)
        if not url.startswith(FONT_URL) or name not in FACES:
            raise ValueError(f"a document loads nothing but its fonts, not {url[:80]!r}")
        return URLFetcherResponse(url, FACES[name].read_bytes(), {"Content-Type": "font/ttf"})


def printed(html: str, style: str, images: Mapping[str, Any] | None = None) -> bytes:
    """`images` are found in the HTML by their keys; faces by "font:" and their file's name."""
    fetcher, fonts = OnlyFonts(), FontConfiguration()
    sheet = CSS(string=style, font_config=fonts, url_fetcher=fetcher)
    written = HTML(string=html, url_fetcher=fetcher).write_pdf(
        stylesheets=[sheet],
        font_config=fonts,
        cache=dict(images or {}),
        pdf_variant="pdf/ua-1",
        pdf_identifier=b"jigumi",
    )
    return bytes(written or b"")
