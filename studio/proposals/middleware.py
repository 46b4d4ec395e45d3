"""A damaged document answers in words, wherever it was asked for."""

import logging

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.deprecation import MiddlewareMixin

from studio.proposals.stored import Damaged

__all__ = ["DamagedPage"]


class DamagedPage(MiddlewareMixin):
    """500, since nobody who reads it did anything wrong; the log says which document it is."""

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        if not isinstance(exception, Damaged):
            return None
        logging.getLogger("studio.proposals").error("%s", exception)
        answer = render(request, "proposals/damaged.html", status=500)
        answer["Cache-Control"] = "private, no-store"
        answer["Referrer-Policy"] = "no-referrer"
        return answer
