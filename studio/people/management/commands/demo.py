"""`manage.py demo`: the site with the demo studio in it, ready to sign in to."""

import json
import socket
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

import waitress
from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import call_command, get_commands
from django.core.management.base import BaseCommand, CommandError
from django.core.wsgi import get_wsgi_application

from studio.people.models import User
from studio.people.sign_in_note import first_owner, read_note, write_note

EMAIL = "owner@jigumi.example"


class Command(BaseCommand):
    help = "Bring the database up to date, load the demo studio into an empty one, and serve the site."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--port", type=int, default=8000)

    def handle(self, *args: Any, port: int, **options: Any) -> None:
        door = _claim(port)
        call_command("migrate", verbosity=0)
        if not _static_files_are_current(settings.STATIC_ROOT / "staticfiles.json"):
            call_command("collectstatic", verbosity=0, interactive=False)
        sign_in = _sign_in(settings.VAR / "demo-sign-in")
        if "load_demo" in get_commands():
            call_command("load_demo", "--if-empty")
        self.stdout.write(f"\nJigumi is at http://127.0.0.1:{port} (Ctrl+C ends it)\n{sign_in}\n")
        self.stdout.flush()
        # waitress, not runserver: made for serving, four threads, no reloader, and DEBUG can stay off.
        waitress.serve(get_wsgi_application(), sockets=[door], threads=4, _quiet=True)


def _claim(port: int) -> socket.socket:
    """The port, taken before anything else is touched."""
    door = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        door.bind(("127.0.0.1", port))
    except OSError as error:
        door.close()
        raise CommandError(
            f"Port {port} is busy or not allowed ({error.strerror}); choose another: PORT=8001 make demo"
        ) from error
    return door


def _static_files_are_current(manifest: Path) -> bool:
    """Compressing them takes seconds: a second start leaves them alone, unless one is new or newer."""
    if not manifest.exists():
        return False
    known, made = json.loads(manifest.read_text())["paths"], manifest.stat().st_mtime
    found = [
        (f"{prefix}/{name}" if (prefix := getattr(storage, "prefix", None)) else name, storage.path(name))
        for finder in get_finders()
        for name, storage in finder.list([])
    ]
    return all(name in known and Path(path).stat().st_mtime <= made for name, path in found)


def _sign_in(note: Path) -> str:
    if not User.objects.exists():
        write_note(note, EMAIL, first_owner(EMAIL, "Demo owner"))
    if kept := read_note(note):
        return "Sign in as {} with the password {}".format(*kept)
    return "Sign in as before: the password made at the first start has been changed"
