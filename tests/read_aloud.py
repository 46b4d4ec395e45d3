"""What a person reads of a page: its texts, and those in attributes; what is typed in fields apart."""

import re
from html.parser import HTMLParser
from io import BytesIO

from pypdf import PdfReader

__all__ = ["Page", "read_page", "read_pdf"]

SILENT = ("script", "style")
SPOKEN = ("alt", "title", "aria-label", "placeholder")
VOID = {"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source"}


class Page(HTMLParser):
    """`texts` are read, `typed` stands in fields, `links` lead on, `language` is the page's own."""

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.typed: list[str] = []
        self.links: list[str] = []
        self.language = ""
        self._within: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = {name: value or "" for name, value in attrs}
        self.texts += [named[name] for name in SPOKEN if named.get(name)]
        if tag == "html":
            self.language = named.get("lang", "")
        if tag == "input" and named.get("type") not in ("hidden", "radio", "checkbox", "submit"):
            self.typed.append(named.get("value", ""))
        if tag in ("a", "img") and (to := named.get("href") or named.get("src")):
            self.links.append(to)
        if tag not in VOID:
            self._within.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self._within.pop()

    def handle_endtag(self, tag: str) -> None:
        while self._within and self._within.pop() != tag:
            pass

    def handle_data(self, data: str) -> None:
        if self._within and self._within[-1] == "textarea":
            self.typed.append(data)
        elif not set(SILENT) & set(self._within):
            self.texts.append(data)

    @property
    def spoken(self) -> str:
        """Blocks end where tags do, so that figures of two cells are not read as one."""
        return "\n".join(
            line for text in self.texts if (line := " ".join(re.split(r"[ \t\n]+", text)).strip())
        )


def read_page(text: str) -> Page:
    page = Page()
    page.feed(text)
    page.close()
    return page


def read_pdf(content: bytes) -> Page:
    reader = PdfReader(BytesIO(content))
    page = Page()
    page.texts = [" ".join(sheet.extract_text().split()) for sheet in reader.pages]
    page.language = str(reader.trailer["/Root"].get("/Lang", ""))
    return page
