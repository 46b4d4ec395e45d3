"""A request as the studio's own pages get it: somebody is signed in, and htmx may be asking."""

from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails

from studio.people.models import User

__all__ = ["StudioRequest"]


class StudioRequest(HttpRequest):
    """Only for reading the types: the middleware has closed every address to strangers."""

    user: User
    htmx: HtmxDetails
