"""How apps that know a client only from below join in when one is erased."""

from django.dispatch import Signal

__all__ = ["client_erased"]

client_erased = Signal()
"""Sent with `client`, within the transaction that erases them, their commissions locked: who receives it
empties what is personal in its own rows."""
