"""What stands before every page: sign-in, for pages and for htmx, whom it is for, and what may be sent."""

from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode

from django.conf import settings
from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, QueryDict
from django.shortcuts import render, resolve_url
from django_htmx.http import HttpResponseClientRedirect

from studio.people.audience import may

__all__ = ["BodyLimit", "NotAllowedPage", "SignInRequired", "WithoutNul"]


class SignInRequired(LoginRequiredMiddleware):
    """Every view needs a sign-in by one of its audience, unless it is open."""

    def process_view(self, request: HttpRequest, view_func: Any, args: Any, kwargs: Any) -> Any:
        answer = super().process_view(request, view_func, args, kwargs)
        if answer is None and not may(request, view_func, request.method):
            raise PermissionDenied
        return answer

    def handle_no_permission(  # type: ignore[override]  # htmx has a redirect of its own
        self, request: HttpRequest, view_func: Any
    ) -> HttpResponseBase:
        """An expired session sends the whole page to sign in; htmx would put the form inside the page."""
        htmx = getattr(request, "htmx", None)
        if not htmx:
            return super().handle_no_permission(request, view_func)
        back = urlencode({"next": htmx.current_url_abs_path or "/"})
        return HttpResponseClientRedirect(f"{resolve_url(self.get_login_url(view_func))}?{back}")


class WithoutNul:
    """What is asked and posted comes without NUL, which PostgreSQL does not store and nobody types; there is
    nothing at an address that has one, and a cookie that has one is none of ours."""

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


class BodyLimit:
    """413 for more than a visitor needs to sign in or to answer a proposal, or than anybody ever needs, as
    announced, before any of it is read into fields. A server that decodes chunks announces their sum; of a
    body that is not announced nothing is read."""

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
