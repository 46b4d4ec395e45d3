"""Under which name failed sign-ins are counted."""

from django.http import HttpRequest

from studio.people.models import plain_email

__all__ = ["username"]


def username(request: HttpRequest, credentials: dict[str, str] | None) -> str:
    """The e-mail address as it is stored, however it was typed: capitals give nobody more guesses."""
    return plain_email((credentials or {}).get("username") or request.POST.get("username", ""))
