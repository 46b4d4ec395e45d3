"""What goes from payments and invoices when a person is erased; every amount stays."""

from typing import Any

from django.dispatch import receiver

from studio.clients.erasing import client_erased
from studio.clients.models import Client
from studio.jobs.models import ColoursApproved, Invoice, Payment

__all__ = ["empty_jobs"]


@receiver(client_erased)
def empty_jobs(client: Client, **_more: Any) -> None:
    of_client = {"decision__issue__client": client}
    Payment.objects.filter(**of_client).update(reference=None)
    ColoursApproved.objects.filter(**of_client).update(who=None)
    Invoice.objects.filter(**of_client).update(parties=None)
