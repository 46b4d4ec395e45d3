"""Who may see which client and space is decided here: all who are signed in; of the erased, that they are."""

from django.shortcuts import get_object_or_404

from studio.clients.models import Client, Photograph, Space

__all__ = ["get_client_or_404", "get_photograph_or_404", "get_space_or_404"]


def get_client_or_404(public_id: str, even_erased: bool = False) -> Client:
    clients = Client.objects.all() if even_erased else Client.objects.filter(erased_at=None)
    return get_object_or_404(clients, public_id=public_id)


def get_space_or_404(public_id: str) -> Space:
    return get_object_or_404(Space.objects.select_related("client"), public_id=public_id)


def get_photograph_or_404(public_id: str) -> Photograph:
    """None of those that are erased."""
    return get_object_or_404(Photograph, public_id=public_id, image__isnull=False)
