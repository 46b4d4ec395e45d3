"""New accounts, and the first owner's sign-in, kept in a file that only the owner of the machine can read."""

import os
import secrets
from pathlib import Path

from studio.people.models import User

__all__ = ["account", "read_note", "write_note"]


def account(email: str, name: str, role: User.Role = User.Role.OWNER) -> str:
    """Create an account; returns the password, which is kept nowhere in clear."""
    password = "-".join(secrets.token_hex(2) for _ in range(4))
    User.objects.create_user(email, password, display_name=name, role=role)
    return password


def write_note(path: Path, email: str, password: str) -> None:
    with open(path, "w", opener=lambda name, flags: os.open(name, flags, 0o600)) as note:
        note.write(f"{email}\n{password}\n")


def read_note(path: Path) -> tuple[str, str] | None:
    """The address and password that still open the site; None when there is no note or it no longer holds."""
    if not path.exists():
        return None
    email, password = path.read_text().split()
    user = User.objects.filter(email=email, is_active=True).first()
    return (email, password) if user and user.check_password(password) else None
