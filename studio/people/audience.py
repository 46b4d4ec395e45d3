"""Who may open an address: declared at each view, asked at the door (`middleware.SignInRequired`).

Each of the studio's three roles may also do what those below it may. A view that declares nothing is the
owner's alone; tests/test_closed.py walks the whole map as each.
"""

from collections.abc import Callable
from typing import Any, Literal, TypeVar

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest
from django.views.decorators.http import require_http_methods
from django_htmx.middleware import HtmxDetails

from studio.people.models import User

__all__ = ["Audience", "StudioRequest", "audience", "audience_of", "may", "may_change"]

Audience = Literal["anyone", "client's link", "workshop", "designer", "owner"]
OPEN: tuple[Audience, ...] = ("anyone", "client's link")
"""No sign-in is asked. A client's link carries its own proof, which its view checks."""
READING = ("GET", "HEAD", "OPTIONS")
View = TypeVar("View", bound=Callable[..., Any])


class StudioRequest(HttpRequest):
    """A request as the studio's own pages get it: somebody is signed in, and htmx may be asking. Only for
    reading the types: the middleware has closed every address to strangers."""

    user: User
    htmx: HtmxDetails


def audience(who: Audience, *methods: str, to_change: Audience | None = None) -> Callable[[View], View]:
    """The view is for `who` and those above; what is posted to it, for `to_change` and those above. It
    answers these methods, or all where none is named."""

    def declared(view: View) -> View:
        view = require_http_methods(methods)(view) if methods else view
        view.audience = (who, to_change or who)  # type: ignore[attr-defined]
        return login_not_required(view) if who in OPEN else view

    return declared


def audience_of(view: Callable[..., Any]) -> tuple[Audience, Audience] | None:
    """For whom it is to read, and to change; None where it does not say."""
    declared: tuple[Audience, Audience] | None = getattr(view, "audience", None)
    return declared


def may(request: HttpRequest, view: Callable[..., Any], method: str | None) -> bool:
    """Whether who asks may open the view, or with a method that changes something, send its forms."""
    read, change = audience_of(view) or ("owner", "owner")
    needed = read if method in READING else change
    return needed in OPEN or (isinstance(request.user, User) and request.user.may(needed))


def may_change(request: HttpRequest) -> bool:
    """Whether who reads this page may also send its forms."""
    return request.resolver_match is not None and may(request, request.resolver_match.func, "POST")
