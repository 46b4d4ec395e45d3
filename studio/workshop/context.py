"""What every page knows without its view."""

from typing import Any

from django.http import HttpRequest
from django.utils.functional import SimpleLazyObject

from studio.workshop.books import the_studio, voice_of

__all__ = ["voice"]


def voice(request: HttpRequest) -> dict[str, Any]:
    """The studio's, looked up only where a page has no `voice` of its own and speaks."""
    return {"voice": SimpleLazyObject(lambda: voice_of(the_studio()))}
