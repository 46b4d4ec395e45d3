"""The faces that pages and documents share, out of two data packages.

Served at `static/fonts/` and handed to the PDF as files, so that screen and paper look alike on every machine.
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
        found = str(FACES[name]) if folder == "fonts" and name in FACES else None
        if find_all:
            return [found] if found else []
        return found

    def list(self, ignore_patterns: Any) -> Any:
        for name, path in FACES.items():
            storage = FileSystemStorage(location=path.parent)
            storage.prefix = "fonts"  # type: ignore[attr-defined]
            yield name, storage
