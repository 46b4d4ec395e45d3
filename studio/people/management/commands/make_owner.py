"""`manage.py make_owner EMAIL`: the first person of a new studio."""

from argparse import ArgumentParser
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.core.validators import validate_email

from studio.people.models import User
from studio.people.sign_in_note import first_owner


class Command(BaseCommand):
    help = "Create an owner with a random password, which is printed once."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("email")
        parser.add_argument("--name", default="Owner", help="how the site addresses the owner")

    def handle(self, *args: Any, email: str, name: str, **options: Any) -> None:
        try:
            validate_email(email)
        except ValidationError as error:
            raise CommandError(f"{email!r} is no e-mail address; it should read name@host.example") from error
        if User.objects.filter(email__iexact=email).exists():
            raise CommandError(f"{email} has an account already; use changepassword for a new password")
        self.stdout.write(f"Sign in as {email} with the password {first_owner(email, name)}")
