"""The room that lettering takes."""

__all__ = ["CAPITAL_EM", "text_width"]

CAPITAL_EM = 0.66
"""Height of a capital in Source Sans, in em."""
WIDE_EM = 0.53
"""Width of a letter or figure in Source Sans, in em: figures have 0.497, words about 0.5."""


def text_width(text: str, capital_height: float) -> float:
    """About how wide `text` is, in the unit of its capitals' height."""
    return len(text) * WIDE_EM * capital_height / CAPITAL_EM
