"""Under which name and address failed sign-ins are counted."""

from django.http import HttpRequest

from studio.people.models import plain_email

__all__ = ["client_address", "username"]


def username(request: HttpRequest, credentials: dict[str, str] | None) -> str:
    """The e-mail address as it is stored, however it was typed: capitals give nobody more guesses."""
    return plain_email((credentials or {}).get("username") or request.POST.get("username", ""))


def client_address(request: HttpRequest) -> str:
    """Behind a proxy: the address that the proxy itself saw, added last; the rest anybody can write."""
    return str(request.headers.get("X-Forwarded-For", request.META["REMOTE_ADDR"]).split(",")[-1].strip())
