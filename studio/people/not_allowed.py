"""A page for those who open an address that only takes what a form sends."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

__all__ = ["NotAllowedPage"]


class NotAllowedPage:
    """Gives an empty 405 answer its words; the status and the Allow header stay."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        answer = self.get_response(request)
        if answer.status_code != 405 or answer.content:
            return answer
        page = render(request, "405.html", status=405)
        page["Allow"] = answer["Allow"]
        return page
