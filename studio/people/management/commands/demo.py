"""`manage.py demo`: the site with the demo studio in it, ready to sign in to."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command, get_commands
from django.core.management.base import BaseCommand

from studio.people.models import User
from studio.people.serving import claim, collect_static, serve
from studio.people.sign_in_note import account, read_note, write_note

EMAIL = "owner@jigumi.example"


class Command(BaseCommand):
    help = "Bring the database up to date, load the demo studio into an empty one, and serve the site."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--port", type=int, default=8000)

    def handle(self, *args: Any, port: int, **options: Any) -> None:
        door = claim("127.0.0.1", port, "PORT=8001 make demo")
        call_command("migrate", verbosity=0)
        collect_static()
        sign_in = _sign_in(settings.VAR / "demo-sign-in")
        if "load_demo" in get_commands():
            call_command("load_demo", "--if-empty")
        self.stdout.write(f"\nJigumi is at http://127.0.0.1:{port} (Ctrl+C ends it)\n{sign_in}\n")
        self.stdout.flush()
        serve(door)


def _sign_in(note: Path) -> str:
    if not User.objects.exists():
        write_note(note, EMAIL, account(EMAIL, "Demo owner"))
    if kept := read_note(note):
        return "Sign in as {} with the password {}".format(*kept)
    return "Sign in as before: the password made at the first start has been changed"
