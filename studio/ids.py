"""Opaque public identifiers: what an address shows instead of a row's number."""

import secrets

__all__ = ["new_public_id"]

ALPHABET = "23456789abcdefghjkmnpqrstuvwxyz"  # no 0/o, 1/l/i: people read these aloud


def new_public_id() -> str:
    """Twelve characters, about 59 bits: not guessable one by one, short enough for an address."""
    return "".join(secrets.choice(ALPHABET) for _ in range(12))
