"""`manage.py erase_again`: after a backup was restored."""

from typing import Any

from django.core.management.base import BaseCommand

from studio.proposals.erasing import erase_client
from studio.proposals.erasures import erasures, to_erase_again


class Command(BaseCommand):
    help = "Erase whoever was erased after the backup was made that is now restored."

    def handle(self, *args: Any, **options: Any) -> None:
        known, found = erasures(), list(to_erase_again())
        for client in found:
            erase_client(client, None, known[client.public_id])
        self.stdout.write(f"Erased again: {len(found)} of {len(known)} who were erased before.")
