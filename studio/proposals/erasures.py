"""Who was erased, in a file beside the database: a restored backup still holds them, and is told by it.

It holds public ids and times and nothing else. Lines are only added. One that was cut short is of an erasing
that did not happen: lines are written to the disk before the erasing is."""

import os
import re
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db.models import QuerySet

from studio.clients.models import Client

__all__ = ["erasures", "note_erasures", "to_erase_again"]

LINE = re.compile(r'\{"client": "([^"{}\n]+)", "at": "([^"{}\n]+)"\}')
"""Found wherever it stands: what follows one that was cut short is whole."""


def _path() -> Path:
    path: Path = settings.VAR / "erasures.jsonl"
    return path


def note_erasures() -> None:
    """Whoever is erased and does not stand there yet, those of before the file as well. Once this returns,
    the lines outlive a power cut."""
    known = erasures()
    erased = Client.objects.exclude(erased_at=None).order_by("pk").values_list("public_id", "erased_at")
    new = [(who, at) for who, at in erased if at and who not in known]
    lines = [f'{{"client": "{who}", "at": "{at.isoformat()}"}}\n' for who, at in new]
    with open(_path(), "a", opener=lambda path, flags: os.open(path, flags, 0o600)) as file:
        file.write("".join(lines))
        file.flush()
        os.fsync(file.fileno())
    folder = os.open(_path().parent, os.O_RDONLY)  # the file's own name, the first time
    try:
        os.fsync(folder)
    finally:
        os.close(folder)


def erasures() -> dict[str, datetime]:
    """When each client of that public id was erased first."""
    if not _path().exists():
        return {}
    found = dict[str, datetime]()
    for public_id, at in LINE.findall(_path().read_text()):
        found.setdefault(public_id, datetime.fromisoformat(at))
    return found


def to_erase_again() -> QuerySet[Client]:
    """Those who were erased, and are here again."""
    return Client.objects.filter(public_id__in=erasures(), erased_at=None)
