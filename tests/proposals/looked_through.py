"""Looking through the whole database for somebody's words, documents that are compressed included."""

import zlib
from contextlib import suppress
from typing import Any

from django.apps import apps

__all__ = ["holding"]


def holding(*words: str) -> list[str]:
    """Which columns hold one of the words, in whatever letters; in a PDF, where it is not compressed."""
    return [
        f"{model.__name__}.{name}"
        for model in apps.get_models()
        for row in model._base_manager.values()
        for name, value in row.items()
        if any(word.lower() in _text(value) for word in words)
    ]


def _text(value: Any) -> str:
    if not isinstance(value, bytes | memoryview):
        return str(value).lower()
    plain = bytes(value)
    with suppress(zlib.error):
        plain = zlib.decompress(plain)
    return plain.decode(errors="replace").lower()
