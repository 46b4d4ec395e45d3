"""Every address is closed to strangers unless it stands on this short list."""

from collections.abc import Iterator

import pytest
from django.conf import settings
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver

PUBLIC = {"sign-in", "proposal-page", "proposal-pdf", "proposal-answer", "proposal-message"}


def views(resolver: URLResolver) -> Iterator[URLPattern]:
    for entry in resolver.url_patterns:
        if isinstance(entry, URLResolver):
            yield from views(entry)
        else:
            yield entry


def test_only_these_views_are_open() -> None:
    opened = {
        view.name for view in views(get_resolver()) if not getattr(view.callback, "login_required", True)
    }
    assert opened == PUBLIC


def test_stranger_is_sent_to_sign_in(client: Client, db: None) -> None:
    answer = client.post("/sign-out/")
    assert answer["Location"] == "/sign-in/?next=/sign-out/"


@pytest.mark.parametrize("directive", ["script-src 'self'", "style-src 'self'", "default-src 'none'"])
def test_pages_may_load_nothing_inline_or_foreign(client: Client, db: None, directive: str) -> None:
    policy = client.get("/sign-in/")["Content-Security-Policy"].split("; ")
    assert directive in policy
    assert "unsafe" not in " ".join(policy)


def test_cookies_stay_with_the_browser(client: Client, db: None) -> None:
    cookie = client.get("/sign-in/").cookies[settings.CSRF_COOKIE_NAME]
    assert (cookie["httponly"], cookie["samesite"]) == (True, "Lax")


def test_expired_session_sends_the_whole_page_to_sign_in(client: Client, db: None) -> None:
    """Not only the part that htmx asked for."""
    headers = {"HX-Request": "true", "HX-Current-URL": "http://testserver/clients/?page=2"}
    answer = client.post("/sign-out/", headers=headers)
    assert answer.status_code == 200
    assert answer["HX-Redirect"] == "/sign-in/?next=%2Fclients%2F%3Fpage%3D2"
