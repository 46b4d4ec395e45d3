"""`manage.py load_demo`: an invented studio to look round in."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from studio.board.demo import load_demo
from studio.clients.models import Client, Space
from studio.commissions.models import Commission
from studio.people.models import User


class Command(BaseCommand):
    help = "Load the invented demo studio: three commissions in different states."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--if-empty",
            action="store_true",
            help="say nothing and do nothing where something is there already",
        )

    def handle(self, *args: Any, if_empty: bool, **options: Any) -> None:
        if any(model.objects.exists() for model in (Client, Space, Commission)):
            if if_empty or Client.objects.filter(invented=True).exists():
                return
            raise CommandError(
                "There are clients or commissions here already; the demo needs an empty database"
            )
        owner = User.objects.filter(role=User.Role.OWNER).order_by("pk").first()
        made = load_demo(owner, timezone.now())
        self.stdout.write(f"Loaded the invented studio with {len(made)} commissions")
