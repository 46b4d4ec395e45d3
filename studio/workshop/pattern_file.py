"""The text of a pattern file, sent to a page or named at the command line."""

from pathlib import Path
from typing import Protocol

from studio.problem import Refused

__all__ = ["LARGEST_BYTES", "named_text", "text_in"]

LARGEST_BYTES = 200_000


class Readable(Protocol):
    def read(self, size: int, /) -> bytes: ...


def text_in(file: Readable) -> str:
    """Raises Refused for a file that is too large or no text; it is never read further than is allowed."""
    data = file.read(LARGEST_BYTES + 1)
    if len(data) > LARGEST_BYTES:
        raise Refused.because("file", f"it is larger than {LARGEST_BYTES // 1000} kB", "give a smaller file")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Refused.because("file", "it is not UTF-8 text", "save it as UTF-8 text") from None


def named_text(name: str) -> str:
    """As `text_in`, of the file at a path. Raises Refused for what is no file or cannot be read, too."""
    try:
        with Path(name).open("rb") as file:
            return text_in(file)
    except OSError as error:
        reason = f"{name} cannot be read ({error.strerror})"
        raise Refused.because("file", reason, "name a pattern file") from None
