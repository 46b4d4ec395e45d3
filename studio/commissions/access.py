"""Who may see which commission and option is decided here: everybody who is signed in."""

from django.shortcuts import get_object_or_404

from studio.commissions.models import Commission, Option

__all__ = ["get_commission_or_404", "get_option_or_404"]


def get_commission_or_404(public_id: str) -> Commission:
    return get_object_or_404(Commission.objects.select_related("client", "space"), public_id=public_id)


def get_option_or_404(public_id: str, letter: str) -> Option:
    """With all that its estimate needs, in one query."""
    related = Option.objects.select_related("commission__client", "commission__space", "rate_book")
    return get_object_or_404(related, commission__public_id=public_id, letter=letter.upper())
