"""Signs that hardly any font draws, spelled out for paper: a name must never print as an empty box."""

import unicodedata
from typing import Any

__all__ = ["spelled"]

JOINERS = {"\u200d", "\ufe0e", "\ufe0f"}
FIRST_PICTURE = 0x1F000


def spelled(value: Any) -> Any:
    """JSON values with every emoji in their texts as its Unicode name in brackets."""
    if isinstance(value, dict):
        return {key: spelled(part) for key, part in value.items()}
    if isinstance(value, list):
        return [spelled(part) for part in value]
    return "".join(map(_sign, value)) if isinstance(value, str) and not value.isascii() else value


def _sign(sign: str) -> str:
    if sign in JOINERS:
        return ""
    if ord(sign) < FIRST_PICTURE or unicodedata.category(sign) not in ("So", "Sk", "Cn", "Co"):
        return sign
    return f"[{unicodedata.name(sign, 'unknown sign').lower()}]"
