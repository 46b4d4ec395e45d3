"""`manage.py serve`: the site of a studio of its own, for a web server with TLS to stand in front of."""

from argparse import ArgumentParser, ArgumentTypeError
from typing import Any

from django.core.checks import Tags
from django.core.management.base import BaseCommand

from studio.people.serving import claim, collect_static, serve


class Command(BaseCommand):
    help = "Serve the site; README.md lists what the environment may say."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--listen", type=_address, default="127.0.0.1:8000", help="address:port")

    def handle(self, *args: Any, listen: tuple[str, int], **options: Any) -> None:
        door = claim(*listen, "--listen=127.0.0.1:8001")
        self.check_migrations()
        self.check(tags=[Tags.database], databases=["default"])
        collect_static()
        self.stdout.write(f"Jigumi is at {listen[0]}:{door.getsockname()[1]} (Ctrl+C ends it)")
        self.stdout.flush()
        serve(door)


def _address(text: str) -> tuple[str, int]:
    host, colon, port = text.rpartition(":")
    if not colon or not port.isdecimal():
        raise ArgumentTypeError(f"{text!r} is no address and port such as 127.0.0.1:8000")
    return host.strip("[]"), int(port)
