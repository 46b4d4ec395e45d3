"""A stored row that cannot be read answers as that, with its reason, wherever a page was about it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.deprecation import MiddlewareMixin

from studio.stored.door import Unreadable

__all__ = ["UnreadablePage"]


class UnreadablePage(MiddlewareMixin):
    """200 for who reads, since the page says what there is to say; 409 for who wanted to change something."""

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        if not isinstance(exception, Unreadable):
            return None
        status = 200 if request.method in ("GET", "HEAD") else 409
        answer = render(request, "unreadable.html", {"unreadable": exception}, status=status)
        if "HX-Request" in request.headers:
            answer["HX-Refresh"] = "true"  # parts of a page have no room for it: the whole page says it
        return answer
