"""`manage.py make_account EMAIL --role ROLE`: one more person who may sign in."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from studio.people.management.new_account import new_account
from studio.people.models import User


class Command(BaseCommand):
    help = "Create an account with a random password, which is printed once."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("email")
        parser.add_argument("--role", choices=User.Role.values, required=True)
        parser.add_argument("--name", default="", help="how the site addresses this person")

    def handle(self, *args: Any, email: str, role: str, name: str, **options: Any) -> None:
        self.stdout.write(new_account(email, name, User.Role(role)))
