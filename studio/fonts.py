"""The faces that pages and documents share, out of two data packages.

Served at `static/fonts/` and handed to the PDF as files, so that screen and paper look alike everywhere.
"""

from pathlib import Path
from typing import Any

import font_source_sans_pro
import font_source_serif_pro
from django.contrib.staticfiles.finders import BaseFinder
from django.core.files.storage import FileSystemStorage

__all__ = ["FACES", "FontFinder"]

# TrueType, because the PDF loads it an order of magnitude faster than woff2.
FACES: dict[str, Path] = {
    f"{family}-{style}.ttf": Path(package.font_directory) / f"{family}-{style}.ttf"
    for family, package in (
        ("SourceSerifPro", font_source_serif_pro),
        ("SourceSansPro", font_source_sans_pro),
    )
    for style in ("Regular", "It", "Semibold", "Bold")
}


class FontFinder(BaseFinder):
    """Finds each face as `fonts/<name>`; the packages' other thirty files stay where they are."""

    def find(self, path: str, find_all: bool = False, **_: Any) -> Any:
        folder, _slash, name = path.partition("/")
        if folder != "fonts" or name not in FACES:
            return []
        return [str(FACES[name])] if find_all else str(FACES[name])

    def list(self, ignore_patterns: Any) -> Any:
        for name, path in FACES.items():
            storage = FileSystemStorage(location=path.parent)
            storage.prefix = "fonts"  # type: ignore[attr-defined]
            yield name, storage
