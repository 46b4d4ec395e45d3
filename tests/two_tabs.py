"""Two tabs of one page: what a browser would post from each, read out of the page as it was served."""

from html.parser import HTMLParser

from django.http import HttpResponse

__all__ = ["fields_of", "forms_of"]


class _Fields(HTMLParser):
    """The values of every field of the form that posts to its own page: those with hidden "made_from"."""

    def __init__(self) -> None:
        super().__init__()
        self.forms: list[dict[str, str]] = []
        self.area = self.choice = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        name, values = told.get("name", ""), self.forms[-1] if self.forms else {}
        if tag == "form":
            self.forms.append({})
        elif tag == "input" and name and (told.get("type") not in ("checkbox", "radio") or "checked" in told):
            values[name] = told.get("value", "")
        elif tag == "textarea":
            self.area, values[name] = name, ""
        elif tag == "select":
            self.choice = name
        elif tag == "option" and self.choice and ("selected" in told or self.choice not in values):
            values[self.choice] = told.get("value", "")

    def handle_data(self, data: str) -> None:
        if self.area:
            self.forms[-1][self.area] += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "textarea":
            self.forms[-1][self.area] = self.forms[-1][self.area].removeprefix("\n")
            self.area = ""
        elif tag == "select":
            self.choice = ""


def forms_of(page: HttpResponse) -> list[dict[str, str]]:
    """What each form of the page would post."""
    parser = _Fields()
    parser.feed(page.content.decode())
    return parser.forms


def fields_of(page: HttpResponse, **changed: str) -> dict[str, str]:
    """What the page's form would post, with some fields changed ("__" stands for a dot)."""
    (form,) = [each for each in forms_of(page) if "made_from" in each]
    return form | {name.replace("__", "."): text for name, text in changed.items()}
