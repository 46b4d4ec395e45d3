"""What is looked at when the site starts."""

from collections.abc import Sequence
from typing import Any

from django.apps import AppConfig
from django.core.checks import CheckMessage, Tags, Warning, register
from django.db import DatabaseError

__all__ = ["ProposalsConfig"]


class ProposalsConfig(AppConfig):
    name = "studio.proposals"

    def ready(self) -> None:
        from studio.proposals import settled  # noqa: F401 (it listens)

        register(_nobody_is_back, Tags.database)


def _nobody_is_back(databases: Sequence[str] | None = None, **asked: Any) -> list[CheckMessage]:
    from studio.proposals.erasures import to_erase_again  # models are there only now

    try:
        count = to_erase_again().count() if databases else 0
    except DatabaseError:
        return []  # a database without tables holds nobody
    hint = "They were erased before this backup was restored. Run: manage.py erase_again"
    return [Warning(f"Erased people are in the database again: {count}", hint=hint)] if count else []
