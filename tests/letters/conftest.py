from datetime import datetime
from typing import Any

import pytest
from django.utils import timezone

from studio.env import email_settings
from studio.letters.models import Letter
from studio.letters.writing import Enclosed, write_letter
from tests.letters.post_office import PostOffice, post_office

WORDS = {
    "source": "a test",
    "receiver": "adeyemi@client.example",
    "subject": "Your panel",
    "body": "Dear Ms Adeyemi,\n.\nit is ready.\n",
    "reply_to": "hello@studio.example",
}
PDF = Enclosed("panel.pdf", "application/pdf", b"%PDF-\x00\r\n.\r\n\xff")


def written(key: str = "first", now: datetime | None = None, **more: Any) -> Letter:
    fields = {**WORDS, "enclosed": (PDF,), "now": now or timezone.now(), **more}
    return write_letter(key=key, **fields)[0]


@pytest.fixture
def office(settings: Any, tmp_path: Any):
    """A mail server, which the site sends by."""
    with post_office() as found:
        for name, value in email_settings(found.url, tmp_path).items():
            setattr(settings, name, value)
        settings.EMAIL_TIMEOUT = 5
        yield found


__all__ = ["PDF", "WORDS", "PostOffice", "office", "written"]
