"""How much a browser may send: refused by what it announces, before any of it is read into fields."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import render

__all__ = ["BodyLimit"]


class BodyLimit:
    """413 for more than a visitor needs to sign in or to answer a proposal, or than anybody ever needs. A
    server that decodes chunks announces their sum; of a body that is not announced nothing is read."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        length = _announced(request)
        if length > settings.MOST_VISITOR_BYTES and length > _most(request):
            return render(request, "413.html", status=413)
        return self.get_response(request)


def _announced(request: HttpRequest) -> int:
    text = request.META.get("CONTENT_LENGTH") or "0"
    return int(text) if text.isdecimal() else 0


def _most(request: HttpRequest) -> int:
    return settings.MOST_BODY_BYTES if request.user.is_authenticated else settings.MOST_VISITOR_BYTES
