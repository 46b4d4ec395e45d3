"""NUL characters: PostgreSQL stores none, and nobody types one."""

from collections.abc import Callable

from django.http import Http404, HttpRequest, HttpResponseBase, QueryDict

__all__ = ["WithoutNul"]


class WithoutNul:
    """What is asked and posted comes without NUL; there is nothing at an address that has one, and a cookie
    that has one is none of ours."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if "\0" in request.path_info:
            raise Http404
        request.GET = without_nul(request.GET)  # type: ignore[assignment]  # as immutable as it was
        request.COOKIES = {name: text for name, text in request.COOKIES.items() if "\0" not in text}
        return self.get_response(request)

    def process_view(self, request: HttpRequest, *_: object) -> None:
        """Only now: the limit of bodies is further in, and nobody reads what is posted before."""
        request.POST = without_nul(request.POST)  # type: ignore[assignment]


def without_nul(typed: QueryDict) -> QueryDict:
    clean = QueryDict(mutable=True, encoding=typed.encoding)
    for name, texts in typed.lists():
        clean.setlist(name.replace("\0", ""), [text.replace("\0", "") for text in texts])
    clean._mutable = False
    return clean
