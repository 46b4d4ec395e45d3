"""`manage.py make_owner EMAIL`: the first person of a new studio."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from studio.people.management.new_account import new_account
from studio.people.models import User


class Command(BaseCommand):
    help = "Create an owner with a random password, which is printed once."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("email")
        parser.add_argument("--name", default="Owner", help="how the site addresses the owner")

    def handle(self, *args: Any, email: str, name: str, **options: Any) -> None:
        self.stdout.write(new_account(email, name, User.Role.OWNER))
