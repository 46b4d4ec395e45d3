"""`manage.py check_entries`: whether every commission's entries are those that were written."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from studio.commissions.entries import broken_orders


class Command(BaseCommand):
    help = "Check that no entry was changed, moved or taken out behind the program's back."

    def handle(self, *args: Any, **options: Any) -> None:
        broken = list(broken_orders())
        for commission, found in broken:
            self.stdout.write(f"{commission.public_id}: {'; '.join(found)}")
        if broken:
            raise CommandError(f"Not as written: the entries of {len(broken)} of the commissions")
        self.stdout.write("Every entry is as it was written.")
