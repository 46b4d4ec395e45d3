"""Who may see which client and space is decided here: everybody who is signed in; the erased are gone."""

from django.shortcuts import get_object_or_404

from studio.clients.models import Client, Space

__all__ = ["get_client_or_404", "get_space_or_404"]


def get_client_or_404(public_id: str) -> Client:
    return get_object_or_404(Client, public_id=public_id, erased_at=None)


def get_space_or_404(public_id: str) -> Space:
    return get_object_or_404(Space.objects.select_related("client"), public_id=public_id)
