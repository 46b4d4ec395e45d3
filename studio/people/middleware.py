"""Closed addresses, for pages and for htmx."""

from typing import Any
from urllib.parse import urlencode

from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import resolve_url
from django_htmx.http import HttpResponseClientRedirect

__all__ = ["SignInRequired"]


class SignInRequired(LoginRequiredMiddleware):
    """Every view needs a sign-in, unless it says `login_not_required`."""

    def handle_no_permission(  # type: ignore[override]  # htmx has a redirect of its own
        self, request: HttpRequest, view_func: Any
    ) -> HttpResponseBase:
        """An expired session sends the whole page to sign in; htmx would put the form inside the page."""
        htmx = getattr(request, "htmx", None)
        if not htmx:
            return super().handle_no_permission(request, view_func)
        back = urlencode({"next": htmx.current_url_abs_path or "/"})
        return HttpResponseClientRedirect(f"{resolve_url(self.get_login_url(view_func))}?{back}")
