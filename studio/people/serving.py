"""The site's own web server: what `manage.py serve` and `manage.py demo` start."""

import json
import socket
from pathlib import Path
from typing import Any

import waitress
from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import CommandError, call_command
from django.core.wsgi import get_wsgi_application

__all__ = ["claim", "collect_static", "serve"]


def claim(host: str, port: int, otherwise: str) -> socket.socket:
    """The port, taken before anything else is touched. `otherwise` is how to choose another one. Raises
    CommandError where it cannot be had, or where no page could be opened at it."""
    if settings.HTTPS and not settings.TRUSTED_PROXY:
        raise CommandError(
            "JIGUMI_HTTPS is 1, and nothing here speaks TLS: every page would redirect to itself for ever. "
            "Put a web server with TLS in front and say JIGUMI_BEHIND_PROXY=1, or JIGUMI_HTTPS=0"
        )
    door = socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET, socket.SOCK_STREAM)
    door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        door.bind((host, port))
        door.listen()  # who comes early waits
    except (OSError, OverflowError) as error:
        door.close()
        why = getattr(error, "strerror", None) or error
        raise CommandError(
            f"Port {port} is busy or not allowed ({why}); choose another: {otherwise}"
        ) from error
    return door


def collect_static() -> None:
    """Compressing them takes seconds: a second start leaves them alone, unless one is new or newer."""
    if not _static_files_are_current(settings.STATIC_ROOT / "staticfiles.json"):
        call_command("collectstatic", verbosity=0, interactive=False)


def serve(door: socket.socket) -> None:
    """Answer at this port until the process is ended."""
    # waitress, not runserver: made for serving, four threads, no reloader, and DEBUG can stay off.
    waitress.serve(get_wsgi_application(), sockets=[door], threads=4, _quiet=True, **_manners())


def _manners() -> dict[str, Any]:
    """What it takes and whom it believes: who comes through the proxy has the address and the scheme that the
    proxy itself named last; what anybody else says of that is dropped."""
    manners: dict[str, Any] = {"max_request_body_size": settings.MOST_BODY_BYTES + 1}
    if settings.TRUSTED_PROXY:
        manners["trusted_proxy"] = settings.TRUSTED_PROXY
        manners["trusted_proxy_count"] = 1
        manners["trusted_proxy_headers"] = {"x-forwarded-for", "x-forwarded-proto"}
    return manners


def _static_files_are_current(manifest: Path) -> bool:
    if not manifest.exists():
        return False
    known, made = json.loads(manifest.read_text())["paths"], manifest.stat().st_mtime
    found = [
        (f"{prefix}/{name}" if (prefix := getattr(storage, "prefix", None)) else name, storage.path(name))
        for finder in get_finders()
        for name, storage in finder.list([])
    ]
    return all(name in known and Path(path).stat().st_mtime <= made for name, path in found)
