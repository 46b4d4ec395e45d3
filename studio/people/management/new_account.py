"""What the commands that make accounts share."""

from django.core.exceptions import ValidationError
from django.core.management.base import CommandError
from django.core.validators import validate_email

from studio.people.models import User
from studio.people.sign_in_note import account

__all__ = ["new_account"]


def new_account(email: str, name: str, role: User.Role) -> str:
    """Returns the words with the password, which is kept nowhere in clear. Raises CommandError."""
    try:
        validate_email(email)
    except ValidationError as error:
        raise CommandError(f"{email!r} is no e-mail address; it should read name@host.example") from error
    if User.objects.filter(email__iexact=email).exists():
        raise CommandError(f"{email} has an account already; use changepassword for a new password")
    return f"Sign in as {email} with the password {account(email, name, role)}"
